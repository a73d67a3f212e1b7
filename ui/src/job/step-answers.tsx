// What a step asks, and the entries that its answers make. One question alone is answered by one tap at the bottom; what
// is measured, or several questions, are filled in and kept together as one entry, so that they can be taken back together.
import { Button } from "../shell/controls";
import type { Answer, Asked, NewEntry, Option, ReadingForm } from "../wire";
import { isTold, noReading, nothingTook, told, tookProblem, withStep, type ReadingDraft, type Took } from "./told";
import { answerWords } from "./words";

export interface StepDraft {
  answers: Record<string, Answer>;
  readings: Record<string, ReadingDraft>;
  took: Took;
}

export const emptyDraft: StepDraft = { answers: {}, readings: {}, took: nothingTook };

export const isBegun = (draft: StepDraft): boolean =>
  Object.keys(draft.answers).length > 0 || Object.values(draft.readings).some(isTold);

export const readingsOf = (option: Option): ReadingForm[] => option.card?.readings ?? [];

/** The questions still to be answered, given what was measured. */
export function questionsOf(option: Option, draft: StepDraft): Asked[] {
  const measured = readingsOf(option).some((r) => isTold(draft.readings[r.id]));
  return option.ask.filter((a) => !a.measured_only && !a.settled && !(a.by_reading && measured));
}

/** One tap answers it all. */
export const isOneTap = (option: Option, draft: StepDraft): boolean =>
  readingsOf(option).length === 0 && questionsOf(option, draft).length === 1;

export function entriesOf(option: Option, draft: StepDraft): NewEntry[] {
  const readings = readingsOf(option).flatMap((r): NewEntry[] => {
    const reading = draft.readings[r.id];
    return isTold(reading) ? [{ kind: "measured", reading: r.id, told: told(r, reading ?? noReading) }] : [];
  });
  const answers = questionsOf(option, draft).flatMap((a): NewEntry[] => {
    const answer = draft.answers[a.id];
    return answer ? [{ kind: "answered", finding: a.id, answer }] : [];
  });
  return option.act === "question" ? answers : withStep(option.step, draft.took, [...readings, ...answers]);
}

export const canKeep = (option: Option, draft: StepDraft): boolean =>
  entriesOf(option, draft).some((e) => e.kind !== "did") &&
  tookProblem(draft.took.minutes) === "" &&
  tookProblem(draft.took.paid) === "";

export function inWords(option: Option, draft: StepDraft): string {
  const readings = readingsOf(option)
    .filter((r) => isTold(draft.readings[r.id]))
    .map((r) => `${r.name} ${told(r, draft.readings[r.id]!)}`);
  const answers = questionsOf(option, draft)
    .filter((a) => draft.answers[a.id])
    .map((a) => `${a.name}: ${answerWords[draft.answers[a.id]!].toLowerCase()}`);
  return [...(option.act === "question" ? [] : [option.name]), ...readings, ...answers].join("; ");
}

interface AnswersProps {
  ask: string; // for the screen reader
  answer: Answer | null;
  onAnswer: (answer: Answer) => void;
  off?: boolean;
  unsure?: string;
}

export function Answers({ ask, answer, onAnswer, off = false, unsure = answerWords.unsure }: AnswersProps) {
  const button = (value: Answer, words: string, path: string) => (
    <Button onPress={() => onAnswer(value)} off={off} {...(answer === null ? {} : { pressed: answer === value })}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d={path} />
      </svg>
      {words}
    </Button>
  );
  return (
    <div class="answers" role="group" aria-label={ask}>
      {button("yes", answerWords.yes, "M4 13 L10 19 L20 5")}
      {button("no", answerWords.no, "M5 5 L19 19 M19 5 L5 19")}
      {button("unsure", unsure, "M8 8 a4 4 0 1 1 5.5 4 Q12 12.8 12 15 M12 19.4 V19.6")}
    </div>
  );
}
