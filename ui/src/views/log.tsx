// Everything that was written down on a job, latest first, with its photos; above it what is not yet saved.
import { useState } from "preact/hooks";
import { TakeBack } from "../job/foot";
import { useJob } from "../job/use-job";
import { capital, clock } from "../job/words";
import { Got } from "../shell/busy";
import { Button, LinkButton } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import type { Waiting } from "../state";
import type { LogLine } from "../wire";
import "../style/log.css";

export function LogScreen({ job }: { job: number }) {
  const here = useJob(job);
  const [asking, ask] = useState(false);
  const view = here.loaded.value;
  const nothing = !view?.undo && here.unsaved.length === 0;
  return (
    <Screen
      title="Written down"
      over={view ? `Job ${job}: ${view.bike.name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
      foot={
        view && asking ? (
          <TakeBack here={here} view={view} onDone={() => ask(false)} />
        ) : (
          <div class="buttons">
            <Button off={nothing || here.settling} onPress={() => ask(true)}>
              Take back the last
            </Button>
            <LinkButton to={{ at: "note", job }}>Note or photo</LinkButton>
          </div>
        )
      }
    >
      <Problem of={here.posting.problems} />
      <Got of={here.loaded}>
        {(shown) => (
          <>
            {shown.log.length + here.unsaved.length === 0 ? <p>Nothing yet.</p> : null}
            <ol class="plain log">
              {[...here.unsaved].reverse().map((w) => (
                <Unsaved key={w.key} entry={w} />
              ))}
              {acts(shown.log)
                .reverse()
                .map((lines) => (
                  <Act key={lines[0]!.act} job={job} lines={lines} open={shown.end === "open"} />
                ))}
            </ol>
          </>
        )}
      </Got>
    </Screen>
  );
}

/** Lines that were written together; a photo stands with what it shows. */
function acts(log: LogLine[]): LogLine[][] {
  const together: LogLine[][] = [];
  for (const line of log) {
    const act = line.photo?.of || line.act;
    const same = together.find((lines) => lines[0]!.act === act);
    if (same) same.push(line);
    else together.push([line]);
  }
  return together;
}

function Act({ job, lines, open }: { job: number; lines: LogLine[]; open: boolean }) {
  const { at, act } = lines[0]!;
  const words = lines.map((l) => l.words).join("; ");
  return (
    <li class="act">
      <time dateTime={at}>{clock(at)}</time>
      {lines.map((l, i) => (
        <div key={i}>
          <p>{capital(l.words)}</p>
          {l.verdict.length > 0 ? (
            <ul class="plain judged">
              {l.verdict.map((v) => (
                <li key={v}>{capital(v)}</li>
              ))}
            </ul>
          ) : null}
          {l.photo ? (
            <a class="photo" href={`/api/photos/${l.photo.sha256}`} target="_blank" rel="noreferrer">
              <img
                src={`/api/photos/${l.photo.sha256}`}
                alt={capital(l.words)}
                width={l.photo.width}
                height={l.photo.height}
                loading="lazy"
              />
            </a>
          ) : null}
        </div>
      ))}
      {open ? (
        <LinkButton to={{ at: "photo", job, act }} label={`Add a photo to: ${words}`}>
          Add a photo
        </LinkButton>
      ) : null}
    </li>
  );
}

function Unsaved({ entry }: { entry: Waiting }) {
  return (
    <li class="act unsaved">
      <time dateTime={entry.at}>{clock(entry.at)}</time>
      <p>{capital(entry.words)}</p>
      <p class="mark">{entry.refused ? "Not taken by the server" : "Not yet saved: on this phone only"}</p>
    </li>
  );
}
