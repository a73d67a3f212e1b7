// A step that the mechanic chose instead of the best next one.
import { emptyDraft, type StepDraft } from "../job/step-answers";
import { StepPage } from "../job/step-page";
import { useJob } from "../job/use-job";
import { go } from "../route";
import { Got } from "../shell/busy";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { Option } from "../wire";

export function StepScreen({ job, step }: { job: number; step: string }) {
  const here = useJob(job);
  const view = here.loaded.value;
  const known = view?.next?.step === step ? view.next : view?.others.find((o) => o.step === step);
  const asked = useGet<Option>(view && !known ? `/jobs/${job}/steps/${encodeURIComponent(step)}` : null);
  const [draft, setDraft, clearDraft, keptDraft] = useDraft<StepDraft>(`${job}/${step}`, emptyDraft);
  const [, askBack] = useDraft(`${job}/put-back`, false);
  const option = known ?? asked.value;
  if (!view || !option)
    return (
      <Screen title="Step" over={`Job ${job}`} back={{ at: "bench", job }} backTo="Bench">
        {view ? <Got of={asked}>{() => null}</Got> : <Got of={here.loaded}>{() => null}</Got>}
      </Screen>
    );
  return (
    <StepPage
      here={here}
      view={view}
      option={option}
      draft={draft}
      onDraft={setDraft}
      onKept={keptDraft}
      onWritten={() => {
        clearDraft();
        go({ at: "bench", job }, "replace");
      }}
      over={`Your choice, job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
      onRan={(result) => askBack(result !== "gone")}
    />
  );
}
