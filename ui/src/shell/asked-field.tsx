// A number with its unit, or a word out of a few: what bench sums ask for, how a reading was taken, facts of a
// bike, what is usual in a shop.
//
//   <AskedField asked={input} given={given} onGiven={set} problem={problemOf(problems, input.id)} usual="101 kPa" />
//   toldOf(input, given);   // "20 L", "flow", "" if nothing was given
import { capital } from "../job/words";
import { Choice, Field } from "./controls";
import type { Condition } from "../wire";
import "../style/asked.css";

export interface Given {
  value: string;
  unit: string; // "": the first of its units
}

export const nothingGiven: Given = { value: "", unit: "" };

export const isWord = (asked: Condition): boolean => asked.choices.length > 0;

const bare = (unit: string) => unit === "" || unit === "number";
const isNumber = (text: string) => /^[-+]?[\d.,]+$/.test(text);

/** A unit that was typed with the number is left as it is. */
export function toldOf(asked: Condition, { value, unit }: Given): string {
  const text = value.trim();
  const chosen = unit === "" ? asked.unit : unit;
  if (!isNumber(text) || isWord(asked)) return text;
  const number = text.replace(",", ".");
  return bare(chosen) ? number : `${number} ${chosen}`;
}

/** "1400 m" -> the field as it was filled in. */
export function givenOf(asked: Condition, told: string): Given {
  const [, number = "", unit = ""] = told.match(/^([-+]?[\d.]+)\s*(.*)$/) ?? [];
  return isWord(asked) || number === "" ? { value: told, unit: "" } : { value: number, unit };
}

interface Props {
  asked: Condition;
  given: Given;
  onGiven: (given: Given) => void;
  problem?: string;
  usual?: string; // taken if nothing is given
  mayLack?: boolean; // said beside it
  unsaid?: boolean; // it need not be said, which goes without saying
}

export function AskedField({ asked, given, onGiven, problem = "", usual = "", mayLack = false, unsaid = mayLack }: Props) {
  const label = capital(asked.name.replace(/-/g, " "));
  const left = usual === "" ? (mayLack ? "May be left out." : "") : `Left out: ${usual}.`;
  const hint = [asked.ask === asked.name ? "" : `${capital(asked.ask)}.`, left].filter(Boolean).join(" ");
  if (isWord(asked)) {
    const none = usual === "" && unsaid ? [{ value: "", label: "not said" }] : [];
    return (
      <Choice
        label={label}
        hint={hint}
        problem={problem}
        value={given.value === "" && usual !== "" ? usual : given.value}
        onValue={(value) => onGiven({ value, unit: "" })}
        from={[...none, ...asked.choices.map((c) => ({ value: c, label: capital(c) }))]}
        inRow
      />
    );
  }
  const several = asked.units.length > 1;
  return (
    <Field label={label} hint={hint} problem={problem}>
      {(ids) => (
        <div class={several ? "input-row with-unit" : "input-row"}>
          <input
            {...ids}
            class="input number"
            inputMode={asked.unit === "" ? "text" : "decimal"}
            autoComplete="off"
            value={given.value}
            onInput={(e) => onGiven({ ...given, value: e.currentTarget.value })}
          />
          {several ? (
            <select
              class="input"
              aria-label={`Unit of ${label.toLowerCase()}`}
              value={given.unit === "" ? asked.unit : given.unit}
              onChange={(e) => onGiven({ ...given, unit: e.currentTarget.value })}
            >
              {asked.units.map((u) => (
                <option key={u} value={u}>
                  {bare(u) ? "none" : u}
                </option>
              ))}
            </select>
          ) : (
            !bare(asked.unit) && <span class="unit">{asked.unit}</span>
          )}
        </div>
      )}
    </Field>
  );
}
