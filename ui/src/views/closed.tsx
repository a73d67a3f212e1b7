// Closed jobs, latest first, with a search in their words, bikes and causes.
import { useEffect, useRef, useState } from "preact/hooks";
import { get } from "../api";
import { Busy } from "../shell/busy";
import { Button, TextField } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import type { JobLine, JobLines, Problems } from "../wire";
import { ClosedJobs } from "./shop";

export function ClosedScreen() {
  const [words, setWords] = useState("");
  const [jobs, setJobs] = useState<JobLine[] | null>(null);
  const [more, setMore] = useState(false);
  const [busy, setBusy] = useState(false);
  const [lost, setLost] = useState(false);
  const [problems, setProblems] = useState<Problems | null>(null);
  const asked = useRef(0);
  const load = async (search: string, before: number | null, held: JobLine[]) => {
    const mine = ++asked.current;
    setBusy(true);
    const answered = await get<JobLines>(
      `/jobs?${before === null ? "" : `before=${before}&`}words=${encodeURIComponent(search)}`,
    );
    if (mine !== asked.current) return;
    setBusy(false);
    setLost(answered.is === "lost");
    setProblems(answered.is === "refused" ? answered.problems : null);
    if (answered.is !== "new") return;
    setJobs([...held, ...answered.value.jobs]);
    setMore(answered.value.more);
  };
  useEffect(() => {
    const timer = setTimeout(() => void load(words.trim(), null, []), words === "" ? 0 : 250);
    return () => clearTimeout(timer);
  }, [words]);
  return (
    <Screen title="Closed jobs" back={{ at: "shop" }} backTo="Shop">
      <TextField label="Search" hint="In complaints, bikes and causes" keys="search" value={words} onValue={setWords} />
      <Busy when={busy} words="Looking" />
      <Problem of={problems} />
      {lost ? <p class="notice">No server. Closed jobs can be searched when it is back.</p> : null}
      {jobs === null ? null : jobs.length === 0 ? (
        <p role="status">No closed job {words.trim() === "" ? "yet" : "has that in it"}.</p>
      ) : (
        <ClosedJobs jobs={jobs} />
      )}
      {jobs && more ? (
        <Button onPress={() => void load(words.trim(), Math.min(...jobs.map((j) => j.job)), jobs)}>Older ones</Button>
      ) : null}
    </Screen>
  );
}
