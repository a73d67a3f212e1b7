// <Busy when>: something is under way; shown after half a second. <Got of={useGet(...)}>{(value) => ...}</Got>: what was
// asked for, with progress until it is there, what was refused, and a mark when it is not of now.
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { useShown } from "../state";
import type { Loaded } from "../use-get";
import { Problem } from "./problem";

export function useLate(when: boolean, ms: number): boolean {
  const [late, setLate] = useState(false);
  useEffect(() => {
    if (!when) return setLate(false);
    const timer = setTimeout(() => setLate(true), ms);
    return () => clearTimeout(timer);
  }, [when, ms]);
  return when && late;
}

export function Busy({ when = true, words = "One moment" }: { when?: boolean; words?: string }) {
  const late = useLate(when, 500);
  return (
    <div class="busy-place" role="status">
      {late ? (
        <p class="busy">
          <span class="turning" aria-hidden="true" />
          {words} …
        </p>
      ) : null}
    </div>
  );
}

export function Got<T>({ of, children }: { of: Loaded<T>; children: (value: T) => ComponentChildren }) {
  const link = useShown((s) => s.link);
  if (of.value === null) {
    if (of.problems) return <Problem of={of.problems} />;
    return link === "down" ? (
      <p class="notice">
        This was not seen on this phone before, and the server does not answer. It is shown as soon as it does.
      </p>
    ) : (
      <Busy words="Asking the server" />
    );
  }
  return (
    <>
      {of.problems ? <Problem of={of.problems} /> : null}
      <AsOf of={of} />
      {children(of.value)}
    </>
  );
}

/** A plain mark on what is not of now. */
export function AsOf({ of }: { of: Loaded<unknown> }) {
  const link = useShown((s) => s.link);
  return !of.fresh && of.value !== null && link === "down" ? (
    <p class="notice">No server. As it was {asOf(of.at)}.</p>
  ) : null;
}

function asOf(at: number): string {
  const when = new Date(at);
  const time = when.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  return when.toDateString() === new Date().toDateString()
    ? `at ${time}`
    : `on ${when.toLocaleDateString()} at ${time}`;
}
