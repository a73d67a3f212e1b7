// When it happens, put together as one asks a rider. What is not named here comes last.
import type { When } from "../wire";

const groups: { title: string; ids: RegExp }[] = [
  { title: "At which throttle and revs", ids: /^at-/ },
  { title: "Cold, hot or wet", ids: /^only-|^worsens-in-minutes$/ },
  { title: "How it came", ids: /^came-/ },
  { title: "What changes it", ids: /^/ },
];

export function grouped(when: When[]): { title: string; when: When[] }[] {
  const of = (w: When) => groups.findIndex((g) => g.ids.test(w.id));
  return groups.map(({ title }, i) => ({ title, when: when.filter((w) => of(w) === i) })).filter((g) => g.when.length > 0);
}
