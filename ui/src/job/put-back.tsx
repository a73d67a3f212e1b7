// After a run that did not help: does the old part go back in?
import { Button } from "../shell/controls";
import { Screen } from "../shell/screen";
import type { JobView } from "../wire";
import { StepFoot } from "./foot";
import type { JobHere } from "./use-job";

export function PutBack({ here, view, onDone }: { here: JobHere; view: JobView; onDone: () => void }) {
  const names = view.swapped_in.map((s) => s.name);
  return (
    <Screen
      title={view.bike.name}
      over={`Job ${view.job}`}
      back={{ at: "shop" }}
      backTo="Shop"
      of={here.loaded}
      foot={
        <StepFoot here={here} view={view} option={null}>
          <div class="buttons">
            <Button onPress={onDone}>No, the good one stays</Button>
            <Button
              onPress={() => {
                here.write(
                  view.swapped_in.map((s) => ({ kind: "put-back", step: s.id })),
                  `old part back in: ${names.join(", ")}`,
                );
                onDone();
              }}
            >
              Yes, the old one is back in
            </Button>
          </div>
        </StepFoot>
      }
    >
      <article class="step">
        <p class="tape">Swapped part</p>
        <h2 class="step-name">Does the old part go back in?</h2>
        <p>The trouble is still there with a known good part fitted:</p>
        <ul>
          {names.map((n) => (
            <li key={n}>{n}</li>
          ))}
        </ul>
      </article>
    </Screen>
  );
}
