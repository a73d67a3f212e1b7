// The screen of one step, whether the best next one or one that was chosen.
import type { ComponentChildren } from "preact";
import type { Route } from "../route";
import { go } from "../route";
import { Busy } from "../shell/busy";
import { Button, LinkButton } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen } from "../shell/screen";
import type { Answer, JobView, NewEntry, Option, RunResult } from "../wire";
import { StepFoot } from "./foot";
import { ReadingField, TookFields } from "./reading-field";
import {
  Answers,
  canKeep,
  entriesOf,
  inWords,
  isOneTap,
  questionsOf,
  readingsOf,
  type StepDraft,
} from "./step-answers";
import { Outcomes, StepCard } from "./step-card";
import { noReading, took, tookProblem } from "./told";
import type { JobHere } from "./use-job";
import { keptOn } from "./with-waiting";
import { resultWords } from "./words";
import "../style/step.css";

interface Props {
  here: JobHere;
  view: JobView;
  option: Option;
  draft: StepDraft;
  onDraft: (draft: StepDraft) => void;
  onKept: () => void; // the queue has what was entered
  onWritten: () => void; // the server has it
  over: string;
  back: Route;
  backTo: string;
  onRan: (result: RunResult) => void;
  above?: ComponentChildren;
  below?: ComponentChildren;
}

export function StepPage(props: Props) {
  const { here, view, option, draft, onDraft } = props;
  const questions = questionsOf(option, draft);
  const form = option.act !== "question" && option.act !== "run" && !isOneTap(option, draft);
  const problems = here.posting.problems;
  const readings = readingsOf(option);
  // A problem of a reading is named by the reading, or by its place among the entries, which tells only if there is one.
  const fields = [...readings.map((r) => r.id), ...(readings.length === 1 ? ["told"] : [])];
  const looks = option.act === "look";
  return (
    <Screen
      title={view.bike.name}
      over={props.over}
      back={props.back}
      backTo={props.backTo}
      wide
      of={here.loaded}
      foot={<Foot {...props} />}
    >
      <div class="bench">
        <div class="bench-step">
          {props.above}
          <StepCard view={view} option={option} />
          {problems?.doubted ? null : <Problem of={problems} but={fields} />}
          {looks && form ? (
            <section class="sheet answer-form" aria-label="What it showed">
              {readings.map((r) => (
                <ReadingField
                  key={r.id}
                  form={r}
                  draft={draft.readings[r.id] ?? noReading}
                  problem={
                    problems?.doubted
                      ? ""
                      : problemOf(problems, r.id) || (readings.length === 1 ? problemOf(problems, "told") : "")
                  }
                  onDraft={(reading) => onDraft({ ...draft, readings: { ...draft.readings, [r.id]: reading } })}
                />
              ))}
              {questions.map((q) => (
                <div class="asked" key={q.id}>
                  <h3>{q.ask}</h3>
                  <Answers
                    ask={q.ask}
                    answer={draft.answers[q.id] ?? null}
                    onAnswer={(answer) => onDraft({ ...draft, answers: { ...draft.answers, [q.id]: answer } })}
                  />
                </div>
              ))}
            </section>
          ) : null}
          {option.act === "question" || option.act === "last-resort" ? null : (
            <TookFields
              draft={draft.took}
              onDraft={(tookDraft) => onDraft({ ...draft, took: tookDraft })}
              problems={{ minutes: tookProblem(draft.took.minutes), paid: tookProblem(draft.took.paid) }}
              currency={view.currency}
            />
          )}
          <Outcomes option={option} />
        </div>
        {props.below ? <div class="bench-side">{props.below}</div> : null}
      </div>
    </Screen>
  );
}

function Foot(props: Props) {
  const { here, view, option, onWritten } = props;
  const doubted = here.posting.problems?.doubted === true;
  return (
    <StepFoot here={here} view={view} option={option} onLeft={onWritten}>
      {doubted ? <Doubted {...props} /> : <Ways {...props} />}
      <Busy when={here.settling} words="Working out what comes next" />
    </StepFoot>
  );
}

