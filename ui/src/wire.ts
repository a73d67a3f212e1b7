// What the server and the page say to each other, as JSON: the one definition of it. `docs/api.md` has the routes;
// tests/ui/wire checks real answers of the server against these types, excess fields included.
//
// Times are UTC, ISO 8601. Ids are those of the knowledge (faults, findings, steps, readings, parts, traits).

export type Answer = "yes" | "no" | "unsure";
export type RunResult = "gone" | "better" | "same";
export type JobEnd = "open" | "proven" | "not-proven" | "given-up";
export type Conditions = Record<string, string>; // "height" -> "1400 m"

/** What is wrong with what was sent, one by one; with status 400, 401, 403, 404, 405, 409, 413, 415, 421 or 429. */
export interface Problems {
  problems: Problem[];
  doubted?: true; // 409: a reading that can hardly be meant so; sent again with "sure" it is taken
}
export interface Problem {
  field: string; // "" if it is about the whole
  wrong: string;
  right: string; // "" if that is plain
}

/** GET /api/hello: the only answer that a phone gets before it is paired. */
export interface Hello {
  version: string;
  paired: boolean; // may this phone see the shop?
  network: boolean; // is the server open to the workshop's network?
  demo: boolean;
}

/** POST /api/pair. The answer sets the session's cookie and is a Hello. */
export interface Pair {
  code: string;
}

// ---- The shop

export interface Named {
  id: string;
  name: string;
}

/** GET /api/shop[?since=SEQ]; 204 if nothing was written after SEQ. */
export interface Shop {
  seq: number; // grows with every change of the shop
  currency: string;
  bikes: BikeLine[];
  open: JobLine[]; // written to last first
  closed: JobLine[]; // the latest 20, latest first
  closed_count: number;
}
export interface BikeLine extends Named {
  kind: string; // class and displacement in words
  hours: number | null; // of the engine; null: not known
  open_jobs: number;
}
export interface JobLine {
  job: number;
  bike: string;
  bike_name: string;
  complaint: string;
  opened: string;
  closed: string; // "" while it is open
  end: JobEnd;
  causes: string[]; // in words
}

/** GET /api/jobs?before=N[&bike=ID][&words=...]: closed jobs, latest first, 20 at a time. */
export interface JobLines {
  jobs: JobLine[];
  more: boolean;
}

/** GET /api/words: names that pages need beside what jobs tell; the same for as long as the server runs. */
export interface Words {
  classes: (Named & { traits: string[]; displacement_cc: number })[];
  traits: (Named & { group: string })[]; // group "": it has it or not; else one of its group
  contexts: (Named & { ask: string })[];
  tools: (Named & { common: boolean })[];
  parts: (Named & { after: string[] })[]; // those that come off; after: what must be off before
  wears: Named[]; // what can be told as renewed: parts and upkeep
  readings: ReadingForm[]; // all of them, for figures of a bike
  faults: Named[]; // for closing a job
  facts: Condition[]; // of a bike, that corrections need
  shop_facts: Condition[]; // usual here, for every reading
}

/** GET and POST /api/settings. */
export interface Settings {
  money_per_hour: number;
  currency: string;
  lacks: string[]; // tools
  usual: Conditions;
}

// ---- A bike

/** POST /api/bikes */
export interface NewBike {
  name: string;
  class: string;
  with: string[]; // traits beyond its class
  without: string[]; // of its class, that it lacks
  displacement_cc: number | null; // null: that of its class
  hours: number | null;
}
/** GET /api/bikes/ID */
export interface BikeView extends Named {
  seq: number;
  kind: string;
  displacement_cc: number;
  traits: Named[];
  hours: number | null;
  hours_from: string; // in words: who says so
  hard: boolean; // ridden hard: due sooner
  figures: BikeFigure[];
  facts: { id: string; ask: string; told: string }[];
  renewed: { id: string; name: string; hours: number | null; day: string }[];
  due: Due;
  jobs: JobLine[]; // latest first, open ones among them
  undo: string; // what taking back would take back of what was told of the bike itself; "" for nothing
}
export interface BikeFigure {
  reading: string;
  name: string;
  told: string; // "180 to 200 psi"
  baseline: boolean; // measured on this bike when it was right; else from its handbook
}
export interface Due {
  within_hours: number;
  chance_of_any: number; // of trouble within those hours
  items: DueItem[]; // most urgent first
}
export interface DueItem {
  upkeep: string;
  name: string;
  work: string;
  why: string;
  urgency: "overdue" | "soon" | "unknown" | "later";
  reason: string;
  chance: number | null; // of trouble within those hours
  cautions: Caution[];
}
/** POST /api/bikes/ID/hours, .../ridden, .../renewed, .../figure, .../fact, .../use, .../undo */
export interface TellHours {
  hours: number;
  as: "meter" | "estimate" | "new-meter" | "correction";
}
export interface TellRide {
  hours: number;
}
export interface TellRenewed {
  what: string;
  hours: number | null; // of the engine then; null: now
  day: string; // "2026-05-04"; "": today
  again: boolean; // renewed again within the minute
}
export interface TellFigure {
  reading: string;
  told: string; // "180 psi", "190 psi height=1400 m": the value, or the lower end
  to: string; // "200 psi": the upper end; "" for a single value
  baseline: boolean;
  sure: boolean;
}
export interface TellFact {
  fact: string;
  told: string;
}
export interface TellUse {
  hard: boolean;
}

