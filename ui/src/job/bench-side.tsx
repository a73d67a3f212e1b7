// Beside the step: what was written last, the suspects, what came second, what is off, doubts about it all.
import { href } from "../route";
import { Button, LinkButton } from "../shell/controls";
import { Section } from "../shell/screen";
import type { Waiting } from "../state";
import type { JobView, Suspect } from "../wire";
import type { JobHere } from "./use-job";
import { both, capital, clock, minutes, percent, titleOf } from "./words";

export function LastEntry({ view, unsaved }: { view: JobView; unsaved: Waiting[] }) {
  const waits = unsaved.filter((w) => !w.refused);
  const refused = unsaved.length - waits.length;
  const act = view.undo?.act;
  const lines = view.log.filter((l) => l.act === act && l.verdict.length > 0);
  return (
    <>
      {refused > 0 ? (
        <div class="problem">
          <p>The server did not take an entry of this job.</p>
          <LinkButton to={{ at: "waiting" }} look="bad">
            Put it right or drop it
          </LinkButton>
        </div>
      ) : null}
      {lines.map((l) => (
        <section class="sheet verdict" aria-label="How the reading was judged" key={l.words}>
          <p>
            <b>{capital(l.words)}</b>
          </p>
          <ul class="plain">
            {l.verdict.map((v) => (
              <li key={v}>{capital(v)}</li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}

export function SuspectBar({ suspect, job }: { suspect: Suspect; job: number }) {
  return (
    <li>
      <a class="row suspect" href={href({ at: "why", job, fault: suspect.fault })}>
        <span>
          <b>{capital(suspect.name)}</b>
          <span class="bar" aria-hidden="true">
            <span style={{ width: `${Math.max(1, 100 * suspect.probability)}%` }} />
          </span>
        </span>
        <span class="end">{percent(suspect.probability)}</span>
      </a>
    </li>
  );
}

export function BenchSide({ here, view }: { here: JobHere; view: JobView }) {
  const { job } = view;
  return (
    <>
      {view.notes.map((n) => (
        <p class="notice" key={n}>
          {capital(n)}
        </p>
      ))}
      {view.swapped_in.map((s) => (
        <div class="sheet" key={s.id}>
          <p>
            <b>A known good part is in:</b> {s.name}.
          </p>
          <Button
            off={here.settling}
            onPress={() => here.write([{ kind: "put-back", step: s.id }], `old part back in: ${s.name}`)}
          >
            The old one is back in
          </Button>
        </div>
      ))}
      {view.suspects.length > 0 ? (
        <Section title={view.end === "open" ? "Likeliest now" : "Likeliest at the end"}>
          <ul class="rows">
            {view.suspects.slice(0, 4).map((s) => (
              <SuspectBar key={s.fault} suspect={s} job={job} />
            ))}
          </ul>
          <LinkButton to={{ at: "suspects", job }}>All suspects</LinkButton>
        </Section>
      ) : null}
      {view.others.length > 0 ? (
        <Section title="What came second">
          <ul class="rows">
            {view.others.slice(0, 3).map((o) => (
              <li key={o.step}>
                <a class="row" href={href({ at: "step", job, step: o.step })}>
                  <span>{titleOf(o)}</span>
                  <span class="end">{minutes(both(o.access, o.own).minutes)}</span>
                </a>
              </li>
            ))}
          </ul>
          <LinkButton to={{ at: "others", job }}>All other steps</LinkButton>
        </Section>
      ) : null}
      <Section title="This job">
        <ul class="rows">
          <Way
            to={href({ at: "parts", job })}
            name="Parts off"
            end={view.off.length === 0 ? "none" : `${view.off.length}`}
          />
          <Way to={href({ at: "log", job })} name="What was written down" end={lastTime(view)} />
          <Way to={href({ at: "heard", job })} name="What the rider says" end="" />
          <Way to={href({ at: "sheet", job })} name="Job sheet" end="" />
          <Way
            to={href({ at: "bike", id: view.bike.id, part: "" })}
            name={view.bike.name}
            end={view.bike.hours === null ? "" : `${view.bike.hours} h`}
          />
          {view.end === "open" ? <Way to={href({ at: "close", job })} name="Close the job" end="" /> : null}
        </ul>
      </Section>
    </>
  );
}

function Way({ to, name, end }: { to: string; name: string; end: string }) {
  return (
    <li>
      <a class="row" href={to}>
        <span>{name}</span>
        <span class="end">{end}</span>
      </a>
    </li>
  );
}

function lastTime(view: JobView): string {
  const last = view.log[view.log.length - 1];
  return last ? clock(last.at) : "";
}
