// useGet(path): the last answer to a GET and how fresh it is. What was seen is kept on the phone, so a page shows what it
// knows at once, then what the server says. `live` asks again every second for what was written since (needs a `seq` in
// the answer); everything watched is asked for again as soon as an entry of this phone was written.
import { useEffect } from "preact/hooks";
import { get } from "./api";
import { nudge, onWritten } from "./queue";
import { now, tell, useShown } from "./state";
import * as store from "./store";
import type { Problems } from "./wire";

export interface Loaded<T> {
  value: T | null; // null: nothing known yet
  at: number; // ms; when the server said so
  fresh: boolean; // from the server and not merely from this phone's store
  problems: Problems | null; // it refused
  again: () => void;
}

const kEveryMs = 1_000;
const kLongestPauseMs = 5_000;

/** One path that at least one view looks at. */
class Watched {
  views = 0;
  live = false;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private asking = false;
  private askAgain = false;
  private pause = kEveryMs;

  constructor(private path: string) {}

  async start(): Promise<void> {
    void this.ask();
    if (now().seen[this.path]) return;
    const kept = await store.keptAnswer(this.path).catch(() => null);
    if (kept && !now().seen[this.path])
      tell({ did: "saw", path: this.path, seen: { value: kept.value, at: kept.at, problems: null } });
  }

  stop(): void {
    clearTimeout(this.timer);
    watched.delete(this.path);
  }

  async ask(): Promise<void> {
    if (this.asking) {
      this.askAgain = true;
      return;
    }
    clearTimeout(this.timer);
    this.asking = true;
    this.askAgain = false;
    const seen = now().seen[this.path];
    const since = this.live && seen && !seen.problems ? seqOf(seen.value) : null;
    const from = Date.now();
    const answered = await get<unknown>(since === null ? this.path : withSince(this.path, since));
    this.asking = false;
    const at = Date.now();
    if (answered.is === "new") {
      tell({ did: "saw", path: this.path, seen: { value: answered.value, at, problems: null } });
      store.keepAnswer({ path: this.path, value: answered.value, at }).catch(() => undefined);
    } else if (answered.is === "same" && seen) {
      asked.set(this.path, at);
    } else if (answered.is === "refused") {
      tell({
        did: "saw",
        path: this.path,
        seen: { value: seen?.value ?? null, at: seen?.at ?? at, problems: answered.problems },
      });
    }
    const lost = answered.is === "lost" || answered.is === "unpaired";
    if (!lost) {
      asked.set(this.path, at);
      tell({ did: "looked", path: this.path, from });
      nudge();
    }
    this.pause = lost ? Math.min(kLongestPauseMs, this.pause + kEveryMs) : kEveryMs;
    if (this.views === 0 || document.hidden) return;
    if (this.askAgain) void this.ask();
    else if (this.live || lost) this.timer = setTimeout(() => void this.ask(), this.pause);
  }
}

const watched = new Map<string, Watched>();
const asked = new Map<string, number>(); // when the server last answered for a path

function seqOf(value: unknown): number | null {
  const seq = (value as { seq?: unknown } | null)?.seq;
  return typeof seq === "number" ? seq : null;
}

const withSince = (path: string, seq: number) => `${path}${path.includes("?") ? "&" : "?"}since=${seq}`;

export function refresh(): void {
  for (const w of watched.values()) void w.ask();
}

export function startRefreshing(): void {
  onWritten(refresh);
  addEventListener("online", refresh);
  document.addEventListener("visibilitychange", () => document.hidden || refresh());
}

/** path null: nothing yet. */
export function useGet<T>(path: string | null, { live = false }: { live?: boolean } = {}): Loaded<T> {
  const seen = useShown((s) => (path === null ? undefined : s.seen[path]));
  useShown((s) => s.link);
  useEffect(() => {
    if (path === null) return;
    const w = watched.get(path) ?? new Watched(path);
    watched.set(path, w);
    w.views += 1;
    w.live ||= live;
    if (w.views === 1) void w.start();
    return () => {
      w.views -= 1;
      if (w.views === 0) w.stop();
    };
  }, [path, live]);
  return {
    value: (seen?.value as T | undefined) ?? null,
    at: Math.max(seen?.at ?? 0, (path !== null && asked.get(path)) || 0),
    fresh: path !== null && asked.has(path) && now().link !== "down",
    problems: seen?.problems ?? null,
    again: () => path !== null && void watched.get(path)?.ask(),
  };
}
