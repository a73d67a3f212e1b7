// One bench sum: cautions first, then what it asks for, then the answer, large, with the worked line.
import { useEffect, useRef, useState } from "preact/hooks";
import { work } from "../api";
import { capital } from "../job/words";
import { Busy } from "../shell/busy";
import { Button } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import type { Problems, SumAnswer, SumForm } from "../wire";
import { Cautions } from "../shell/cautions";
import { AskedField, nothingGiven, toldOf, type Given } from "../shell/asked-field";
import { useGoToWrong } from "./sum-wrong";

type Working = { is: "ready" | "asking" | "lost" } | { is: "refused"; problems: Problems } | { is: "done"; answer: SumAnswer };

export function SumPage({ sum }: { sum: SumForm }) {
  const [given, setGiven, clear] = useDraft<Record<string, Given>>(`sum/${sum.id}`, {});
  const [working, setWorking] = useState<Working>({ is: "ready" });
  const asked = useRef(0);
  const problems = working.is === "refused" ? working.problems : null;
  useGoToWrong(problems);

  async function workOut() {
    const mine = ++asked.current;
    setWorking({ is: "asking" });
    const pairs = sum.inputs.map((input) => [input.id, toldOf(input, given[input.id] ?? nothingGiven)] as const);
    const told = Object.fromEntries(pairs.filter(([, words]) => words !== ""));
    const answered = await work<SumAnswer>(`/sums/${encodeURIComponent(sum.id)}`, { told });
    if (mine !== asked.current) return;
    if (answered.is === "new") setWorking({ is: "done", answer: answered.value });
    else if (answered.is === "refused") setWorking({ is: "refused", problems: answered.problems });
    else setWorking({ is: "lost" });
  }

  // An answer to other numbers than those that stand above it would mislead.
  function change(id: string, value: Given) {
    asked.current++;
    setGiven({ ...given, [id]: value });
    if (working.is !== "refused") setWorking({ is: "ready" });
  }

  return (
    <Screen
      title={sum.name}
      over={sum.group}
      back={{ at: "sums", id: "" }}
      backTo="Bench sums"
      foot={
        <div class="sum-foot">
          <Button look="main" onPress={() => void workOut()} off={working.is === "asking"}>
            Work it out
          </Button>
          <Button
            onPress={() => {
              asked.current++;
              clear();
              setWorking({ is: "ready" });
            }}
          >
            Clear
          </Button>
        </div>
      }
    >
      <Cautions of={sum.cautions} />
      <form
        class="sum-inputs"
        onSubmit={(event) => {
          event.preventDefault();
          void workOut();
        }}
      >
        {sum.inputs.map((input) => (
          <AskedField
            key={input.id}
            asked={input}
            given={given[input.id] ?? nothingGiven}
            onGiven={(value) => change(input.id, value)}
            problem={problemOf(problems, input.id) || problemOf(problems, `told.${input.id}`)}
            usual={input.usual}
            mayLack={input.may_lack}
          />
        ))}
        <input type="submit" hidden />
      </form>
      <Busy when={working.is === "asking"} words="Working it out" />
      {problems && <Problem of={problems} but={sum.inputs.map((input) => input.id)} />}
      {working.is === "lost" && (
        <div role="alert">
          <p class="problem">The server did not answer. The numbers stay here; try again.</p>
        </div>
      )}
      {working.is === "done" && <Answer answer={working.answer} />}
      <dl class="sum-about">
        <dt>Formula</dt>
        <dd>{sum.formula}</dd>
        <dt>Source</dt>
        <dd>{capital(sum.source)}</dd>
      </dl>
    </Screen>
  );
}

function Answer({ answer }: { answer: SumAnswer }) {
  const place = useRef<HTMLElement>(null);
  useEffect(() => {
    place.current?.focus({ preventScroll: true });
    place.current?.scrollIntoView({ block: "center" });
  }, [answer]);
  return (
    <section class="sum-answer" ref={place} tabIndex={-1} aria-label="Answer">
      <dl class="figures">
        {byName(answer).map(({ name, told }) => (
          <div key={name}>
            <dt>{capital(name)}</dt>
            {told.map((words) => (
              <dd key={words}>{words}</dd>
            ))}
          </div>
        ))}
      </dl>
      {answer.worked !== "" && <p class="worked figures">{answer.worked}</p>}
      {answer.notes.map((note) => (
        <p class="notice" key={note}>
          {capital(note)}
        </p>
      ))}
    </section>
  );
}

/** A value without a name is the one before it in another unit. */
function byName(answer: SumAnswer): { name: string; told: string[] }[] {
  const groups: { name: string; told: string[] }[] = [];
  for (const { name, told } of answer.values) {
    const last = groups[groups.length - 1];
    if (name === "" && last) last.told.push(told);
    else groups.push({ name, told: [told] });
  }
  return groups;
}
