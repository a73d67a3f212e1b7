// A bike that the shop has not seen before: what kind it is, what it has, its hours.
import { capital } from "../job/words";
import { go } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button, Choice, LinkButton, TextField } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { usePost } from "../shell/use-post";
import { useGet } from "../use-get";
import type { NewBike, Words } from "../wire";
import { Equipment, traitsOf } from "./bike-equipment";
import { numberOf } from "./bike-tell";
import { useGoToWrong } from "./sum-wrong";
import "./bike.css";

export interface BikeDraft {
  name: string;
  class: string;
  has: string[] | null; // traits; null: as usual for its class
  cc: string;
  hours: string;
}

const empty: BikeDraft = { name: "", class: "", has: null, cc: "", hours: "" };

export function NewBikeScreen() {
  const words = useGet<Words>("/words");
  const [draft, setDraft, clear, kept] = useDraft("new-bike", empty);
  const post = usePost();
  useGoToWrong(post.problems);
  const set = (change: Partial<BikeDraft>) => {
    post.clear();
    setDraft({ ...draft, ...change });
  };
  const wrong = wrongOf(draft);
  const ready = draft.name.trim() !== "" && draft.class !== "" && wrong.cc === "" && wrong.hours === "";
  const save = () =>
    words.value &&
    post.send(
      { path: "/bikes", body: bikeOf(draft, words.value), about: "bikes", words: `new bike ${draft.name.trim()}` },
      {
        onKept: kept,
        onWritten: ({ made }) => {
          clear();
          go({ at: "bike", id: made.replace(/^bike\//, ""), part: "" }, "replace");
        },
      },
    );
  const at = (field: string) => problemOf(post.problems, field);
  return (
    <Screen
      title="New bike"
      back={{ at: "shop" }}
      backTo="Shop"
      foot={
        <div class="tell-foot">
          <div role="status">
            <Busy
              when={post.is === "keeping" || post.is === "kept"}
              words={post.is === "kept" ? "Kept on this phone; saved as soon as the server answers" : "Saving"}
            />
          </div>
          <Problem of={post.problems} but={["name", "class", "displacement_cc", "hours"]} />
          <div class="buttons">
            {post.is === "kept" ? (
              <LinkButton to={{ at: "shop" }}>Back to the shop</LinkButton>
            ) : (
              <Button look="main" onPress={save} off={!ready || post.is === "keeping"}>
                Add the bike
              </Button>
            )}
          </div>
        </div>
      }
    >
      <TextField
        label="What is it called here?"
        hint="Such as: Red 125, or its owner and number."
        value={draft.name}
        onValue={(name) => set({ name })}
        problem={at("name")}
      />
      <Got of={words}>
        {(known) => {
          const kind = known.classes.find((c) => c.id === draft.class);
          return (
            <>
              <Kind words={known} chosen={draft.class} onChosen={(id) => set({ class: id, has: null })} problem={at("class")} />
              {kind && (
                <>
                  <TextField
                    label="Displacement"
                    hint={`Left out: ${kind.displacement_cc} cm³.`}
                    keys="decimal"
                    unit="cm³"
                    value={draft.cc}
                    onValue={(cc) => set({ cc })}
                    problem={wrong.cc || at("displacement_cc")}
                  />
                  <TextField
                    label="Engine hours"
                    hint="What the meter shows, or about; left out: not known."
                    keys="decimal"
                    unit="h"
                    value={draft.hours}
                    onValue={(hours) => set({ hours })}
                    problem={wrong.hours || at("hours")}
                  />
                  <Equipment words={known} kind={kind} has={traitsOf(draft.has, kind)} onHas={(has) => set({ has })} />
                </>
              )}
            </>
          );
        }}
      </Got>
    </Screen>
  );
}

const strokes = ["two-stroke", "four-stroke"];

function Kind({ words, chosen, onChosen, problem }: { words: Words; chosen: string; onChosen: (id: string) => void; problem: string }) {
  const kind = words.classes.find((c) => c.id === chosen);
  const [stroke, setStroke] = useDraft("new-bike/stroke", "");
  const shown = kind?.traits.find((t) => strokes.includes(t)) ?? stroke;
  const nameOf = (trait: string) => capital(words.traits.find((t) => t.id === trait)?.name ?? trait);
  return (
    <>
      <Choice
        label="Engine"
        value={shown === "" ? null : shown}
        onValue={(value) => {
          setStroke(value);
          if (kind && !kind.traits.includes(value)) onChosen("");
        }}
        from={strokes.map((trait) => ({ value: trait, label: nameOf(trait) }))}
        inRow
      />
      {shown !== "" && (
        <Choice
          label="Which is most like it?"
          hint="It settles what is usual; what differs is told below."
          problem={problem}
          value={chosen === "" ? null : chosen}
          onValue={onChosen}
          from={words.classes
            .filter((c) => c.traits.includes(shown))
            .map((c) => ({ value: c.id, label: capital(c.name), hint: c.traits.includes("injection") ? "injection" : "carburettor" }))}
        />
      )}
    </>
  );
}

function wrongOf(draft: BikeDraft): { cc: string; hours: string } {
  return {
    cc: draft.cc.trim() === "" || numberOf(draft.cc) > 0 ? "" : "A number of cm³, such as 125.",
    hours: draft.hours.trim() === "" || numberOf(draft.hours) >= 0 ? "" : "A number of hours, such as 38.5.",
  };
}

function bikeOf(draft: BikeDraft, words: Words): NewBike {
  const kind = words.classes.find((c) => c.id === draft.class);
  const usual = kind?.traits ?? [];
  const has = draft.has ?? usual;
  const number = (text: string) => (text.trim() === "" ? null : numberOf(text));
  return {
    name: draft.name.trim(),
    class: draft.class,
    with: has.filter((trait) => !usual.includes(trait)),
    without: usual.filter((trait) => !has.includes(trait)),
    displacement_cc: number(draft.cc),
    hours: number(draft.hours),
  };
}
