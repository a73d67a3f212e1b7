// A fact of the bike that readings are corrected with: stroke, rod, volume above the piston ...
import { capital } from "../job/words";
import { Got } from "../shell/busy";
import { Pick } from "../shell/controls";
import { problemOf } from "../shell/problem";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { BikeView, TellFact, Words } from "../wire";
import { TellScreen, useTell } from "./bike-tell";
import { AskedField, nothingGiven, toldOf, type Given } from "../shell/asked-field";

export function BikeFactScreen({ bike, fact }: { bike: BikeView; fact: string }) {
  const words = useGet<Words>("/words");
  const [draft, setDraft, clear, kept] = useDraft<{ fact: string; given: Given }>(`${bike.id}/fact/${fact}`, { fact, given: nothingGiven });
  const telling = useTell(bike);
  const asked = words.value?.facts.find((f) => f.id === draft.fact);
  const told = asked ? toldOf(asked, draft.given) : "";
  const save = () => {
    if (!asked) return;
    telling.tell("fact", { fact: asked.id, told } satisfies TellFact, `${asked.name} ${told}`, { kept, clear });
  };
  const known = bike.facts.find((f) => f.id === draft.fact)?.told ?? "";
  return (
    <TellScreen bike={bike} title="Fact of this bike" telling={telling} onSave={save} ready={told !== ""} fields={["fact", "told", draft.fact]}>
      <Got of={words}>
        {({ facts }) => (
          <Pick
            label="What can you tell?"
            value={draft.fact}
            onValue={(value) => {
              telling.post.clear();
              setDraft({ fact: value, given: nothingGiven });
            }}
            from={[{ value: "", label: "choose" }, ...facts.map((f) => ({ value: f.id, label: capital(f.name) }))]}
            problem={problemOf(telling.post.problems, "fact")}
          />
        )}
      </Got>
      {known !== "" && <p>So far: {known}.</p>}
      {asked && (
        <AskedField
          asked={asked}
          given={draft.given}
          onGiven={(given) => {
            telling.post.clear();
            setDraft({ ...draft, given });
          }}
          problem={problemOf(telling.post.problems, "told") || problemOf(telling.post.problems, asked.id)}
        />
      )}
    </TellScreen>
  );
}
