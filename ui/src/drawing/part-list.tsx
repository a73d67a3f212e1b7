import type { DrawingProps } from "./bike-drawing";
import { partsOf } from "./parts";

/** The same as the drawing, as a list to be ticked: ticked is off the bike. */
export function PartList({ traits, off, comesOff, focus, onPart }: DrawingProps) {
  return (
    <ul class="part-list">
      {partsOf(traits).map(({ id, name }) => {
        const isOff = off.includes(id);
        const n = isOff ? 0 : comesOff.indexOf(id) + 1;
        const said = [n ? "comes off now" : "", focus === id ? "this step is about it" : ""].filter(Boolean).join(", ");
        return (
          <li key={id}>
            <label class={isOff ? "check chosen" : "check"}>
              <input type="checkbox" checked={isOff} disabled={!onPart} onChange={() => onPart?.(id)} />
              <span>
                {sentence(name)}
                {said && <small>{said}</small>}
              </span>
              {n > 0 && <b class="number">{n}</b>}
            </label>
          </li>
        );
      })}
    </ul>
  );
}

const sentence = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);
