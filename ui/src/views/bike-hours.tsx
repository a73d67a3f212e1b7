// Hours of the engine: a ride, the meter, an estimate, another meter, something put right.
import { Choice, TextField } from "../shell/controls";
import { problemOf } from "../shell/problem";
import { useDraft } from "../shell/use-draft";
import type { BikeView, TellHours, TellRide } from "../wire";
import { numberOf, TellScreen, useTell } from "./bike-tell";

type Way = "ride" | TellHours["as"];

const ways: Record<Way, { label: string; hint: string; field: string }> = {
  ride: { label: "A ride", hint: "hours on top of what it has", field: "Length of the ride" },
  meter: { label: "What the meter shows", hint: "read off just now", field: "The meter shows" },
  estimate: { label: "About how many it has", hint: "no meter, or not a working one", field: "Hours in all, about" },
  "new-meter": {
    label: "Another meter is on",
    hint: "or it was set back: the engine's hours run on",
    field: "The new meter shows",
  },
  correction: { label: "Put it right", hint: "what was written down before is wrong", field: "Right is" },
};

export function BikeHoursScreen({ bike }: { bike: BikeView }) {
  const [draft, setDraft, clear, kept] = useDraft<{ way: Way; hours: string }>(`${bike.id}/hours`, { way: "ride", hours: "" });
  const telling = useTell(bike);
  const { way, hours } = draft;
  const set = (change: Partial<typeof draft>) => {
    telling.post.clear();
    setDraft({ ...draft, ...change });
  };
  const n = numberOf(hours);
  const save = () => {
    if (way === "ride") telling.tell("ridden", { hours: n } satisfies TellRide, `a ride of ${n} h`, { kept, clear });
    else telling.tell("hours", { hours: n, as: way } satisfies TellHours, `${ways[way].label.toLowerCase()}: ${n} h`, { kept, clear });
  };
  const wrong = hours.trim() !== "" && !(n >= 0) ? "A number of hours, such as 38.5." : "";
  return (
    <TellScreen bike={bike} title="Hours" telling={telling} onSave={save} ready={n >= 0} fields={["hours", ""]}>
      <p>
        {bike.hours === null ? "Hours of the engine are not known." : `The engine has ${bike.hours} h, ${bike.hours_from}.`}
      </p>
      <Choice
        label="What can you tell?"
        value={way}
        onValue={(value) => set({ way: value as Way })}
        from={Object.entries(ways).map(([value, { label, hint }]) => ({ value, label, hint }))}
      />
      <TextField
        label={ways[way].field}
        keys="decimal"
        unit="h"
        value={hours}
        onValue={(value) => set({ hours: value })}
        onEnter={() => n >= 0 && save()}
        problem={wrong || problemOf(telling.post.problems, "hours") || problemOf(telling.post.problems, "")}
      />
    </TellScreen>
  );
}
