// One job, kept up to date, with what this phone has not yet sent; and the way to write to it.
import type { Posting } from "../shell/use-post";
import { usePost } from "../shell/use-post";
import { useShown, type Waiting } from "../state";
import { useGet, type Loaded } from "../use-get";
import type { JobView, NewEntry, Written } from "../wire";
import { withWaiting } from "./with-waiting";

type Then = { onKept?: () => void; onWritten?: (written: Written) => void };

export interface JobHere {
  loaded: Loaded<JobView>; // its value with what waits
  unsaved: Waiting[]; // of this job
  posting: Posting;
  settling: boolean; // an entry is on its way, or its effect is: what comes next is about to change
  write: (entries: NewEntry[], words: string, then?: Then & { sure?: boolean }) => void;
  send: (path: string, body: unknown, words: string, then?: Then) => void; // path under /jobs/N
}

export function useJob(job: number): JobHere {
  const loaded = useGet<JobView>(`/jobs/${job}`, { live: true });
  const waiting = useShown((s) => s.waiting);
  const arrived = useShown((s) => s.arrived);
  const link = useShown((s) => s.link);
  const posting = usePost();
  const about = `job/${job}`;
  const unsaved = waiting.filter((w) => w.about === about);
  const unseen = arrived.map((a) => a.entry).filter((w) => w.about === about && unsaved.every((u) => u.key !== w.key));
  const stuck = unsaved.some((w) => w.refused); // and what follows waits for it to be put right
  const send: JobHere["send"] = (path, body, words, then) =>
    posting.send({ path: `/jobs/${job}/${path}`, body, about, words }, then);
  return {
    loaded: { ...loaded, value: loaded.value && withWaiting(loaded.value, [...unseen, ...unsaved]) },
    unsaved,
    posting,
    settling: posting.is === "keeping" || (link !== "down" && (unseen.length > 0 || (unsaved.length > 0 && !stuck))),
    write: (entries, words, then = {}) => send("entries", { entries, sure: then.sure ?? false }, words, then),
    send,
  };
}
