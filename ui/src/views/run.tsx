// After a repair or a swap: put back what it needs, run it, and say how it went.
import { StepFoot } from "../job/foot";
import { StepCard } from "../job/step-card";
import { Results } from "../job/step-page";
import { useJob } from "../job/use-job";
import { resultWords } from "../job/words";
import { go, type Route } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { Option, RunResult } from "../wire";
import "../style/step.css";

export function RunScreen({ job }: { job: number }) {
  const here = useJob(job);
  const view = here.loaded.value;
  const bench: Route = { at: "bench", job };
  const listed = view ? [...(view.next ? [view.next] : []), ...view.others] : [];
  const known = listed.find((o) => o.step === view?.run.id);
  const asked = useGet<Option>(view && !known ? `/jobs/${job}/steps/${encodeURIComponent(view.run.id)}` : null);
  const [, askBack] = useDraft(`${job}/put-back`, false);
  const option = known ?? asked.value;
  if (!view || view.end !== "open")
    return (
      <Screen title="Run" over={`Job ${job}`} back={bench} backTo="Bench">
        <Got of={here.loaded}>{() => <p>This job is closed.</p>}</Got>
      </Screen>
    );
  const ran = (result: RunResult) => {
    here.write([{ kind: "ran", result, step: "" }], `run: ${resultWords[result].toLowerCase()}`, {
      onKept: () => {
        askBack(result !== "gone");
        go(bench, "replace");
      },
    });
  };
  return (
    <Screen
      title={view.bike.name}
      over={`Job ${job}: run after the repair`}
      of={here.loaded}
      back={bench}
      backTo="Bench"
      foot={
        <StepFoot here={here} view={view} option={null}>
          <Results off={here.posting.is === "keeping"} onResult={ran} />
        </StepFoot>
      }
    >
      <p>
        <b>Put back what it needs, and run it the way the trouble came.</b>
      </p>
      {option ? (
        <StepCard view={view} option={option} />
      ) : (
        <Got of={asked}>{() => null}</Got>
      )}
      <Problem of={here.posting.problems} />
      <Button onPress={() => go(bench, "replace")}>Later: something else first</Button>
      <Busy when={here.posting.is === "keeping"} />
    </Screen>
  );
}
