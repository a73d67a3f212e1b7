// Other steps than the best: what came second, then everything that can be done on this bike, with a search.
import { useState } from "preact/hooks";
import { useJob } from "../job/use-job";
import { actWords, both, minutes, titleOf } from "../job/words";
import { href } from "../route";
import { Got } from "../shell/busy";
import { TextField } from "../shell/controls";
import { Screen, Section } from "../shell/screen";
import type { JobView, Option } from "../wire";

export function OthersScreen({ job }: { job: number }) {
  const { loaded } = useJob(job);
  const [words, setWords] = useState("");
  return (
    <Screen
      title="Other steps"
      over={loaded.value ? `Job ${job}: ${loaded.value.bike.name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
    >
      <TextField label="Search all steps" keys="search" value={words} onValue={setWords} />
      <Got of={loaded}>{(view) => <Found view={view} words={words} />}</Got>
    </Screen>
  );
}

function Found({ view, words }: { view: JobView; words: string }) {
  const wanted = words
    .toLowerCase()
    .split(/\s+/)
    .filter((w) => w !== "");
  const fits = (text: string) => wanted.every((w) => text.toLowerCase().includes(w));
  const others = [...(view.next ? [view.next] : []), ...view.others].filter((o) => fits(o.name));
  const rest = view.steps.filter((s) => fits(s.name) && !others.some((o) => o.step === s.id));
  return (
    <>
      <p class="for-ears" role="status">
        {wanted.length > 0 ? `${others.length + rest.length} steps found` : ""}
      </p>
      {others.length > 0 ? (
        <Section title="Best first">
          <ul class="rows">
            {others.map((o) => (
              <Step
                key={o.step}
                job={view.job}
                id={o.step}
                name={titleOf(o)}
                minutes={both(o.access, o.own).minutes}
                hint={hint(o, view)}
              />
            ))}
          </ul>
        </Section>
      ) : null}
      {rest.length > 0 ? (
        <Section title="Everything else">
          <ul class="rows">
            {rest.map((s) => (
              <Step key={s.id} job={view.job} id={s.id} name={s.name} minutes={s.minutes} hint="" />
            ))}
          </ul>
        </Section>
      ) : null}
      {others.length + rest.length === 0 ? <p>No step has all of these words in its name.</p> : null}
    </>
  );
}

/** What it costs to do this instead of the best. */
function hint(option: Option, view: JobView): string {
  const act = actWords(option);
  if (option === view.next || !view.next) return `${act}. The best next step`;
  const more = option.whole_job_minutes - view.next.whole_job_minutes;
  return more < 0.5 ? `${act}. As good as the best` : `${act}. ${minutes(more)} more over the whole job`;
}

interface StepProps {
  job: number;
  id: string;
  name: string;
  minutes: number;
  hint: string;
}

function Step({ job, id, name, minutes: took, hint: said }: StepProps) {
  return (
    <li>
      <a class="row" href={href({ at: "step", job, step: id })}>
        <span>
          {name}
          {said === "" ? null : <small class="soft under">{said}</small>}
        </span>
        <span class="end">{minutes(took)}</span>
      </a>
    </li>
  );
}
