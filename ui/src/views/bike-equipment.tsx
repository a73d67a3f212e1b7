// What a new bike has: as usual for its kind, until something is told otherwise.
import { BikeDrawing } from "../drawing/bike-drawing";
import { capital } from "../job/words";
import { Check, Choice } from "../shell/controls";
import type { Words } from "../wire";

type Kind = Words["classes"][number];

export const traitsOf = (has: string[] | null, kind: Kind): string[] => has ?? kind.traits;

interface Props {
  words: Words;
  kind: Kind;
  has: string[];
  onHas: (has: string[]) => void;
}

export function Equipment({ words, kind, has, onHas }: Props) {
  const groups = [...new Set(words.traits.map((t) => t.group))].filter((group) => group !== "" && group !== "cycle");
  return (
    <>
      <div class="bike-picture">
        <BikeDrawing traits={has} off={[]} comesOff={[]} />
      </div>
      {groups.map((group) => {
        const members = words.traits.filter((t) => t.group === group);
        return (
          <Choice
            key={group}
            label={capital(group)}
            value={members.find((t) => has.includes(t.id))?.id ?? null}
            onValue={(id) => onHas([...has.filter((one) => !members.some((t) => t.id === one)), id])}
            from={members.map((t) => ({ value: t.id, label: capital(t.name) }))}
          />
        );
      })}
      <fieldset class="field equipment">
        <legend>It has</legend>
        {words.traits
          .filter((t) => t.group === "")
          .map((t) => (
            <Check
              key={t.id}
              label={capital(t.name)}
              value={has.includes(t.id)}
              onValue={(on) => onHas(on ? [...has, t.id] : has.filter((one) => one !== t.id))}
              {...(has.includes(t.id) === kind.traits.includes(t.id) ? {} : { hint: "not as usual for its kind" })}
            />
          ))}
      </fieldset>
    </>
  );
}