// ---- A job

/** POST /api/jobs; the answer's `made` is the number of the job. */
export interface TakeIn {
  bike: string;
  complaint: string;
}

/** GET /api/hear?bike=ID&words=...: what free words may mean. Nothing is written. */
export interface Heard extends Named {
  ask: string;
  words: string; // those that were heard so
  context: boolean; // was it so before; else a finding
  so: boolean; // false: "does not ..."
}

/** GET /api/jobs/N[?since=SEQ]; 204 if nothing was written after SEQ. */
export interface JobView {
  seq: number;
  job: number;
  bike: { id: string; name: string; kind: string; hours: number | null; traits: string[]; parts: string[] };
  complaint: string;
  opened: string;
  closed: string;
  end: JobEnd;
  causes: Named[]; // as told at closing
  words: string; // to the owner
  to_confirm: Heard[]; // in the complaint, neither answered nor left out
  when: When[]; // when it happens, for the take-in
  contexts: (Named & { ask: string; so: boolean | null })[]; // what was so before, for the take-in; null: not said
  next: Option | null; // null once it is proven or closed
  others: Option[]; // what came second, best first
  steps: (Named & { minutes: number })[]; // everything else that can be done on this bike
  run: Named; // the step that shows whether a repair has helped
  currency: string;
  proven: boolean;
  doubt: number; // chance that a fault is left
  suspects: Suspect[]; // still there, likeliest first, at most 12
  notes: string[]; // doubts about the belief as a whole
  off: string[]; // parts off the bike now, sorted
  log: LogLine[]; // oldest first
  undo: { act: number; words: string } | null; // what taking back takes back
  likely_causes: Named[]; // what the repairs put right, for closing
  swapped_in: Named[]; // steps whose known good part is in the bike
}
export interface When extends Named {
  group: string; // the heading that it is asked under
  ask: string;
  answer: Answer | null;
}
export interface Suspect {
  fault: string;
  name: string;
  part: string; // in words
  probability: number;
}
export interface LogLine {
  act: number; // entries written together have one number
  at: string;
  kind: string; // of the entry
  words: string;
  verdict: string[]; // of a reading: how it was judged, a sentence each
  photo: { sha256: string; width: number; height: number; of: number } | null; // of: the act that it shows; 0: the job
}
export interface Caution extends Named {
  text: string;
}
export interface Effort {
  minutes: number;
  money: number;
}
export interface Option {
  step: string; // of a question: the finding's id
  name: string;
  act: "question" | "look" | "repair" | "swap" | "run" | "last-resort";
  kind: string; // look, measure, listen, clean, adjust, swap, replace, run; "question"
  access: Effort; // getting there from how the bike stands now
  own: Effort; // the step itself
  closing: Effort; // putting back and running, for a repair
  saved: Effort; // by what is off already
  whole_job_minutes: number; // expected from here, if this is done now; money joined
  chance_ends: number; // that the run after it is clean
  worth_up_to_minutes: number | null; // only of the best: it stays the best up to so much
  because: string; // "" but for the last resort
  then: Named | null; // a repair worth doing before the run
  card: Card | null; // of a question: null
  ask: Asked[]; // what it answers
  outcomes: Outcome[];
}
/** GET /api/jobs/N/steps/ID: an Option for any step that applies, whose numbers are those of the step alone. */
export interface Card {
  engine: "stopped" | "running" | "hot" | "ridden";
  wait_minutes: number;
  off: Named[]; // parts that must come off now, in order
  on: Named[]; // that must go back on now
  needs: string[]; // parts and supplies
  tools: string[]; // in words
  cautions: Caution[];
  how: string[];
  expect: string;
  readings: ReadingForm[];
}
export interface Asked extends Named {
  ask: string;
  by_reading: boolean; // a reading of the step speaks for it: asked only if nothing was measured
  measured_only: boolean; // never asked
  settled: boolean; // answered, and nothing was repaired since that bears on it
}
export interface ReadingForm extends Named {
  ask: string;
  unit: string;
  units: string[]; // that it may be told in, its own first
  open: boolean; // can be open circuit
  healthy: { low: number; high: number; from: string } | null; // for this bike
  conditions: Condition[];
}
export interface Condition extends Named {
  ask: string;
  unit: string; // "" for one in words
  units: string[];
  choices: string[];
}
export interface Outcome {
  so: { finding: string; name: string; so: boolean }[]; // empty for a run
  gone: boolean | null; // of a run
  probability: number;
  leader: string; // in words; "" if none
  leader_probability: number;
}

