// A reading as it is told to the server, put together from the fields of its form: "138 psi height=1400 m kick=brisk".
import type { NewEntry, ReadingForm } from "../wire";

export interface ReadingDraft {
  value: string;
  unit: string; // "": the reading's own
  open: boolean;
  conditions: Record<string, { value: string; unit: string }>;
}

export const noReading: ReadingDraft = { value: "", unit: "", open: false, conditions: {} };

export const isTold = (draft: ReadingDraft | undefined): boolean =>
  draft !== undefined && (draft.open || draft.value.trim() !== "");

/** "7,2" is what half of the world types. */
const number = (text: string) => text.trim().replace(",", ".");

export function told(form: ReadingForm, draft: ReadingDraft): string {
  const value = draft.open ? ["open"] : [number(draft.value), draft.unit === "" ? form.unit : draft.unit];
  const conditions = form.conditions.flatMap((c) => {
    const given = draft.conditions[c.id];
    if (!given || given.value.trim() === "") return [];
    const words =
      c.choices.length > 0 || c.unit === ""
        ? given.value.trim()
        : `${number(given.value)} ${given.unit === "" ? c.unit : given.unit}`;
    return [`${c.id}=${words}`.trim()];
  });
  return [...value, ...conditions].filter((part) => part !== "").join(" ");
}

export interface Took {
  minutes: string;
  paid: string;
}

export const nothingTook: Took = { minutes: "", paid: "" };

/** What was filled in of time and money; words that are no number are told as they are, for the server to refuse. */
export function took(draft: Took): { took_min?: number; paid?: number } {
  return {
    ...(draft.minutes.trim() === "" ? {} : { took_min: Number(number(draft.minutes)) }),
    ...(draft.paid.trim() === "" ? {} : { paid: Number(number(draft.paid)) }),
  };
}

export const tookProblem = (text: string): string =>
  text.trim() === "" || Number(number(text)) >= 0 ? "" : "A number, such as 15.";

/** What one act of a look says: the step, its readings, its answers. */
export const withStep = (step: string, draft: Took, entries: NewEntry[]): NewEntry[] => [
  { kind: "did", step, ...took(draft) },
  ...entries,
];
