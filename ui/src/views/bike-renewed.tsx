// A part was renewed: its hours and days start again.
import { capital } from "../job/words";
import { Got } from "../shell/busy";
import { Check, Choice, Pick, TextField } from "../shell/controls";
import { problemOf } from "../shell/problem";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { BikeView, TellRenewed, Words } from "../wire";
import { numberOf, TellScreen, useTell } from "./bike-tell";

interface Draft {
  what: string;
  when: "now" | "then";
  hours: string;
  day: string;
  again: boolean;
}

export function BikeRenewedScreen({ bike, what }: { bike: BikeView; what: string }) {
  const words = useGet<Words>("/words");
  const [draft, setDraft, clear, kept] = useDraft<Draft>(`${bike.id}/renewed/${what}`, {
    what,
    when: "now",
    hours: "",
    day: "",
    again: false,
  });
  const telling = useTell(bike);
  const set = (change: Partial<Draft>) => {
    telling.post.clear();
    setDraft({ ...draft, ...change });
  };
  const then = draft.when === "then";
  const hours = numberOf(draft.hours);
  const hoursWrong = then && draft.hours.trim() !== "" && !(hours >= 0);
  const ready = draft.what !== "" && !hoursWrong && (!then || draft.hours.trim() !== "" || draft.day !== "");
  const name = words.value?.wears.find((wear) => wear.id === draft.what)?.name ?? draft.what;
  const save = () => {
    const body: TellRenewed = {
      what: draft.what,
      hours: then && hours >= 0 ? hours : null,
      day: then ? draft.day : "",
      again: draft.again,
    };
    telling.tell("renewed", body, `${name} renewed`, { kept, clear });
  };
  return (
    <TellScreen
      bike={bike}
      title="Renewed"
      telling={telling}
      onSave={save}
      ready={ready}
      fields={["what", "hours", "day"]}
      saveWords="It is renewed"
    >
      <Got of={words}>
        {({ wears }) => (
          <Pick
            label="What was renewed?"
            value={draft.what}
            onValue={(value) => set({ what: value })}
            from={[{ value: "", label: "choose" }, ...wears.map((wear) => ({ value: wear.id, label: capital(wear.name) }))]}
            problem={problemOf(telling.post.problems, "what")}
          />
        )}
      </Got>
      <Choice
        label="When?"
        value={draft.when}
        onValue={(value) => set({ when: value as Draft["when"] })}
        from={[
          { value: "now", label: "Now", hint: bike.hours === null ? "today" : `today, at ${bike.hours} h` },
          { value: "then", label: "Before", hint: "at other hours or on another day" },
        ]}
      />
      {then && (
        <>
          <TextField
            label="Hours of the engine then"
            hint="As far as known."
            keys="decimal"
            unit="h"
            value={draft.hours}
            onValue={(value) => set({ hours: value })}
            problem={hoursWrong ? "A number of hours, such as 31." : problemOf(telling.post.problems, "hours")}
          />
          <TextField
            label="Day"
            hint="As far as known: year, month, day, such as 2026-05-04."
            keys="text"
            value={draft.day}
            onValue={(value) => set({ day: value.trim() })}
            problem={problemOf(telling.post.problems, "day")}
          />
        </>
      )}
      {telling.post.problems && (
        <Check
          label="It is meant so"
          hint="renewed twice within a minute, or this puts the last time right"
          value={draft.again}
          onValue={(again) => set({ again })}
        />
      )}
    </TellScreen>
  );
}
