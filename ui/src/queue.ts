// Entries on their way to the server. post() answers once the entry is kept on this phone; from then on it is sent, one
// entry at a time and in order, until the server has it or refuses it. A refused entry stays, and with it what is about
// the same job, until the mechanic puts it right or drops it. Views use usePost() of shell/use-post.ts.
import { write } from "./api";
import { now, tell, type Outcome, type Waiting } from "./state";
import * as store from "./store";
import type { Written } from "./wire";

const kLeaseMs = 8_000;
const kLongestPauseMs = 5_000;
const kTurnedAwayMost = 10;

const tab = newKey();
const outcomes = new Map<string, (outcome: Outcome) => void>();
const afterWritten = new Set<() => void>();
const others = "BroadcastChannel" in self ? new BroadcastChannel("crankwise-entries") : null;

let busy = false;
let pause = 0;
let turnedAway = 0;
let timer: ReturnType<typeof setTimeout> | undefined;

export function newKey(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

export interface ToPost {
  path: string; // under /api
  body: unknown; // JSON, or bytes with their type
  type?: string;
  about: string; // "job/7"
  words: string; // what it says, for people
}

/** Resolves once it is kept. `told` hears what became of it, unless it is made to forget() first. */
export async function post(entry: ToPost, key: string, told: (outcome: Outcome) => void): Promise<void> {
  outcomes.set(key, told);
  const { path, about, words } = entry;
  const body = entry.body instanceof ArrayBuffer ? entry.body : JSON.stringify(entry.body);
  const type = entry.type ?? "application/json";
  await store.addWaiting({
    key,
    path,
    body,
    type,
    about,
    words,
    at: new Date().toISOString(),
    tried: false,
    refused: null,
  });
  await reload();
  others?.postMessage(null);
  nudge();
}

/** The one who asked is gone: if the entry is refused, it stays for the list of what waits. */
export const forget = (key: string): void => void outcomes.delete(key);

/** Drops an entry that the server does not have. */
export async function drop(entry: Waiting): Promise<void> {
  await store.removeWaiting(entry.order);
  outcomes.delete(entry.key);
  await reload();
  others?.postMessage(null);
  nudge();
}

/** A refused entry put right keeps its place; another key, since it says something else. */
export async function putRight(entry: Waiting, body: string | ArrayBuffer): Promise<void> {
  await store.replaceWaiting({ ...entry, body, key: newKey(), refused: null, tried: false });
  await reload();
  others?.postMessage(null);
  nudge();
}

/** Called whenever the server has taken an entry. */
export const onWritten = (listener: () => void): void => void afterWritten.add(listener);

/** The first that may be sent: nothing before it that is about the same was refused. */
export function nextToSend(waiting: readonly Waiting[]): Waiting | null {
  const stuck = new Set<string>();
  for (const entry of waiting) {
    if (entry.refused) stuck.add(entry.about);
    else if (!stuck.has(entry.about)) return entry;
  }
  return null;
}

export async function startQueue(): Promise<void> {
  others?.addEventListener("message", (event: MessageEvent<{ key: string; written: Written } | null>) => {
    const entry = now().waiting.find((w) => w.key === event.data?.key);
    if (entry) tell({ did: "arrived", arrived: { entry, at: Date.now() } });
    if (event.data) settle(event.data.key, { written: event.data.written });
    void reload().then(nudge);
  });
  addEventListener("online", nudge);
  document.addEventListener("visibilitychange", () => document.hidden || nudge());
  await reload();
  nudge();
}

/** Tries now rather than after the pause. */
export function nudge(): void {
  clearTimeout(timer);
  if (busy || !nextToSend(now().waiting)) return;
  busy = true;
  void asTheOnlyTab(sendAll)
    .catch(() => false)
    .then((again) => {
      busy = false;
      if (!nextToSend(now().waiting)) return;
      pause = again ? Math.min(kLongestPauseMs, pause + 1_000) : 0;
      timer = setTimeout(nudge, pause);
    });
}

async function reload(): Promise<void> {
  const waiting = await store.waitingEntries();
  tell({ did: "kept", waiting, durable: await store.durable() });
  for (const entry of waiting) {
    if (entry.refused && outcomes.has(entry.key)) {
      await store.removeWaiting(entry.order);
      const formIsThere = outcomes.has(entry.key);
      if (formIsThere) settle(entry.key, { refused: entry.refused });
      else await store.putBack(entry);
      return reload();
    }
  }
}

function settle(key: string, outcome: Outcome): void {
  const told = outcomes.get(key);
  outcomes.delete(key);
  told?.(outcome);
  if ("written" in outcome) for (const listener of afterWritten) listener();
}

/** True when the server should be tried again later. */
async function sendAll(stillMine: () => Promise<boolean>): Promise<boolean> {
  for (;;) {
    await reload();
    const entry = nextToSend(now().waiting);
    if (!entry) return false;
    if (!(await stillMine())) return true;
    if (!entry.tried) await store.replaceWaiting({ ...entry, tried: true });
    const answered = await write<Written>(entry.path, entry.body, entry.type, entry.key);
    if (answered.is === "lost" || answered.is === "unpaired") return true;
    pause = 0;
    if (answered.is === "refused") {
      await store.replaceWaiting({ ...entry, tried: false, refused: answered.problems });
    } else {
      const written = answered.is === "new" ? answered.value : { seq: 0, made: "", again: true, words: "" };
      await store.removeWaiting(entry.order);
      tell({ did: "arrived", arrived: { entry, at: Date.now() } });
      others?.postMessage({ key: entry.key, written });
      settle(entry.key, { written });
    }
  }
}

/** The browser's own lock where it has one (secure addresses only), otherwise a lease in its store. */
async function asTheOnlyTab(work: (stillMine: () => Promise<boolean>) => Promise<boolean>): Promise<boolean> {
  if (navigator.locks) {
    // A tab that its phone has put to sleep may hold the lock for hours. Keys make it safe to take over.
    const options = turnedAway < kTurnedAwayMost ? { ifAvailable: true } : { steal: true };
    return navigator.locks.request("crankwise-send", options, (lock) => {
      turnedAway = lock ? 0 : turnedAway + 1;
      return lock ? work(async () => true) : true;
    });
  }
  const extend = () => store.takeLease(tab, Date.now() + kLeaseMs);
  if (!(await extend())) return true;
  const keepIt = setInterval(() => void extend(), kLeaseMs / 4);
  try {
    return await work(extend);
  } finally {
    clearInterval(keepIt);
    await store.takeLease(tab, 0);
  }
}
