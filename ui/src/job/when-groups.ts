// When it happens, put together and in the order in which one asks a rider. What is not named here comes last.
import type { When } from "../wire";

const groups: { title: string; ids: string[] }[] = [
  {
    title: "At which throttle and revs",
    ids: ["at-full-throttle", "at-half-throttle", "at-small-throttle", "at-all-throttles", "at-high-revs-any-throttle"],
  },
  { title: "Cold, hot or wet", ids: ["only-cold", "only-hot", "worsens-in-minutes", "only-wet"] },
  { title: "How it came", ids: ["came-suddenly", "came-slowly"] },
];

export function grouped(when: When[]): { title: string; when: When[] }[] {
  const named = groups.map(({ title, ids }) => ({ title, when: ids.flatMap((id) => when.filter((w) => w.id === id)) }));
  const rest = when.filter((w) => !groups.some((g) => g.ids.includes(w.id)));
  return [...named, { title: "What changes it", when: rest }].filter((g) => g.when.length > 0);
}
