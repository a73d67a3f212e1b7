// Entries that the server does not have yet, and those that it refused: to be put right or dropped.
import { useState } from "preact/hooks";
import { capital, clock } from "../job/words";
import { editable } from "../job/editable";
import { drop, nudge, putRight } from "../queue";
import { Button, LinkButton, LongText } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useShown, type Waiting } from "../state";

export function WaitingScreen() {
  const waiting = useShown((s) => s.waiting);
  const link = useShown((s) => s.link);
  const durable = useShown((s) => s.durable);
  const refused = waiting.filter((w) => w.refused);
  const others = waiting.filter((w) => !w.refused);
  return (
    <Screen
      title="Not yet saved"
      back={{ at: "shop" }}
      backTo="Shop"
      foot={
        others.length > 0 ? (
          <div class="buttons">
            <Button onPress={nudge}>Try now</Button>
          </div>
        ) : null
      }
    >
      <p>
        {link === "down"
          ? "The server does not answer. This phone tries again by itself every few seconds."
          : "The server answers."}
      </p>
      {waiting.length === 0 ? <p>Everything is saved.</p> : null}
      {!durable && waiting.length > 0 ? (
        <p class="problem">
          This browser keeps nothing when the page is closed. Leave it open until everything is saved.
        </p>
      ) : null}
      {refused.length > 0 ? (
        <Section title="Not taken">
          {refused.map((w) => (
            <Refused key={w.key} entry={w} />
          ))}
        </Section>
      ) : null}
      {others.length > 0 ? (
        <Section title="On this phone, in this order">
          <ol class="plain rows">
            {others.map((w) => (
              <li class="row" key={w.key}>
                <span>
                  <b>{capital(w.words)}</b>
                  <span class="soft">{clock(w.at)}</span>
                </span>
                <About about={w.about} />
              </li>
            ))}
          </ol>
        </Section>
      ) : null}
    </Screen>
  );
}

function About({ about }: { about: string }) {
  const job = /^job\/(\d+)$/.exec(about);
  return job ? (
    <LinkButton look="quiet" to={{ at: "bench", job: Number(job[1]) }}>
      Job {job[1]}
    </LinkButton>
  ) : null;
}

function Refused({ entry }: { entry: Waiting }) {
  const edit = editable(entry);
  const [text, setText] = useState(edit?.text ?? "");
  const [dropping, ask] = useState(false);
  const again = () => void putRight(entry, edit ? edit.withText(text.trim()) : entry.body);
  return (
    <div class="sheet">
      <h3>{capital(entry.words)}</h3>
      <p class="soft">{clock(entry.at)}</p>
      <Problem of={entry.refused} />
      <About about={entry.about} />
      {edit ? <LongText label={edit.label} rows={2} value={text} onValue={setText} /> : null}
      {dropping ? (
        <div class="asking">
          <p>
            <b>Drop it?</b> It is then nowhere.
          </p>
          <div class="buttons">
            <Button onPress={() => ask(false)}>Keep it</Button>
            <Button look="bad" onPress={() => void drop(entry)}>
              Drop it
            </Button>
          </div>
        </div>
      ) : (
        <div class="buttons">
          <Button onPress={() => ask(true)}>Drop it</Button>
          <Button look="main" onPress={again}>
            {entry.refused?.doubted && text.trim() === edit?.text ? "It is as I say: send it" : "Send it again"}
          </Button>
        </div>
      )}
    </div>
  );
}
