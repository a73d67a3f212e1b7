// Things to press and fill in, all at least 48 px high. <Button>, <LinkButton>, <TextField>, <LongText>, <Pick> (a list to
// unfold), <Choice> (a few to tap, one of them), <Check>. Every field takes `problem` (words, from problemOf()) and shows
// it at the input; `hint` is said before it. <Field> is the frame for a field of another kind.
import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import { href, type Route } from "../route";
import "../style/controls.css";

type Look = "main" | "plain" | "quiet" | "bad";

interface ButtonProps {
  children: ComponentChildren;
  onPress: () => void;
  look?: Look; // main: what most will want
  off?: boolean;
  label?: string; // for the screen reader, where the words alone do not tell
  pressed?: boolean;
}

export function Button({ children, onPress, look = "plain", off = false, label, pressed }: ButtonProps) {
  return (
    <button
      type="button"
      class={`button ${look}`}
      disabled={off}
      onClick={onPress}
      {...(label === undefined ? {} : { "aria-label": label })}
      {...(pressed === undefined ? {} : { "aria-pressed": pressed })}
    >
      {children}
    </button>
  );
}

interface LinkProps {
  children: ComponentChildren;
  to: Route;
  look?: Look;
  label?: string; // what a screen reader says instead
}

export function LinkButton({ children, to, look = "plain", label }: LinkProps) {
  return (
    <a class={`button ${look}`} href={href(to)} aria-label={label}>
      {children}
    </a>
  );
}

interface Framed {
  label: string;
  hint?: ComponentChildren;
  problem?: string;
}

export interface InputIds {
  id: string;
  "aria-describedby"?: string;
  "aria-invalid"?: true;
}

export function Field({
  label,
  hint,
  problem = "",
  children,
}: Framed & { children: (ids: InputIds) => ComponentChildren }) {
  const id = useId();
  useFirstProblem(id, problem);
  const about = [hint ? `${id}-hint` : "", problem ? `${id}-problem` : ""].filter((x) => x !== "").join(" ");
  return (
    <div class={problem ? "field wrong" : "field"}>
      <label for={id}>{label}</label>
      {hint ? (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      ) : null}
      {children({
        id,
        ...(about ? { "aria-describedby": about } : {}),
        ...(problem ? { "aria-invalid": true as const } : {}),
      })}
      <p class="field-problem" id={`${id}-problem`} aria-live="polite">
        {problem}
      </p>
    </div>
  );
}

/** Goes to the first input with a problem when one comes up. */
function useFirstProblem(id: string, problem: string): void {
  const had = useRef(problem);
  useEffect(() => {
    if (problem !== "" && had.current === "" && !document.activeElement?.hasAttribute("aria-invalid"))
      document.getElementById(id)?.focus();
    had.current = problem;
  }, [id, problem]);
}

interface TextProps extends Framed {
  value: string;
  onValue: (value: string) => void;
  keys?: "text" | "decimal" | "numeric" | "search"; // the keyboard
  unit?: string;
  onEnter?: () => void;
  complete?: string;
}

export function TextField({ value, onValue, keys = "text", unit, onEnter, complete = "off", ...framed }: TextProps) {
  return (
    <Field {...framed}>
      {(ids) => (
        <div class="input-row">
          <input
            {...ids}
            class={keys === "decimal" || keys === "numeric" ? "input number" : "input"}
            type="text"
            inputMode={keys}
            enterKeyHint={keys === "search" ? "search" : "done"}
            autoComplete={complete}
            value={value}
            onInput={(e) => onValue(e.currentTarget.value)}
            onKeyDown={(e) => {
              if (e.key === "Enter" && onEnter) onEnter();
            }}
          />
          {unit ? <span class="unit">{unit}</span> : null}
        </div>
      )}
    </Field>
  );
}

export function LongText({ value, onValue, rows = 4, ...framed }: TextProps & { rows?: number }) {
  return (
    <Field {...framed}>
      {(ids) => (
        <textarea {...ids} class="input" rows={rows} value={value} onInput={(e) => onValue(e.currentTarget.value)} />
      )}
    </Field>
  );
}

export interface Said {
  value: string;
  label: string;
  hint?: string;
}

export function Pick({
  value,
  onValue,
  from,
  ...framed
}: Framed & { value: string; onValue: (v: string) => void; from: Said[] }) {
  return (
    <Field {...framed}>
      {(ids) => (
        <select {...ids} class="input" value={value} onChange={(e) => onValue(e.currentTarget.value)}>
          {from.map((o) => (
            <option key={o.value} value={o.value}>
              {o.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

interface ChoiceProps extends Framed {
  value: string | null; // null: nothing yet
  onValue: (value: string) => void;
  from: Said[];
  inRow?: boolean; // beside each other
}

export function Choice({ label, hint, problem = "", value, onValue, from, inRow = false }: ChoiceProps) {
  const name = useId();
  return (
    <fieldset class={problem ? "field choice wrong" : "field choice"}>
      <legend>{label}</legend>
      {hint ? <p class="hint">{hint}</p> : null}
      <div class={inRow ? "choices row" : "choices"}>
        {from.map((o) => (
          <label key={o.value} class={o.value === value ? "chosen" : ""}>
            <input
              type="radio"
              name={name}
              value={o.value}
              checked={o.value === value}
              onChange={() => onValue(o.value)}
            />
            <span>
              {o.label}
              {o.hint ? <small>{o.hint}</small> : null}
            </span>
          </label>
        ))}
      </div>
      <p class="field-problem" aria-live="polite">
        {problem}
      </p>
    </fieldset>
  );
}

export function Check({
  label,
  hint,
  value,
  onValue,
}: {
  label: string;
  hint?: string;
  value: boolean;
  onValue: (v: boolean) => void;
}) {
  return (
    <label class={value ? "check chosen" : "check"}>
      <input type="checkbox" checked={value} onChange={(e) => onValue(e.currentTarget.checked)} />
      <span>
        {label}
        {hint ? <small>{hint}</small> : null}
      </span>
    </label>
  );
}

export function FileButton({
  words,
  camera = false,
  accept = "image/*",
  onFile,
}: {
  words: string;
  camera?: boolean;
  accept?: string;
  onFile: (file: File | undefined) => void;
}) {
  const id = useId();
  return (
    <label class="button plain file" for={id}>
      {words}
      <input
        id={id}
        type="file"
        accept={accept}
        {...(camera ? { capture: "environment" as const } : {})}
        onChange={(e) => {
          onFile(e.currentTarget.files?.[0]);
          e.currentTarget.value = "";
        }}
      />
    </label>
  );
}
