// useDraft(name, empty): like useState, but what was typed or tapped and not yet sent survives a reload (a phone may
// throw the page away while its camera is open). kept() once the queue has it: a refusal finds the form still filled in, a
// reload does not. clear() once it was written.
import { useEffect, useState } from "preact/hooks";

export type Draft<T> = [value: T, set: (value: T) => void, clear: () => void, kept: () => void];

export function useDraft<T>(name: string, empty: T): Draft<T> {
  const key = `crankwise-draft:${name}`;
  const [held, hold] = useState<{ key: string; value: T }>(() => ({ key, value: read(key, empty) }));
  const value = held.key === key ? held.value : read(key, empty);
  useEffect(() => hold({ key, value: read(key, empty) }), [key]);
  const set = (next: T) => {
    hold({ key, value: next });
    try {
      localStorage.setItem(key, JSON.stringify(next));
    } catch {
      // full or forbidden: it lasts as long as the page
    }
  };
  const kept = () => {
    try {
      localStorage.removeItem(key);
    } catch {
      // as above
    }
  };
  const clear = () => {
    hold({ key, value: empty });
    kept();
  };
  return [value, set, clear, kept];
}

function read<T>(key: string, empty: T): T {
  try {
    const kept = localStorage.getItem(key);
    return kept === null ? empty : (JSON.parse(kept) as T);
  } catch {
    return empty;
  }
}
