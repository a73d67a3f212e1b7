// Closing a job: how it ended, what it was, and words for the owner.
import { useState } from "preact/hooks";
import { useJob, type JobHere } from "../job/use-job";
import { percent } from "../job/words";
import { go } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button, Check, Choice, LongText, TextField } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { Close, JobView, Named, Words } from "../wire";

type End = Close["end"];

export function CloseScreen({ job }: { job: number }) {
  const here = useJob(job);
  const view = here.loaded.value;
  if (!view || view.end !== "open")
    return (
      <Screen title="Close the job" over={`Job ${job}`} back={{ at: "bench", job }} backTo="Bench">
        <Got of={here.loaded}>{() => <p>This job is closed already.</p>}</Got>
      </Screen>
    );
  return <Closing here={here} view={view} />;
}

interface Draft {
  end: End | null;
  causes: string[] | null; // null: what the repairs say
  words: string;
}

function Closing({ here, view }: { here: JobHere; view: JobView }) {
  const { job } = view;
  const [draft, set, clear, kept] = useDraft<Draft>(`${job}/close`, { end: null, causes: null, words: "" });
  const end = draft.end ?? (view.proven ? "proven" : view.next?.act === "last-resort" ? "given-up" : null);
  const causes = draft.causes ?? view.likely_causes.map((c) => c.id);
  const close = () => {
    const body: Close = { end: end!, causes, words: draft.words.trim() };
    here.send("close", body, `closed: ${end}`, {
      onKept: kept,
      onWritten: () => {
        clear();
        go({ at: "sheet", job }, "replace");
      },
    });
  };
  return (
    <Screen
      title="Close the job"
      over={`Job ${job}: ${view.bike.name}`}
      of={here.loaded}
      back={{ at: "bench", job }}
      backTo="Bench"
      foot={
        <>
          <Busy when={here.settling} words="Closing" />
          <div class="buttons">
            <Button look="main" off={end === null || here.settling} onPress={close}>
              {end === null ? "Say how it ended" : "Close the job"}
            </Button>
          </div>
        </>
      }
    >
      <Choice
        label="How did it end?"
        value={end}
        onValue={(e) => set({ ...draft, end: e as End })}
        problem={problemOf(here.posting.problems, "end")}
        from={[
          {
            value: "proven",
            label: "Proven",
            hint: view.proven
              ? "Fixed, and a run has shown it"
              : `No run has proven it yet: the chance of a fault left is ${percent(view.doubt)}`,
          },
          { value: "not-proven", label: "Not proven", hint: "It goes out as it is, without a run that shows it" },
          { value: "given-up", label: "Given up", hint: "Stripped, sent out, or not worth it" },
        ]}
      />
      <Section title="What it was">
        <Causes
          view={view}
          chosen={causes}
          onChosen={(c) => set({ ...draft, causes: c })}
          problem={problemOf(here.posting.problems, "causes")}
        />
      </Section>
      <LongText
        label="Words to the owner and for the record"
        hint="May stay empty"
        value={draft.words}
        onValue={(words) => set({ ...draft, words })}
        problem={problemOf(here.posting.problems, "words")}
      />
      <Problem of={here.posting.problems} but={["end", "causes", "words"]} />
    </Screen>
  );
}

interface CausesProps {
  view: JobView;
  chosen: string[];
  onChosen: (chosen: string[]) => void;
  problem: string;
}

function Causes({ view, chosen, onChosen, problem }: CausesProps) {
  const words = useGet<Words>("/words");
  const [search, setSearch] = useState("");
  const likely: Named[] = [...view.likely_causes, ...view.suspects.map((s) => ({ id: s.fault, name: s.name }))];
  const all = words.value?.faults ?? [];
  const wanted = search.toLowerCase().trim();
  const found = wanted === "" ? [] : all.filter((f) => f.name.toLowerCase().includes(wanted)).slice(0, 12);
  const picked = chosen.map((id) => [...likely, ...all].find((f) => f.id === id) ?? { id, name: id });
  const shown = [...picked, ...likely.slice(0, 5), ...found].filter(
    (f, i, list) => list.findIndex((g) => g.id === f.id) === i,
  );
  const toggle = (id: string, so: boolean) => onChosen(so ? [...chosen, id] : chosen.filter((c) => c !== id));
  return (
    <>
      <div class="choices">
        {shown.map((f) => (
          <Check key={f.id} label={f.name} value={chosen.includes(f.id)} onValue={(so) => toggle(f.id, so)} />
        ))}
      </div>
      <TextField
        label="Another cause"
        hint="Search all faults"
        keys="search"
        value={search}
        onValue={setSearch}
        problem={problem}
      />
      {wanted !== "" && found.length === 0 ? <p>No fault has that in its name.</p> : null}
    </>
  );
}