/** GET /api/jobs/N/why/FAULT */
export interface Why {
  fault: Named;
  prior: number;
  now: number;
  before: string[];
  raised: Reason[];
  lowered: Reason[];
  turns: string[];
}
export interface Reason {
  what: string;
  words: string;
  db: number;
}

/** POST /api/jobs/N/entries */
export interface NewEntries {
  entries: NewEntry[]; // all or none, as one act
  sure: boolean;
}
export type NewEntry =
  | { kind: "answered"; finding: string; answer: Answer }
  | { kind: "context"; context: string; so: boolean }
  | { kind: "not-meant"; id: string }
  | { kind: "measured"; reading: string; told: string; took_min?: number; paid?: number } // "138 psi height=1400 m", "open"
  | { kind: "did"; step: string; took_min?: number; paid?: number }
  | { kind: "put-back"; step: string }
  | { kind: "ran"; result: RunResult; step: string; took_min?: number; paid?: number } // step "": the run that proves
  | { kind: "skipped"; step: string; why: string }
  | { kind: "parts-off"; off: string[] }
  | { kind: "noted"; text: string };

/** POST /api/jobs/N/listen?of=hold&times=2, the body a recording: what is heard in it. Writes nothing. */
export interface HeardTake {
  of: "idle" | "blips" | "hold" | "pull";
  step: string; // that it was taken for
  lines: { what: string; words: string }[]; // what "": goes on
  question: string; // "": none; else the speeds are these or so many times (a half: 0.5) these
  or_times: number;
  readings: { reading: string; told: string; words: string; held_against: string; moves: string[] }[];
  not_told: string[];
  picture: string; // SVG
}

/** POST /api/jobs/N/undo: 409 if the last act is another one by now. */
export interface TakeBack {
  act: number;
}
/** POST /api/jobs/N/close */
export interface Close {
  end: Exclude<JobEnd, "open">;
  causes: string[]; // faults; empty: what the repairs say
  words: string;
}

/** Answer to every POST that writes. Each carries a header Crankwise-Entry: 32 hex digits that the page chose; the same
 *  again writes nothing and answers `again`. */
export interface Written {
  seq: number;
  made: string; // the bike or job that it made or wrote to, as "bike/red-125", "job/7"
  again: boolean; // it had been written before
  words: string; // "taken back: ..." and the like; ""
}

// ---- Bench sums

/** GET /api/sums */
export interface Sums {
  sums: SumForm[];
}
export interface SumForm extends Named {
  group: string;
  formula: string;
  source: string;
  cautions: Caution[];
  inputs: (Condition & { usual: string; may_lack: boolean })[];
}
/** POST /api/sums/ID with {"told": {"fuel": "20 L"}}; writes nothing. */
export interface SumAnswer {
  values: { name: string; told: string }[];
  worked: string;
  notes: string[];
}

/** GET /api/learned */
export interface Learned {
  jobs: number; // proven jobs of which it is known what was believed; under `least` nothing is told
  least: number;
  leader_right: {
    believed: number; // chance of the likeliest fault, mean of its bin
    right: number; // share of those acts, 0 to 1, in which it was the cause
    acts: number; // how many
  }[]
}
