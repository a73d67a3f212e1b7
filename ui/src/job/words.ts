// Numbers and names of a job in words.
import type { Answer, Effort, JobEnd, Option, RunResult } from "../wire";

export const answerWords: Record<Answer, string> = { yes: "Yes", no: "No", unsure: "Not sure" };

export const resultWords: Record<RunResult, string> = {
  gone: "Trouble gone",
  better: "Better, not right",
  same: "Same as before",
};

export const endWords: Record<JobEnd, string> = {
  open: "Open",
  proven: "Proven",
  "not-proven": "Not proven",
  "given-up": "Given up",
};

export function actWords(option: Option): string {
  switch (option.act) {
    case "question":
      return "Ask the rider";
    case "repair":
      return option.kind.charAt(0).toUpperCase() + option.kind.slice(1);
    case "swap":
      return "Swap in a good part";
    case "run":
      return "Run";
    case "last-resort":
      return "Last resort";
    case "look":
      return option.kind === "run" ? "Run and look" : option.kind.charAt(0).toUpperCase() + option.kind.slice(1);
  }
}

/** Of a question, what is asked: that the rider is asked is said beside it. */
export const titleOf = (option: Option): string => (option.act === "question" && option.ask[0]?.ask) || option.name;

/** Jets are numbered, and the word would say nothing behind a figure. */
export const shownUnit = (unit: string): string => (unit === "number" ? "" : unit);

export function minutes(n: number): string {
  if (n < 1) return `${Math.max(1, Math.round(n * 60))} s`;
  if (n < 90) return `${n < 9.5 ? Math.round(n * 2) / 2 : Math.round(n)} min`;
  const h = Math.floor(Math.round(n) / 60);
  const rest = Math.round(n) % 60;
  return rest === 0 ? `${h} h` : `${h} h ${rest} min`;
}

export const money = (n: number, currency: string): string => `${Number.isInteger(n) ? n : n.toFixed(2)} ${currency}`;

export function percent(p: number): string {
  const n = 100 * p;
  if (n > 99 && n < 100) return "over 99 %";
  if (n < 1 && n > 0) return "under 1 %";
  return `${Math.round(n)} %`;
}

export const both = (a: Effort, b: Effort): Effort => ({ minutes: a.minutes + b.minutes, money: a.money + b.money });

export function day(at: string): string {
  return at === ""
    ? ""
    : new Date(at).toLocaleDateString(undefined, { day: "numeric", month: "short", year: "numeric" });
}

export function clock(at: string): string {
  const when = new Date(at);
  const time = when.toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" });
  return when.toDateString() === new Date().toDateString() ? time : `${day(at)}, ${time}`;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const counted = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;
