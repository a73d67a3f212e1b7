// A bike as a whole: its hours, what is due, what is known of it, its jobs.
import { useEffect, useState } from "preact/hooks";
import { BikeDrawing } from "../drawing/bike-drawing";
import { capital, day, endWords } from "../job/words";
import { href } from "../route";
import { Got } from "../shell/busy";
import { Button, Choice, LinkButton } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useShown } from "../state";
import type { Loaded } from "../use-get";
import type { BikeView, TellUse } from "../wire";
import { BikeDue } from "./bike-due";
import { useTell, type Telling } from "./bike-tell";

export function BikePage({ bike, loaded }: { bike: BikeView; loaded: Loaded<BikeView> }) {
  const telling = useTell(bike);
  return (
    <Screen
      title={bike.name}
      over={bike.kind}
      back={{ at: "shop" }}
      backTo="Shop"
      wide
      foot={
        <div class="buttons">
          <LinkButton to={{ at: "take-in", bike: bike.id }} look="main">
            Take it in
          </LinkButton>
        </div>
      }
    >
      <div class="bike-columns">
        <div>
          <div>
            <Got of={loaded}>{() => null}</Got>
            <Problem of={telling.post.problems} />
            <Unsaved bike={bike} />
            <div class="bike-picture">
              <BikeDrawing traits={bike.traits.map((t) => t.id)} off={[]} comesOff={[]} />
            </div>
          </div>
          <Hours bike={bike} telling={telling} />
          <Jobs bike={bike} />
        </div>
        <div>
          <BikeDue bike={bike} />
        </div>
      </div>
      <div class="bike-columns">
        <div>
          <Figures bike={bike} />
        </div>
        <div>
          <Renewed bike={bike} />
          <Section title="Equipment">
            <p>
              {bike.displacement_cc} cm³: {bike.traits.map((t) => t.name).join(", ")}.
            </p>
          </Section>
        </div>
      </div>
      {bike.undo !== "" && <Undo bike={bike} telling={telling} />}
    </Screen>
  );
}

function Unsaved({ bike }: { bike: BikeView }) {
  const waiting = useShown((s) => s.waiting).filter((w) => w.about === `bike/${bike.id}`);
  if (waiting.length === 0) return null;
  return (
    <div class="notice">
      <p>
        <b>Not yet saved:</b>
      </p>
      <ul>
        {waiting.map((w) => (
          <li key={w.key}>{w.words}</li>
        ))}
      </ul>
    </div>
  );
}

function Hours({ bike, telling }: { bike: BikeView; telling: Telling }) {
  const [tapped, tap] = useState<boolean | null>(null);
  const refused = telling.post.is === "refused";
  useEffect(() => tap(null), [bike.hard, refused]);
  const use = (hard: boolean) => {
    tap(hard);
    telling.tell("use", { hard } satisfies TellUse, hard ? "ridden hard" : "ridden as usual");
  };
  return (
    <Section title="Engine hours" tools={<LinkButton to={{ at: "bike", id: bike.id, part: "hours" }}>Tell hours</LinkButton>}>
      <p class="hours figures">
        {bike.hours === null ? (
          <b>Not known</b>
        ) : (
          <>
            <b>{bike.hours} h</b> {bike.hours_from}
          </>
        )}
      </p>
      <Choice
        label="How is it ridden?"
        value={(tapped ?? bike.hard) ? "hard" : "usual"}
        onValue={(value) => use(value === "hard")}
        from={[
          { value: "usual", label: "As usual" },
          { value: "hard", label: "Hard", hint: "racing, sand, mud: things are due sooner" },
        ]}
      />
    </Section>
  );
}

function Jobs({ bike }: { bike: BikeView }) {
  return (
    <Section title="Jobs">
      {bike.jobs.length === 0 ? (
        <p>No job yet.</p>
      ) : (
        <ul class="rows">
          {bike.jobs.map((job) => (
            <li key={job.job}>
              <a class="row" href={href({ at: "bench", job: job.job })}>
                <span>
                  <b>“{job.complaint}”</b>
                  {job.causes.length > 0 && <span>{capital(job.causes.join(", "))}</span>}
                </span>
                <span class="end">
                  {endWords[job.end]}
                  <br />
                  {day(job.closed || job.opened)}
                </span>
              </a>
            </li>
          ))}
        </ul>
      )}
    </Section>
  );
}

function Figures({ bike }: { bike: BikeView }) {
  const facts = bike.facts.filter((fact) => fact.told !== "");
  const part = (what: string) => ({ at: "bike", id: bike.id, part: what }) as const;
  return (
    <Section title="Its own figures">
      <p class="soft">Readings are held against these first: measured on this bike when it was right, then its handbook.</p>
      {bike.figures.length + facts.length > 0 && (
        <ul class="rows">
          {bike.figures.map((figure) => (
            <li key={figure.reading + figure.baseline}>
              <a class="row" href={href(part(`figure/${figure.reading}`))}>
                <span>
                  <b>{capital(figure.name)}</b>
                  {figure.baseline ? "measured on this bike" : "from its handbook"}
                </span>
                <span class="end">{figure.told}</span>
              </a>
            </li>
          ))}
          {facts.map((fact) => (
            <li key={fact.id}>
              <a class="row" href={href(part(`fact/${fact.id}`))}>
                <span>
                  <b>{capital(fact.id.replace(/-/g, " "))}</b>
                  {fact.ask}
                </span>
                <span class="end">{fact.told}</span>
              </a>
            </li>
          ))}
        </ul>
      )}
      <div class="buttons">
        <LinkButton to={part("figure")}>Enter a figure</LinkButton>
        <LinkButton to={part("fact")}>Enter a fact</LinkButton>
      </div>
    </Section>
  );
}

function Renewed({ bike }: { bike: BikeView }) {
  return (
    <Section
      title="Renewed"
      tools={<LinkButton to={{ at: "bike", id: bike.id, part: "renewed" }}>Tell another</LinkButton>}
    >
      {bike.renewed.length === 0 ? (
        <p>Nothing is on the record.</p>
      ) : (
        <dl class="renewed figures">
          {bike.renewed.map((part) => (
            <div key={part.id}>
              <dt>{capital(part.name)}</dt>
              <dd>{[part.hours === null ? "" : `at ${part.hours} h`, day(part.day)].filter(Boolean).join(", ")}</dd>
            </div>
          ))}
        </dl>
      )}
    </Section>
  );
}

function Undo({ bike, telling }: { bike: BikeView; telling: Telling }) {
  const [asked, ask] = useState(false);
  const takeBack = () => {
    ask(false);
    telling.tell("undo", {}, `take back: ${bike.undo}`);
  };
  return (
    <Section title="Told by mistake?">
      {asked ? (
        <>
          <p>Take back: {bike.undo}?</p>
          <div class="buttons">
            <Button look="bad" onPress={takeBack}>
              Take it back
            </Button>
            <Button onPress={() => ask(false)}>Leave it</Button>
          </div>
        </>
      ) : (
        <Button onPress={() => ask(true)}>Take back: {bike.undo}</Button>
      )}
    </Section>
  );
}
