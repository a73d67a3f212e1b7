// What a step is and how it is done. Cautions stand first, always in full.
import { BikeDrawing } from "../drawing/bike-drawing";
import { Cautions } from "../shell/cautions";
import { LinkButton } from "../shell/controls";
import type { Card, JobView, Option, Outcome } from "../wire";
import { actWords, both, capital, minutes, money, percent, titleOf } from "./words";

interface Props {
  view: JobView;
  option: Option;
}

export function StepCard({ view, option }: Props) {
  const { card } = option;
  return (
    <article class="step">
      <p class="tape">{actWords(option)}</p>
      <h2 class="step-name" id="step-name" tabIndex={-1}>
        {titleOf(option)}
      </h2>
      <Cost option={option} currency={view.currency} />
      {option.because === "" ? null : <p class="notice">{capital(option.because)}</p>}
      {card ? <Cautions of={card.cautions} /> : null}
      {card ? <Before view={view} card={card} /> : null}
      {card && card.how.length > 0 ? <How card={card} /> : null}
      {option.step.startsWith("record-") ? (
        <div class="buttons">
          <LinkButton to={{ at: "recording", job: view.job }}>Listen to the recording</LinkButton>
        </div>
      ) : null}
      {option.then ? <p class="notice">Before the run, this is worth doing too: {option.then.name}.</p> : null}
    </article>
  );
}

function Cost({ option, currency }: { option: Option; currency: string }) {
  const now = both(option.access, option.own);
  const parts = [
    option.access.minutes >= 0.5 ? `${minutes(option.access.minutes)} of it getting there` : "",
    option.saved.minutes >= 0.5 ? `${minutes(option.saved.minutes)} saved by what is off` : "",
    option.closing.minutes >= 0.5 ? `then ${minutes(option.closing.minutes)} to put back and run` : "",
    option.chance_ends > 0 ? `the run is clean after it with ${percent(option.chance_ends)}` : "",
    option.worth_up_to_minutes === null
      ? ""
      : `the best as long as it takes under ${minutes(option.worth_up_to_minutes)}`,
  ].filter((p) => p !== "");
  return (
    <p class="cost">
      <b class="figures">{minutes(now.minutes)}</b>
      {now.money > 0 ? <b class="figures">{money(now.money, currency)}</b> : null}
      {parts.length > 0 ? <span>{parts.join(", ")}</span> : null}
    </p>
  );
}

const engineWords: Record<Card["engine"], string> = {
  stopped: "Engine off.",
  running: "Engine running, on the stand.",
  hot: "Engine hot.",
  ridden: "Ridden.",
};

function Before({ view, card }: { view: JobView; card: Card }) {
  const { off, on, needs, tools, wait_minutes: wait } = card;
  return (
    <div class="before">
      {off.length > 0 || view.off.length > 0 ? (
        <BikeDrawing traits={view.bike.traits} off={view.off} comesOff={off.map((p) => p.id)} />
      ) : null}
      <dl class="facts">
        <dt>State</dt>
        <dd>
          {engineWords[card.engine]}
          {wait > 0 ? ` ${minutes(wait)} of it is waiting.` : ""}
        </dd>
        {off.length > 0 ? <Fact name="Take off" words={off.map((p) => p.name)} ordered /> : null}
        {on.length > 0 ? <Fact name="Put back on" words={on.map((p) => p.name)} ordered /> : null}
        {tools.length > 0 ? <Fact name="Tools" words={tools} /> : null}
        {needs.length > 0 ? <Fact name="Parts" words={needs} /> : null}
      </dl>
    </div>
  );
}

function Fact({ name, words, ordered = false }: { name: string; words: string[]; ordered?: boolean }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>{ordered && words.length > 1 ? words.map((w, i) => `${i + 1}. ${w}`).join(", ") : words.join(", ")}</dd>
    </>
  );
}

function How({ card }: { card: Card }) {
  return (
    <div class="how">
      <h3>How</h3>
      <ol>
        {card.how.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ol>
      {card.expect === "" ? null : (
        <p class="right">
          <b>Right is:</b> {card.expect}
        </p>
      )}
    </div>
  );
}

/** What each answer would lead to. */
export function Outcomes({ option }: { option: Option }) {
  if (option.outcomes.length === 0) return null;
  return (
    <details class="sheet outcomes">
      <summary>What it would tell</summary>
      <p>
        The whole job from here, if this is done now: about {minutes(option.whole_job_minutes)}, money reckoned as time.
      </p>
      <ul class="plain">
        {option.outcomes.slice(0, 6).map((o, i) => (
          <li key={i}>
            <b>{outcomeWords(o)}</b> ({percent(o.probability)})
            {o.leader === "" ? "" : `: then ${o.leader}, ${percent(o.leader_probability)}`}
          </li>
        ))}
      </ul>
    </details>
  );
}

function outcomeWords({ so, gone }: Outcome): string {
  if (so.length === 0) return gone ? "Trouble gone" : "Trouble still there";
  const seen = so.filter((s) => s.so);
  if (so.length === 1) return `${capital(so[0]!.name)}: ${so[0]!.so ? "yes" : "no"}`;
  return seen.length === 0 ? "Nothing of it" : capital(seen.map((s) => s.name).join(" and "));
}
