// A job as it stands with what this phone has not yet sent: what was answered is not asked again, and what is off is off,
// though only the server can say what follows from it.
import type { Waiting } from "../state";
import type { JobView, NewEntries, NewEntry, Option } from "../wire";

export function withWaiting(view: JobView, waiting: readonly Waiting[]): JobView {
  return waiting.flatMap(entriesOf).reduce(withEntry, view);
}

/** What waits and answers this step, in the words that it was kept with; "" if nothing does. */
export function keptOn(option: Option, waiting: readonly Waiting[]): string {
  const answers = (e: NewEntry) =>
    ((e.kind === "did" || e.kind === "ran" || e.kind === "skipped") && e.step === option.step) ||
    (e.kind === "answered" && option.ask.some((a) => a.id === e.finding)) ||
    (e.kind === "measured" && option.card !== null && option.card.readings.some((r) => r.id === e.reading));
  return waiting.find((w) => entriesOf(w).some(answers))?.words ?? "";
}

function entriesOf(w: Waiting): NewEntry[] {
  return !w.refused && w.path.endsWith("/entries") && typeof w.body === "string"
    ? (JSON.parse(w.body) as NewEntries).entries
    : [];
}

function withEntry(view: JobView, entry: NewEntry): JobView {
  switch (entry.kind) {
    case "answered":
      return {
        ...view,
        to_confirm: view.to_confirm.filter((h) => h.context || h.id !== entry.finding),
        when: view.when.map((w) => (w.id === entry.finding ? { ...w, answer: entry.answer } : w)),
        next: view.next && withSettled(view.next, entry.finding),
        others: view.others.map((o) => withSettled(o, entry.finding)),
      };
    case "context":
      return {
        ...view,
        to_confirm: view.to_confirm.filter((h) => !h.context || h.id !== entry.context),
        contexts: view.contexts.map((c) => (c.id === entry.context ? { ...c, so: entry.so } : c)),
      };
    case "not-meant":
      return { ...view, to_confirm: view.to_confirm.filter((h) => h.id !== entry.id) };
    case "parts-off":
      return { ...view, off: [...entry.off].sort() };
    case "put-back":
      return { ...view, swapped_in: view.swapped_in.filter((s) => s.id !== entry.step) };
    default:
      return view;
  }
}

const withSettled = (option: Option, finding: string): Option => ({
  ...option,
  ask: option.ask.map((a) => (a.id === finding ? { ...a, settled: true } : a)),
});
