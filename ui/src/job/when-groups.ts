// When it happens, under its headings, in the order in which it came.
import type { When } from "../wire";

export function grouped(when: When[]): { title: string; when: When[] }[] {
  const titles = [...new Set(when.map((w) => w.group))];
  return titles.map((title) => ({ title, when: when.filter((w) => w.group === title) }));
}
