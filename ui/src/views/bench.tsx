// The bench: the best next step of a job, large, and around it what else there is to know.
import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useState } from "preact/hooks";
import { useJob } from "../job/use-job";
import { StepPage } from "../job/step-page";
import { StepFoot } from "../job/foot";
import { emptyDraft, isBegun, type StepDraft } from "../job/step-answers";
import { BenchSide, LastEntry } from "../job/bench-side";
import { PutBack } from "../job/put-back";
import { endWords, percent, titleOf } from "../job/words";
import { Got } from "../shell/busy";
import { Button, LinkButton } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import type { JobView, Option } from "../wire";
import type { JobHere } from "../job/use-job";

export function BenchScreen({ job }: { job: number }) {
  const here = useJob(job);
  const view = here.loaded.value;
  if (!view || here.loaded.problems)
    return (
      <Screen title={`Job ${job}`} back={{ at: "shop" }} backTo="Shop">
        <Got of={here.loaded}>{() => null}</Got>
      </Screen>
    );
  return <Bench here={here} view={view} />;
}

function Bench({ here, view }: { here: JobHere; view: JobView }) {
  const [backAsked, askBack] = useDraft(`${view.job}/put-back`, false);
  if (view.end !== "open") return <Closed here={here} view={view} />;
  if (backAsked && view.swapped_in.length > 0) return <PutBack here={here} view={view} onDone={() => askBack(false)} />;
  if (view.proven || !view.next) return <Proven here={here} view={view} />;
  return <NextStep here={here} view={view} next={view.next} onRan={(result) => askBack(result !== "gone")} />;
}

function NextStep({
  here,
  view,
  next,
  onRan,
}: {
  here: JobHere;
  view: JobView;
  next: Option;
  onRan: (result: string) => void;
}) {
  const [held, hold] = useState(next);
  const [draft, setDraft, clearDraft, keptDraft] = useDraft<StepDraft>(`${view.job}/${held.step}`, emptyDraft);
  const [guarded, guard] = useState(false);
  // What is being filled in stays under the hands, even if another phone's entry makes another step the best.
  const other = next.step !== held.step;
  const option = other ? held : next;
  const show = () => {
    hold(next);
    guard(true);
    scrollTo(0, 0);
    requestAnimationFrame(() => document.getElementById("step-name")?.focus({ preventScroll: true }));
  };
  useLayoutEffect(() => {
    if (other && !isBegun(draft)) show();
  }, [other, next.step, isBegun(draft)]);
  // A tap meant for the step before must not answer this one.
  useEffect(() => {
    if (!guarded) return;
    const timer = setTimeout(() => guard(false), 700);
    return () => clearTimeout(timer);
  }, [guarded]);
  return (
    <StepPage
      here={{ ...here, settling: here.settling || guarded }}
      view={view}
      option={option}
      draft={draft}
      onDraft={setDraft}
      onKept={keptDraft}
      onWritten={clearDraft}
      over={`Job ${view.job}: “${view.complaint}”`}
      back={{ at: "shop" }}
      backTo="Shop"
      onRan={onRan}
      above={
        <>
          {other ? (
            <div class="notice">
              <p>Something else was written to this job. The best next step is now: {titleOf(next)}</p>
              <Button onPress={show}>Show it</Button>
            </div>
          ) : null}
          {view.to_confirm.length > 0 ? (
            <LinkButton to={{ at: "heard", job: view.job }} look="main">
              {view.to_confirm.length === 1 ? "One thing" : `${view.to_confirm.length} things`} the rider said to
              confirm
            </LinkButton>
          ) : null}
          <LastEntry view={view} unsaved={here.unsaved} />
        </>
      }
      below={<BenchSide here={here} view={view} />}
    />
  );
}

function Proven({ here, view }: { here: JobHere; view: JobView }) {
  return (
    <NoStep
      here={here}
      view={view}
      tape={view.proven ? "Proven" : "Nothing left to do"}
      says={view.proven ? "It runs right, and the run has shown it." : "No step is left that would tell more."}
      causes={view.likely_causes}
      next={
        <LinkButton look="main" to={{ at: "close", job: view.job }}>
          Close the job
        </LinkButton>
      }
    >
      <p>The chance that a fault is left: {percent(view.doubt)}.</p>
    </NoStep>
  );
}

function Closed({ here, view }: { here: JobHere; view: JobView }) {
  return (
    <NoStep
      here={here}
      view={view}
      tape="Closed"
      says={endWords[view.end]}
      causes={view.causes}
      next={
        <LinkButton look="main" to={{ at: "sheet", job: view.job }}>
          Job sheet
        </LinkButton>
      }
    >
      {view.words === "" ? null : <p>{view.words}</p>}
    </NoStep>
  );
}

interface NoStepProps {
  here: JobHere;
  view: JobView;
  tape: string;
  says: string;
  causes: JobView["causes"];
  next: ComponentChildren;
  children: ComponentChildren;
}

/** A job with nothing to be done on the bike. */
function NoStep({ here, view, tape, says, causes, next, children }: NoStepProps) {
  return (
    <Screen
      title={view.bike.name}
      over={`Job ${view.job}: “${view.complaint}”`}
      back={{ at: "shop" }}
      backTo="Shop"
      wide
      of={here.loaded}
      foot={
        <StepFoot here={here} view={view} option={null}>
          <div class="buttons">{next}</div>
        </StepFoot>
      }
    >
      <div class="bench">
        <div class="bench-step">
          <article class="step">
            <p class="tape">{tape}</p>
            <h2 class="step-name">{says}</h2>
            {causes.length > 0 ? (
              <>
                <h3>What it was</h3>
                <ul>
                  {causes.map((c) => (
                    <li key={c.id}>{c.name}</li>
                  ))}
                </ul>
              </>
            ) : null}
            {children}
          </article>
          <Problem of={here.posting.problems} />
          <LastEntry view={view} unsaved={here.unsaved} />
        </div>
        <div class="bench-side">
          <BenchSide here={here} view={view} />
        </div>
      </div>
    </Screen>
  );
}
