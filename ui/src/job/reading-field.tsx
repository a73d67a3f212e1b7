// One reading to be typed in: its number and unit, how it was measured, and what would be right for this bike.
import { AskedField, nothingGiven } from "../shell/asked-field";
import { Button, Choice, TextField } from "../shell/controls";
import type { ReadingForm } from "../wire";
import type { ReadingDraft } from "./told";
import { shownUnit } from "./words";

interface Props {
  form: ReadingForm;
  draft: ReadingDraft;
  onDraft: (draft: ReadingDraft) => void;
  problem: string;
}

export function ReadingField({ form, draft, onDraft, problem }: Props) {
  const set = (change: Partial<ReadingDraft>) => onDraft({ ...draft, ...change });
  return (
    <div class="reading">
      {draft.open ? (
        <div class="open-circuit">
          <p>
            <b>{form.ask}</b>
          </p>
          <p>Open circuit: no way through.</p>
          <Button onPress={() => set({ open: false })}>A number after all</Button>
        </div>
      ) : (
        <div class="value-unit">
          <TextField
            label={form.ask}
            hint={<Healthy form={form} />}
            keys="decimal"
            value={draft.value}
            onValue={(value) => set({ value })}
            problem={problem}
            {...(form.units.length < 2 && shownUnit(form.unit) !== "" ? { unit: form.unit } : {})}
          />
          {form.units.length > 1 ? (
            <Choice
              label={`Unit of ${form.name}`}
              value={draft.unit === "" ? form.unit : draft.unit}
              onValue={(unit) => set({ unit })}
              from={form.units.map((u) => ({ value: u, label: u }))}
              inRow
            />
          ) : null}
        </div>
      )}
      {form.open && !draft.open ? <Button onPress={() => set({ open: true, value: "" })}>Open circuit</Button> : null}
      {form.conditions.length > 0 ? (
        <details class="conditions">
          <summary>How it was measured, as far as known</summary>
          {form.conditions.map((c) => (
            <AskedField
              key={c.id}
              asked={c}
              given={draft.conditions[c.id] ?? nothingGiven}
              onGiven={(given) => set({ conditions: { ...draft.conditions, [c.id]: given } })}
              unsaid
            />
          ))}
        </details>
      ) : null}
    </div>
  );
}

function Healthy({ form }: { form: ReadingForm }) {
  if (!form.healthy) return <>Nobody has said yet what is right for this bike.</>;
  const { low, high, from } = form.healthy;
  return (
    <>
      Right here: {round(low)} to {round(high)} {shownUnit(form.unit)} ({from}).
    </>
  );
}

const round = (n: number) => Number(n.toPrecision(3)).toString();

export function TookFields({ draft, onDraft, problems, currency }: TookProps) {
  return (
    <details class="took">
      <summary>Minutes and money it took</summary>
      <TextField
        label="Minutes in all"
        keys="decimal"
        unit="min"
        value={draft.minutes}
        problem={problems.minutes}
        onValue={(minutes) => onDraft({ ...draft, minutes })}
      />
      <TextField
        label="Paid for parts"
        keys="decimal"
        unit={currency}
        value={draft.paid}
        problem={problems.paid}
        onValue={(paid) => onDraft({ ...draft, paid })}
      />
    </details>
  );
}

interface TookProps {
  draft: { minutes: string; paid: string };
  onDraft: (draft: { minutes: string; paid: string }) => void;
  problems: { minutes: string; paid: string };
  currency: string;
}