/** Whether a reading is meant as it was typed. */
function Doubted({ here, option, draft, onKept, onWritten }: Props) {
  return (
    <div class="asking" role="group" aria-label="Is it as you say?">
      <Problem of={here.posting.problems} />
      <p>
        <b>Is it as you say?</b>
      </p>
      <div class="buttons">
        <Button onPress={here.posting.clear}>Put it right</Button>
        <Button
          onPress={() =>
            here.write(entriesOf(option, draft), inWords(option, draft), { sure: true, onKept, onWritten })
          }
          off={here.settling}
        >
          It is as I say
        </Button>
      </div>
    </div>
  );
}

function Ways({ here, view, option, draft, onDraft, onKept, onWritten, onRan }: Props) {
  const kept = keptOn(option, here.unsaved);
  const off = here.settling;
  const questions = questionsOf(option, draft);
  const write = (entries: NewEntry[], words: string) => here.write(entries, words, { onKept, onWritten });
  if (kept !== "" && !off)
    return (
      <p class="kept" role="status">
        <b>Kept on this phone:</b> {kept}. What comes next is worked out when the server is back. Meanwhile another step
        can be done.
      </p>
    );
  switch (option.act) {
    case "question":
    case "look": {
      if (questions.length === 1 && isOneTap(option, draft)) {
        const asked = questions[0]!;
        const answer = (given: Answer) => {
          const full = { ...draft, answers: { ...draft.answers, [asked.id]: given } };
          write(entriesOf(option, full), inWords(option, full));
        };
        return (
          <>
            {option.act === "question" ? null : <p class="foot-ask">{asked.ask}</p>}
            <Answers ask={asked.ask} answer={null} onAnswer={answer} off={off} />
          </>
        );
      }
      const open = questions.filter((q) => draft.answers[q.id] === undefined);
      const restNo = () =>
        onDraft({
          ...draft,
          answers: { ...draft.answers, ...Object.fromEntries(open.map((q) => [q.id, "no" as const])) },
        });
      return (
        <div class={open.length > 1 ? "buttons keep" : "buttons"}>
          {open.length > 1 ? (
            <Button off={off} onPress={restNo}>
              {open.length === questions.length ? "All no" : "Rest: no"}
            </Button>
          ) : null}
          <Button
            look="main"
            off={off || !canKeep(option, draft)}
            onPress={() => write(entriesOf(option, draft), inWords(option, draft))}
          >
            Keep what it showed
          </Button>
        </div>
      );
    }
    case "repair":
    case "swap":
      return (
        <div class="buttons">
          <Button
            look="main"
            off={off || tookProblem(draft.took.minutes + draft.took.paid) !== ""}
            onPress={() => {
              const entries: NewEntry[] = [{ kind: "did", step: option.step, ...took(draft.took) }];
              here.write(entries, option.name, { onKept: () => go({ at: "run", job: view.job }) });
              onKept();
            }}
          >
            Done: now run it
          </Button>
        </div>
      );
    case "run":
      return (
        <Results
          off={off}
          onResult={(result) => {
            write(
              [{ kind: "ran", result, step: option.step, ...took(draft.took) }],
              `run: ${resultWords[result].toLowerCase()}`,
            );
            onRan(result);
          }}
        />
      );
    case "last-resort":
      return (
        <div class="buttons">
          <LinkButton look="main" to={{ at: "close", job: view.job }}>
            Strip it or send it out: close the job
          </LinkButton>
        </div>
      );
  }
}

export function Results({ off, onResult }: { off: boolean; onResult: (result: RunResult) => void }) {
  return (
    <div class="results" role="group" aria-label="How did it run?">
      {(["gone", "better", "same"] as const).map((result) => (
        <Button key={result} onPress={() => onResult(result)} off={off}>
          {resultWords[result]}
        </Button>
      ))}
    </div>
  );
}
