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
import type { Option, RunResult, Shop } from "../wire";
import "../style/step.css";

export function RunScreen({ job }: { job: number }) {
  const here = useJob(job);
  const view = here.loaded.value;
  const bench: Route = { at: "bench", job };
  const listed = view ? [...(view.next ? [view.next] : []), ...view.others] : [];
  const known = listed.find((o) => (view?.run ? o.step === view.run.id : o.act === "run"));
  const asked = useGet<Option>(view?.run && !known ? `/jobs/${job}/steps/${encodeURIComponent(view.run.id)}` : null);
  const shop = useGet<Shop>("/shop");
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
      {option ? <StepCard view={view} option={option} currency={shop.value?.currency ?? ""} /> : view.run ? <Got of={asked}>{() => null}</Got> : null}
      <Problem of={here.posting.problems} />
      <Button onPress={() => go(bench, "replace")}>Later: something else first</Button>
      <Busy when={here.posting.is === "keeping"} />
    </Screen>
  );
}
