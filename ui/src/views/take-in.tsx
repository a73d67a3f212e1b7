// A job is taken in: which bike, and what the rider says in his own words. Only the server gives it a number.
import { useEffect, useState } from "preact/hooks";
import { get } from "../api";
import { capital } from "../job/words";
import { go } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button, Choice, LinkButton, LongText } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { usePost } from "../shell/use-post";
import { useGet } from "../use-get";
import type { BikeLine, Heard, Shop, TakeIn, Written } from "../wire";

export function TakeInScreen({ bike: given }: { bike: string }) {
  const shop = useGet<Shop>("/shop");
  const [draft, set, clear, kept] = useDraft<TakeIn>("take-in", { bike: "", complaint: "" });
  const posting = usePost();
  const bikes = shop.value?.bikes ?? [];
  const bike = given !== "" ? given : draft.bike !== "" ? draft.bike : bikes.length === 1 ? bikes[0]!.id : "";
  const name = bikes.find((b) => b.id === bike)?.name ?? bike;
  const waits = posting.is === "kept";
  const takeIn = () => {
    const body: TakeIn = { bike, complaint: draft.complaint.trim() };
    posting.send(
      { path: "/jobs", body, about: `take-in/${bike}`, words: `${name}: “${body.complaint}”` },
      {
        onKept: kept,
        onWritten: ({ made }: Written) => {
          clear();
          const job = Number(made.split("/")[1]);
          go(job > 0 ? { at: "heard", job } : { at: "shop" }, "replace");
        },
      },
    );
  };
  return (
    <Screen
      title="Take in a job"
      back={{ at: "shop" }}
      backTo="Shop"
      foot={
        <>
          <Busy when={posting.is === "keeping" || waits} words="Taking it in" />
          <div class="buttons">
            <Button
              look="main"
              off={bike === "" || draft.complaint.trim() === "" || waits || posting.is === "keeping"}
              onPress={takeIn}
            >
              Take it in
            </Button>
          </div>
        </>
      }
    >
      <Got of={shop}>
        {() =>
          bikes.length === 0 ? (
            <Section title="Which bike?">
              <p>No bike is entered yet. Enter it first.</p>
              <LinkButton look="main" to={{ at: "new-bike" }}>
                Enter a bike
              </LinkButton>
            </Section>
          ) : (
            <WhichBike
              bikes={bikes}
              bike={bike}
              problem={problemOf(posting.problems, "bike")}
              onBike={(id) => {
                set({ ...draft, bike: id });
                if (given !== "") go({ at: "take-in", bike: "" }, "replace");
              }}
            />
          )
        }
      </Got>
      <LongText
        label="What does the rider say?"
        hint="In his own words: what it does, when, since when, what was done to it"
        value={draft.complaint}
        onValue={(complaint) => {
          set({ ...draft, complaint });
          if (posting.is === "refused") posting.clear();
        }}
        problem={problemOf(posting.problems, "complaint")}
      />
      <HeardSoFar bike={bike} words={draft.complaint} />
      <Problem of={posting.problems} but={["bike", "complaint"]} />
      {waits ? (
        <p class="notice" role="status">
          Kept on this phone. The job gets its number from the server, so it waits for it; this page goes on by itself
          then.
        </p>
      ) : null}
    </Screen>
  );
}

function WhichBike({
  bikes,
  bike,
  onBike,
  problem,
}: {
  bikes: BikeLine[];
  bike: string;
  onBike: (id: string) => void;
  problem: string;
}) {
  return (
    <>
      <Choice
        label="Which bike?"
        value={bike}
        onValue={onBike}
        problem={problem}
        from={bikes.map((b) => ({ value: b.id, label: b.name, hint: b.kind }))}
      />
      <LinkButton to={{ at: "new-bike" }}>Another bike: enter it</LinkButton>
    </>
  );
}

/** What the words may mean, while they are typed; it is asked about after the take-in. */
function HeardSoFar({ bike, words }: { bike: string; words: string }) {
  const [heard, setHeard] = useState<Heard[]>([]);
  useEffect(() => {
    if (words.trim().length < 4) return setHeard([]);
    let here = true;
    const timer = setTimeout(() => {
      const query = `/hear?${bike === "" ? "" : `bike=${encodeURIComponent(bike)}&`}words=${encodeURIComponent(words.trim())}`;
      void get<Heard[]>(query).then((answered) => {
        if (here && answered.is === "new") setHeard(answered.value);
      });
    }, 400);
    return () => {
      here = false;
      clearTimeout(timer);
    };
  }, [bike, words]);
  return (
    <div role="status">
      {heard.length > 0 ? (
        <>
          <p class="hint">Heard so far; it is asked about next:</p>
          <ul>
            {heard.map((h) => (
              <li key={`${h.context} ${h.id}`}>{capital(h.so ? h.name : `not: ${h.name}`)}</li>
            ))}
          </ul>
        </>
      ) : null}
    </div>
  );
}
