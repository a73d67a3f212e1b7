// What is due on a bike, with the reason, what it risks, and the cautions before the work.
import { capital, percent } from "../job/words";
import { LinkButton } from "../shell/controls";
import { Section } from "../shell/screen";
import type { BikeView, DueItem } from "../wire";
import { Cautions } from "../shell/cautions";

const groups: { urgency: DueItem["urgency"]; title: string; about: string }[] = [
  { urgency: "overdue", title: "Overdue", about: "" },
  { urgency: "soon", title: "Due soon", about: "" },
  { urgency: "unknown", title: "Perhaps overdue", about: "Nobody wrote down when it was done last." },
  { urgency: "later", title: "Later", about: "" },
];

export function BikeDue({ bike }: { bike: BikeView }) {
  const { due } = bike;
  return (
    <Section title="What is due">
      {due.items.length === 0 ? (
        <p>Nothing is due that is known of.</p>
      ) : (
        <p>
          Chance of trouble in the next {due.within_hours} h if nothing is done: <b>{percent(due.chance_of_any)}</b>
        </p>
      )}
      {groups.map(({ urgency, title, about }) => {
        const items = due.items.filter((item) => item.urgency === urgency);
        if (items.length === 0) return null;
        const list = items.map((item) => <Item key={item.upkeep} bike={bike} item={item} within={due.within_hours} />);
        return urgency === "overdue" || urgency === "soon" ? (
          <div class="due-group" key={urgency}>
            <h3 class={`due-title ${urgency}`}>{title}</h3>
            {list}
          </div>
        ) : (
          <details class="due-group" key={urgency}>
            <summary>
              {title}: {items.length}
            </summary>
            {about !== "" && <p class="soft">{about}</p>}
            {list}
          </details>
        );
      })}
    </Section>
  );
}

function Item({ bike, item, within }: { bike: BikeView; item: DueItem; within: number }) {
  return (
    <article class={`sheet due ${item.urgency}`}>
      <h4>{capital(item.name)}</h4>
      <p class="figures">{capital(item.reason)}.</p>
      {item.chance !== null && (
        <p>
          Trouble in the next {within} h: <b>{percent(item.chance)}</b>
        </p>
      )}
      <Cautions of={item.cautions} />
      <p>{capital(item.work)}.</p>
      <p class="soft">{item.why}</p>
      <LinkButton to={{ at: "bike", id: bike.id, part: `renewed/${item.upkeep}` }}>Done: {item.name}</LinkButton>
    </article>
  );
}
