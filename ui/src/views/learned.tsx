// How often the advice was right in this shop.
import { percent } from "../job/words";
import { Got } from "../shell/busy";
import { Screen, Section } from "../shell/screen";
import { useGet } from "../use-get";
import type { Learned } from "../wire";
import "./learned.css";

export function LearnedScreen() {
  const loaded = useGet<Learned>("/learned");
  return (
    <Screen title="How often it was right" back={{ at: "shop" }} backTo="Shop">
      <Got of={loaded}>{(learned) => <TrackRecord learned={learned} />}</Got>
    </Screen>
  );
}

function TrackRecord({ learned: { jobs, least, leader_right } }: { learned: Learned }) {
  const bins = leader_right.filter((bin) => bin.acts > 0);
  if (jobs < least || bins.length === 0)
    return (
      <>
        <p>
          <b>
            {jobs === 0 ? "No job" : jobs === 1 ? "One job" : `${jobs} jobs`} with a proven cause so far. From {least} on it
            can be said how often the advice was right.
          </b>
        </p>
        <meter class="learned-so-far" min={0} max={least} value={jobs} aria-label={`${jobs} of ${least} jobs`} />
        <p class="soft">
          Every job that is closed as proven counts, if there was something on its record before the cause was put right.
        </p>
      </>
    );
  const acts = bins.reduce((sum, bin) => sum + bin.acts, 0);
  const mean = (of: "believed" | "right") => bins.reduce((sum, bin) => sum + bin[of] * bin.acts, 0) / acts;
  return (
    <>
      <p class="learned-all">
        The likeliest fault was the cause <b>{percent(mean("right"))}</b> of the time. It was said to be so with{" "}
        <b>{percent(mean("believed"))}</b> on average.
      </p>
      <p>{inShort(mean("believed"), mean("right"))}</p>
      <Section title="By how sure it was">
        <table class="learned-table figures">
          <caption class="soft">
            {jobs} jobs, looked at after each of {acts} entries
          </caption>
          <thead>
            <tr>
              <th scope="col">Said</th>
              <th scope="col">Was so</th>
              <th scope="col">Times</th>
            </tr>
          </thead>
          <tbody>
            {bins.map((bin) => (
              <tr key={bin.believed}>
                <th scope="row">{percent(bin.believed)}</th>
                <td>
                  <span class="pair" aria-hidden="true">
                    <span class="so" style={{ width: `${100 * bin.right}%` }} />
                    <span class="said" style={{ left: `${100 * bin.believed}%` }} />
                  </span>
                  {percent(bin.right)}
                </td>
                <td>{bin.acts}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p class="soft">The bar is how often it was so, the upright line what was said. Few times say little.</p>
      </Section>
    </>
  );
}

function inShort(believed: number, right: number): string {
  if (Math.abs(believed - right) < 0.05) return "What it says can be taken as it is.";
  return right < believed ? "It was surer than it should have been." : "It was right more often than it said.";
}
