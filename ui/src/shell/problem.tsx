// <Problem of={problems} but={["hours"]}>: what was refused and what would be right; `but` names fields whose problems
// stand at their input, by <Field problem={problemOf(problems, "hours")}>.
import { useEffect, useRef } from "preact/hooks";
import type { Problem as Told, Problems } from "../wire";

/** In words, or "". A field of an entry within a list ("entries.0.told") is found by its last name. */
export function problemOf(problems: Problems | null, field: string): string {
  const told = problems?.problems.find((p) => isOf(p, field));
  return told ? inWords(told) : "";
}

const isOf = (p: Told, field: string) => p.field === field || p.field.split(/[./]/).pop() === field;

const inWords = ({ wrong, right }: Told) =>
  right === "" ? sentence(wrong) : `${sentence(wrong)} Right: ${sentence(right)}`;

function sentence(text: string): string {
  const begun = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(begun) ? begun : `${begun}.`;
}

export function Problem({ of, but = [] }: { of: Problems | null; but?: string[] }) {
  const shown = of?.problems.filter((p) => !but.some((field) => isOf(p, field))) ?? [];
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (shown.length > 0) place.current?.scrollIntoView({ block: "nearest" });
  }, [of, shown.length]);
  return (
    <div role="alert" ref={place}>
      {shown.length > 0 ? (
        <div class="problem">
          {shown.map((p) => (
            <p key={p.field + p.wrong}>{inWords(p)}</p>
          ))}
        </div>
      ) : null}
    </div>
  );
}
