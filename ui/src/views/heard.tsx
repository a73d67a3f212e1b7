// What the rider says: his words to be confirmed, when it happens, what was so before, the engine's hours. Everything that
// is tapped is kept at once and can be tapped anew; nothing has to be answered.
import { useState } from "preact/hooks";
import { useJob, type JobHere } from "../job/use-job";
import { Answers } from "../job/step-answers";
import { answerWords, capital } from "../job/words";
import { grouped } from "../job/when-groups";
import { Got } from "../shell/busy";
import { Button, LinkButton, TextField } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { usePost } from "../shell/use-post";
import type { Answer, Heard, JobView, TellHours } from "../wire";
import "../style/heard.css";

export function HeardScreen({ job }: { job: number }) {
  const here = useJob(job);
  return (
    <Screen
      title="What the rider says"
      over={here.loaded.value ? `Job ${job}: ${here.loaded.value.bike.name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
      foot={
        <div class="buttons">
          <LinkButton look="main" to={{ at: "bench", job }}>
            Go on to the bench
          </LinkButton>
        </div>
      }
    >
      <Got of={here.loaded}>{(view) => <Said here={here} view={view} />}</Got>
    </Screen>
  );
}

function Said({ here, view }: { here: JobHere; view: JobView }) {
  const open = view.end === "open";
  const said = (id: string, name: string) => (answer: Answer) =>
    here.write([{ kind: "answered", finding: id, answer }], `${name}: ${answerWords[answer].toLowerCase()}`);
  return (
    <>
      <p class="complaint">“{view.complaint}”</p>
      <Problem of={here.posting.problems} />
      {open ? (
        <p>Tap what he can tell; the rest may stay open. A wrong tap is put right by another.</p>
      ) : (
        <p class="notice">This job is closed; nothing more is asked.</p>
      )}
      {open && view.to_confirm.length > 0 ? (
        <Section title="Is it meant so?">
          {view.to_confirm.map((h) => (
            <Confirm key={`${h.context} ${h.id}`} heard={h} here={here} />
          ))}
        </Section>
      ) : null}
      {open
        ? grouped(view.when).map((group) => (
            <Section key={group.title} title={group.title}>
              {group.when.map((w) => (
                <div class="asked" key={w.id}>
                  <h3>{w.ask}</h3>
                  <Answers ask={w.ask} answer={w.answer} onAnswer={said(w.id, w.name)} />
                </div>
              ))}
            </Section>
          ))
        : null}
      {open && view.contexts.length > 0 ? (
        <Section title="What was so before">
          {view.contexts.map((c) => (
            <div class="asked beside" key={c.id}>
              <h3>{c.ask}</h3>
              <div class="yes-no" role="group" aria-label={c.ask}>
                {[true, false].map((so) => (
                  <Button
                    key={`${so}`}
                    pressed={c.so === so}
                    onPress={() =>
                      here.write([{ kind: "context", context: c.id, so }], `before: ${c.name}: ${so ? "yes" : "no"}`)
                    }
                  >
                    {so ? "Yes" : "No"}
                  </Button>
                ))}
              </div>
            </div>
          ))}
        </Section>
      ) : null}
      {open ? <Hours view={view} /> : null}
    </>
  );
}

function Confirm({ heard, here }: { heard: Heard; here: JobHere }) {
  const leaveOut = () => here.write([{ kind: "not-meant", id: heard.id }], `left out: ${heard.name}`);
  const answer = (given: Answer) => {
    if (!heard.context)
      here.write(
        [{ kind: "answered", finding: heard.id, answer: given }],
        `${heard.name}: ${answerWords[given].toLowerCase()}`,
      );
    else if (given === "unsure") leaveOut();
    else here.write([{ kind: "context", context: heard.id, so: given === "yes" }], `before: ${heard.name}: ${given}`);
  };
  return (
    <div class="sheet confirm">
      <h3>{heard.ask}</h3>
      <p class="hint">
        Heard: “{heard.words}”{heard.so ? "" : " (not so)"}
      </p>
      <Answers ask={heard.ask} answer={null} onAnswer={answer} />
      <Button onPress={leaveOut} label={`Not meant so: ${heard.name}`}>
        Not meant so
      </Button>
    </div>
  );
}

function Hours({ view }: { view: JobView }) {
  const posting = usePost();
  const [hours, setHours] = useState("");
  const known = view.bike.hours === null ? "Not known so far." : `So far: ${view.bike.hours} h.`;
  const number = Number(hours.trim().replace(",", "."));
  const keep = () => {
    const body: TellHours = { hours: number, as: "meter" };
    posting.send(
      {
        path: `/bikes/${encodeURIComponent(view.bike.id)}/hours`,
        body,
        about: `bike/${view.bike.id}`,
        words: `${view.bike.name}: meter shows ${number} h`,
      },
      { onWritten: () => setHours("") },
    );
  };
  return (
    <Section title="Hours">
      <TextField
        label="What does the hour meter show?"
        hint={known}
        keys="decimal"
        unit="h"
        value={hours}
        onValue={(v) => {
          setHours(v);
          posting.clear();
        }}
        problem={
          hours.trim() !== "" && !(number >= 0)
            ? "A number, such as 38.5."
            : problemOf(posting.problems, "hours") || problemOf(posting.problems, "")
        }
      />
      <Button off={hours.trim() === "" || !(number >= 0)} onPress={keep}>
        {posting.is === "kept" ? "Kept on this phone" : posting.is === "written" ? "Saved" : "Keep the hours"}
      </Button>
      <p class="soft">Another meter, an estimate, a correction: {capital(view.bike.name)} has them on its own page.</p>
    </Section>
  );
}
