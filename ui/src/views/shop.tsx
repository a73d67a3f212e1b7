// The shop: what is on the stand, its bikes, and what was closed lately.
import { capital, day, endWords } from "../job/words";
import { href } from "../route";
import { Got } from "../shell/busy";
import { LinkButton } from "../shell/controls";
import { Screen, Section } from "../shell/screen";
import { useShown } from "../state";
import { useGet } from "../use-get";
import type { BikeLine, JobLine, Shop } from "../wire";
import "../style/shop.css";

export function ShopScreen() {
  const loaded = useGet<Shop>("/shop", { live: true });
  const takingIn = useShown((s) => s.waiting).filter((w) => w.path === "/jobs");
  return (
    <Screen
      title="Shop"
      over="crankwise"
      wide
      foot={
        <div class="buttons">
          <LinkButton look="main" to={{ at: "take-in", bike: "" }}>
            Take in a job
          </LinkButton>
        </div>
      }
    >
      <Got of={loaded}>
        {(shop) => (
          <div class="shop">
            <div class="shop-jobs">
              <Section title="On the stand">
                {shop.open.length + takingIn.length === 0 ? <p>No job is open.</p> : null}
                {takingIn.map((w) => (
                  <p class="notice" key={w.key}>
                    <b>{w.words}</b>. Not yet saved; it gets its number when the server is back.
                  </p>
                ))}
                <ul class="plain jobs">
                  {shop.open.map((j) => (
                    <OpenJob key={j.job} job={j} />
                  ))}
                </ul>
              </Section>
              {shop.closed.length > 0 ? (
                <Section title="Closed lately">
                  <ClosedJobs jobs={shop.closed.slice(0, 5)} />
                  <LinkButton to={{ at: "closed" }}>All {shop.closed_count} closed jobs</LinkButton>
                </Section>
              ) : null}
            </div>
            <div class="shop-bikes">
              <Section title="Bikes">
                {shop.bikes.length === 0 ? <p>No bike is entered yet.</p> : <Bikes bikes={shop.bikes} />}
                <LinkButton to={{ at: "new-bike" }}>Enter a bike</LinkButton>
              </Section>
              <Section title="Also here">
                <ul class="rows">
                  <Way to={href({ at: "sums", id: "" })} name="Bench sums" hint="Mix, jets, ratios, timing, leaks" />
                  <Way to={href({ at: "learned" })} name="What was learned" hint="From jobs that were proven" />
                  <Way
                    to={href({ at: "settings" })}
                    name="Settings"
                    hint="Worth of an hour, tools, what is usual here"
                  />
                </ul>
              </Section>
            </div>
          </div>
        )}
      </Got>
    </Screen>
  );
}

function OpenJob({ job }: { job: JobLine }) {
  return (
    <li>
      <a class="open-job" href={href({ at: "bench", job: job.job })}>
        <span class="tape">{job.bike_name}</span>
        <span class="said">“{job.complaint}”</span>
        <span class="soft">
          Job {job.job}, since {day(job.opened)}
        </span>
      </a>
    </li>
  );
}

export function ClosedJobs({ jobs }: { jobs: JobLine[] }) {
  return (
    <ul class="rows">
      {jobs.map((j) => (
        <li key={j.job}>
          <a class="row" href={href({ at: "bench", job: j.job })}>
            <span>
              <b>{j.causes.length > 0 ? capital(j.causes.join(", ")) : endWords[j.end]}</b>
              <small class="soft">
                {j.bike_name}: “{j.complaint}”
              </small>
            </span>
            <span class="end">
              <small>
                {endWords[j.end]}
                <br />
                {day(j.closed)}
              </small>
            </span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function Bikes({ bikes }: { bikes: BikeLine[] }) {
  return (
    <ul class="rows">
      {bikes.map((b) => (
        <li key={b.id}>
          <a class="row" href={href({ at: "bike", id: b.id, part: "" })}>
            <span>
              <b>{b.name}</b>
              <small class="soft">{b.kind}</small>
            </span>
            <span class="end">{b.hours === null ? "" : `${b.hours} h`}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function Way({ to, name, hint }: { to: string; name: string; hint: string }) {
  return (
    <li>
      <a class="row" href={to}>
        <span>
          <b>{name}</b>
          <small class="soft">{hint}</small>
        </span>
      </a>
    </li>
  );
}
