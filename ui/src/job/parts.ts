// What comes off or goes on together with a part: what must be off before it, and what it must be on for.
import type { Words } from "../wire";

type Parts = Words["parts"];

const after = (id: string, parts: Parts): string[] =>
  parts.find((p) => p.id === id)?.after.filter((a) => parts.some((p) => p.id === a)) ?? [];

export function takeOff(id: string, off: string[], parts: Parts): string[] {
  if (off.includes(id)) return off;
  return [...after(id, parts).reduce((all, before) => takeOff(before, all, parts), off), id];
}

export function putOn(id: string, off: string[], parts: Parts): string[] {
  if (!off.includes(id)) return off;
  const behind = parts.filter((p) => p.after.includes(id)).map((p) => p.id);
  return behind.reduce((all, later) => putOn(later, all, parts), off).filter((o) => o !== id);
}
