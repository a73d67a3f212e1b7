// A figure of the bike's own: of its handbook, or measured on it when it was right.
import { ReadingField } from "../job/reading-field";
import { noReading, told, type ReadingDraft } from "../job/told";
import { capital } from "../job/words";
import { Got } from "../shell/busy";
import { Button, Choice, Pick, TextField } from "../shell/controls";
import { problemOf } from "../shell/problem";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { BikeView, ReadingForm, TellFigure, Words } from "../wire";
import { TellScreen, useTell } from "./bike-tell";

interface Draft {
  reading: string;
  baseline: boolean | null;
  took: ReadingDraft;
  upTo: string; // of a range
}

export function BikeFigureScreen({ bike, reading }: { bike: BikeView; reading: string }) {
  const words = useGet<Words>("/words");
  const empty: Draft = { reading, baseline: null, took: noReading, upTo: "" };
  const [draft, setDraft, clear, kept] = useDraft<Draft>(`${bike.id}/figure/${reading}`, empty);
  const telling = useTell(bike);
  const set = (change: Partial<Draft>) => {
    telling.post.clear();
    setDraft({ ...draft, ...change });
  };
  const form = words.value?.readings.find((r) => r.id === draft.reading);
  const { problems } = telling.post;
  const save = (sure: boolean) => {
    if (!form || draft.baseline === null) return;
    const to = draft.upTo.trim() === "" ? "" : upperEnd(form, draft);
    const body: TellFigure = { reading: form.id, told: told(form, draft.took), to, baseline: draft.baseline, sure };
    telling.tell("figure", body, [form.name, body.told, to === "" ? "" : `to ${to}`].join(" ").trim(), { kept, clear });
  };
  const ready = form !== undefined && draft.baseline !== null && draft.took.value.trim() !== "";
  return (
    <TellScreen
      bike={bike}
      title="Figure of this bike"
      telling={telling}
      onSave={() => save(false)}
      ready={ready}
      fields={["reading", "told", "to", draft.reading]}
      more={problems?.doubted && <Button onPress={() => save(true)}>It is so, save it</Button>}
    >
      <Got of={words}>
        {({ readings }) => (
          <Pick
            label="Of which reading?"
            value={draft.reading}
            onValue={(value) => set({ reading: value, took: noReading, upTo: "" })}
            from={[{ value: "", label: "choose" }, ...readings.map((r) => ({ value: r.id, label: capital(r.name) }))]}
            problem={problemOf(problems, "reading")}
          />
        )}
      </Got>
      {form && (
        <>
          <Choice
            label="Who says so?"
            value={draft.baseline === null ? null : draft.baseline ? "baseline" : "handbook"}
            onValue={(value) => set({ baseline: value === "baseline" })}
            from={[
              { value: "baseline", label: "Measured on this bike when it was right", hint: "the best there is to compare with" },
              { value: "handbook", label: "Its handbook" },
            ]}
          />
          <ReadingField
            form={{ ...form, open: false }}
            draft={draft.took}
            onDraft={(took) => set({ took })}
            problem={problemOf(problems, "told") || problemOf(problems, form.id)}
          />
          <TextField
            label="Up to, if it is a range"
            keys="decimal"
            value={draft.upTo}
            onValue={(upTo) => set({ upTo })}
            unit={draft.took.unit === "" ? form.unit : draft.took.unit}
            problem={problemOf(problems, "to")}
          />
        </>
      )}
    </TellScreen>
  );
}

/** The upper end of a range, in the unit of the lower one: "200 psi". */
function upperEnd(form: ReadingForm, { took, upTo }: Draft): string {
  return told(form, { ...noReading, value: upTo, unit: took.unit });
}
