// The one state of the page. tell() says what happened, after() is what follows from it, useShown() reads a piece of it.
import { useEffect, useState } from "preact/hooks";
import type { Hello, Problems, Written } from "./wire";
import type { Route } from "./route";

/** An entry that was written on this phone and is not yet with the server. Kept in the browser's store. */
export interface Waiting {
  order: number; // sent in this order
  key: string; // 32 hex, chosen once
  path: string; // under /api
  body: string | ArrayBuffer; // JSON, or the bytes of a picture
  type: string; // of the body
  about: string; // "job/7", "bike/red-125": what is about the same waits for each other
  words: string; // for people
  at: string;
  tried: boolean; // may have reached the server, though no answer came
  refused: Problems | null;
}

/** The server has it, though what was last seen of the job may be older. */
export interface Arrived {
  entry: Waiting;
  at: number; // ms
}

/** The last answer to a GET. */
export interface Seen {
  value: unknown;
  at: number; // ms; when the server said so
  problems: Problems | null; // of the last try
}

export type Link = "unknown" | "up" | "down" | "unpaired";

export interface State {
  route: Route;
  hello: Hello | null;
  link: Link;
  waiting: Waiting[]; // in order
  arrived: Arrived[]; // and not seen since
  durable: boolean; // does this browser keep what it is given?
  seen: Readonly<Record<string, Seen>>; // by path
}

export type Happening =
  | { did: "moved"; route: Route }
  | { did: "greeted"; hello: Hello }
  | { did: "link"; link: Link }
  | { did: "kept"; waiting: Waiting[]; durable: boolean }
  | { did: "arrived"; arrived: Arrived }
  | { did: "looked"; path: string; from: number } // asked at that time, and answered
  | { did: "saw"; path: string; seen: Seen };

export type Outcome = { written: Written } | { refused: Problems };

const kArrivedAtMost = 20;

/** "job/7" -> "/jobs/7": the GET that shows what was written about it. */
const viewOf = (about: string) => `/${about.replace("/", "s/")}`;

export function after(state: State, h: Happening): State {
  switch (h.did) {
    case "moved":
      return { ...state, route: h.route };
    case "greeted":
      return { ...state, hello: h.hello, link: h.hello.paired ? "up" : "unpaired" };
    case "link": {
      // Who is not joined stays so until greeted anew: the greeting itself is answered whether one is or not.
      const notJoined = state.link === "unpaired" && h.link === "up";
      return state.link === h.link || notJoined ? state : { ...state, link: h.link };
    }
    case "kept":
      return { ...state, waiting: h.waiting, durable: h.durable };
    case "arrived":
      return { ...state, arrived: [...state.arrived, h.arrived].slice(-kArrivedAtMost) };
    case "looked": {
      const unseen = state.arrived.filter((a) => viewOf(a.entry.about) !== h.path || a.at > h.from);
      return unseen.length === state.arrived.length ? state : { ...state, arrived: unseen };
    }
    case "saw":
      return { ...state, seen: { ...state.seen, [h.path]: h.seen } };
  }
}

let state: State = {
  route: { at: "shop" },
  hello: null,
  link: "unknown",
  waiting: [],
  arrived: [],
  durable: true,
  seen: {},
};
const listeners = new Set<() => void>();

export const now = (): State => state;

export function tell(h: Happening): void {
  const next = after(state, h);
  if (next === state) return;
  state = next;
  for (const listener of [...listeners]) listener();
}

/** Called after every change until the answer is called. */
export function watch(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** A piece of the state; renders anew when it differs. `pick` must give the same object for the same state. */
export function useShown<T>(pick: (state: State) => T): T {
  const picked = pick(state);
  const [, shown] = useState(picked);
  useEffect(() => {
    const look = () => shown(() => pick(state));
    look();
    return watch(look);
  });
  return picked;
}
