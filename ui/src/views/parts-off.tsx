// Which parts are off the bike now, told on the drawing or in the list.
import { BikeDrawing, PartList } from "../drawing/bike-drawing";
import { putOn, takeOff } from "../job/parts";
import { useJob, type JobHere } from "../job/use-job";
import { go } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { JobView, Words } from "../wire";

export function PartsScreen({ job }: { job: number }) {
  const here = useJob(job);
  const view = here.loaded.value;
  const words = useGet<Words>("/words");
  if (!view)
    return (
      <Screen title="Parts off" over={`Job ${job}`} back={{ at: "bench", job }} backTo="Bench">
        <Got of={here.loaded}>{() => null}</Got>
      </Screen>
    );
  return <Parts here={here} view={view} parts={words.value?.parts ?? []} />;
}

function Parts({ here, view, parts }: { here: JobHere; view: JobView; parts: Words["parts"] }) {
  const { job } = view;
  const [draft, set, clear, kept] = useDraft<string[] | null>(`${job}/parts-off`, null);
  const off = draft ?? view.off;
  const fitted = parts.filter((p) => view.bike.parts.includes(p.id));
  const toggle = (id: string) => set(off.includes(id) ? putOn(id, off, fitted) : takeOff(id, off, fitted));
  const name = (id: string) => parts.find((p) => p.id === id)?.name ?? id;
  const keep = () => {
    const words = off.length === 0 ? "everything is on" : `off: ${off.map(name).join(", ")}`;
    here.write([{ kind: "parts-off", off: [...off].sort() }], words, {
      onKept: () => {
        kept();
        go({ at: "bench", job }, "replace");
      },
      onWritten: clear,
    });
  };
  return (
    <Screen
      title="Parts off"
      over={`Job ${job}: ${view.bike.name}`}
      back={{ at: "bench", job }}
      backTo="Bench"
      wide
      of={here.loaded}
      foot={
        <>
          <Busy when={here.posting.is === "keeping"} />
          <div class="buttons">
            <Button off={draft === null} onPress={clear}>
              As it was
            </Button>
            <Button look="main" off={draft === null || view.end !== "open"} onPress={keep}>
              {off.length === 0 ? "Keep: all on" : `Keep: ${off.length} off`}
            </Button>
          </div>
        </>
      }
    >
      <p>Tap what is off the bike now. What must come off before it goes along; tap again and it is back on.</p>
      <Problem of={here.posting.problems} />
      <BikeDrawing traits={view.bike.traits} off={off} comesOff={[]} onPart={toggle} />
      <PartList traits={view.bike.traits} off={off} comesOff={[]} onPart={toggle} />
    </Screen>
  );
}
