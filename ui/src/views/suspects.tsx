// What is likely wrong, and why a fault is suspected.
import { SuspectBar } from "../job/bench-side";
import { useJob } from "../job/use-job";
import { capital, percent } from "../job/words";
import { Got } from "../shell/busy";
import { Screen, Section } from "../shell/screen";
import { useGet } from "../use-get";
import type { Reason, Why } from "../wire";
import "../style/step.css";

export function SuspectsScreen({ job }: { job: number }) {
  const { loaded } = useJob(job);
  return (
    <Screen
      title="Suspects"
      over={loaded.value ? `Job ${job}: ${loaded.value.bike.name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
    >
      <Got of={loaded}>
        {(view) => (
          <>
            <p>The likeliest faults now. Tap one to see why.</p>
            <ul class="rows">
              {view.suspects.map((s) => (
                <SuspectBar key={s.fault} suspect={s} job={job} />
              ))}
            </ul>
            <p class="soft">
              The chance that some fault is left: {percent(view.doubt)}. Two faults at once are reckoned with, so these
              need not add up to all.
            </p>
            {view.notes.map((n) => (
              <p class="notice" key={n}>
                {capital(n)}
              </p>
            ))}
          </>
        )}
      </Got>
    </Screen>
  );
}

export function WhyScreen({ job, fault }: { job: number; fault: string }) {
  const { loaded } = useJob(job);
  const why = useGet<Why>(`/jobs/${job}/why/${encodeURIComponent(fault)}`);
  const name = why.value?.fault.name ?? loaded.value?.suspects.find((s) => s.fault === fault)?.name ?? "Suspect";
  return (
    <Screen title={capital(name)} over={`Job ${job}: why`} back={{ at: "suspects", job }} backTo="Suspects">
      <Got of={why}>
        {(w) => (
          <>
            <dl class="then-now">
              <div>
                <dt>Before the job</dt>
                <dd>{percent(w.prior)}</dd>
              </div>
              <div>
                <dt>Now</dt>
                <dd>{percent(w.now)}</dd>
              </div>
            </dl>
            {w.before.length > 0 ? (
              <Section title="From the start">
                <ul>
                  {w.before.map((b) => (
                    <li key={b}>{capital(b)}</li>
                  ))}
                </ul>
              </Section>
            ) : null}
            <Reasons title="Speaks for it" reasons={w.raised} />
            <Reasons title="Speaks against it" reasons={w.lowered} />
            {w.turns.length > 0 ? (
              <Section title="What would change that">
                <ul>
                  {w.turns.map((t) => (
                    <li key={t}>{capital(t)}</li>
                  ))}
                </ul>
              </Section>
            ) : null}
          </>
        )}
      </Got>
    </Screen>
  );
}

function Reasons({ title, reasons }: { title: string; reasons: Reason[] }) {
  if (reasons.length === 0) return null;
  return (
    <Section title={title}>
      <ul class="rows">
        {reasons.map((r) => (
          <li class="row" key={r.what}>
            <span>
              {capital(r.what)}
              <small class="soft under">{r.words}</small>
            </span>
          </li>
        ))}
      </ul>
    </Section>
  );
}
