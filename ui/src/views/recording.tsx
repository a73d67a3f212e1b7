// A recording of the engine: chosen, sent, and what was heard in it; its readings are written down after a yes.
import { useEffect, useRef, useState } from "preact/hooks";
import { listen } from "../api";
import { useJob } from "../job/use-job";
import { capital } from "../job/words";
import { go } from "../route";
import { Busy } from "../shell/busy";
import { Button, Choice, FileButton } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import type { HeardTake, NewEntry, Problems } from "../wire";
import "../style/recording.css";

type Hearing = { is: "ready" | "asking" | "lost" } | { is: "refused"; problems: Problems } | { is: "heard"; take: HeardTake };

const sorts = [
  { value: "", label: "By what is heard" },
  { value: "idle", label: "Idle" },
  { value: "blips", label: "Blips" },
  { value: "hold", label: "Held open" },
  { value: "pull", label: "Pull" },
];

export function RecordingScreen({ job }: { job: number }) {
  const here = useJob(job);
  const [of, setOf] = useState("");
  const [file, setFile] = useState<File | null>(null);
  const [hearing, set] = useState<Hearing>({ is: "ready" });
  const asked = useRef(0);

  async function hear(which: File, sort: string, times = "") {
    const mine = ++asked.current;
    set({ is: "asking" });
    const answered = await listen<HeardTake>(`/jobs/${job}/listen?of=${sort}&times=${times}`, which);
    if (mine !== asked.current) return;
    if (answered.is === "new") set({ is: "heard", take: answered.value });
    else if (answered.is === "refused") set({ is: "refused", problems: answered.problems });
    else set({ is: "lost" });
  }
  const choose = (chosen: File | undefined) => {
    if (!chosen) return;
    setFile(chosen);
    void hear(chosen, of);
  };
  return (
    <Screen title="Recording" over={`Job ${job}`} back={{ at: "bench", job }} backTo="Bench" of={here.loaded}>
      <Section title="What was recorded">
        <p>
          Outdoors, the phone a metre from the silencer and to its side, out of the wind, nobody talking. On a ride: in a
          pocket of the rider.
        </p>
        <Choice
          label="What was done"
          value={of}
          onValue={(sort) => {
            setOf(sort);
            if (file) void hear(file, sort);
          }}
          from={sorts}
          inRow
        />
        <div class="buttons">
          <FileButton words="Record now" camera accept="audio/*" onFile={choose} />
          <FileButton words="Choose a file" accept="audio/*,video/*" onFile={choose} />
        </div>
        <Busy when={hearing.is === "asking"} words="Listening" />
        {hearing.is === "lost" ? (
          <p class="field-problem" role="alert">
            The server did not answer. The recording stays on the phone: choose it again when the server is back.
          </p>
        ) : null}
        {hearing.is === "refused" ? <Problem of={hearing.problems} /> : null}
      </Section>
      {hearing.is === "heard" ? (
        <Heard
          take={hearing.take}
          off={here.settling}
          onTimes={(times) => file && void hear(file, of, times)}
          onYes={(entries, words) =>
            here.write(entries, words, { onKept: () => go({ at: "bench", job }, "replace") })
          }
        />
      ) : null}
      <Problem of={here.posting.problems} />
    </Screen>
  );
}

interface HeardProps {
  take: HeardTake;
  off: boolean;
  onTimes: (times: string) => void;
  onYes: (entries: NewEntry[], words: string) => void;
}

function ofThese(times: number) {
  if (times >= 1) return `${times} times these`;
  return times === 0.5 ? "Half of these" : times < 0.3 ? "A quarter of these" : "A third of these";
}

function Heard({ take, off, onTimes, onYes }: HeardProps) {
  const entries: NewEntry[] = [
    { kind: "did", step: take.step },
    ...take.readings.map((r) => ({ kind: "measured" as const, reading: r.reading, told: r.told })),
  ];
  return (
    <>
      <Section title="What is heard">
        <dl class="heard-lines">
          {take.lines.map((l, i) => (
            <div key={i}>
              <dt>{capital(l.what)}</dt>
              <dd>{l.words}</dd>
            </div>
          ))}
        </dl>
        {take.question === "" ? null : (
          <div class="buttons">
            <Button onPress={() => onTimes("1")}>The speeds shown</Button>
            <Button onPress={() => onTimes(String(take.or_times))}>{ofThese(take.or_times)}</Button>
          </div>
        )}
        <Drawn picture={take.picture} />
      </Section>
      {take.question === "" ? (
        <Section title="As readings of this bike">
          <ul class="plain heard-readings">
            {take.readings.map((r) => (
              <li key={r.reading}>
                <b>{capital(r.words)}</b>
                {r.held_against === "" ? null : <p>{r.held_against}</p>}
                {r.moves.map((m) => (
                  <p key={m}>{m}</p>
                ))}
              </li>
            ))}
            {take.not_told.map((words) => (
              <li key={words}>Not told: {words}</li>
            ))}
          </ul>
          {take.readings.length > 0 ? (
            <Button look="main" off={off} onPress={() => onYes(entries, "what a recording told")}>
              Yes, it is so: write it down
            </Button>
          ) : null}
        </Section>
      ) : null}
    </>
  );
}

function Drawn({ picture }: { picture: string }) {
  const [at, set] = useState("");
  useEffect(() => {
    const url = URL.createObjectURL(new Blob([picture], { type: "image/svg+xml" }));
    set(url);
    return () => URL.revokeObjectURL(url);
  }, [picture]);
  if (at === "") return null;
  return <img class="heard-picture" src={at} alt="The speed over time, as the lines above say it" />;
}
