// Bikes and jobs made behind the page's back, and what the server has of them.
import assert from "node:assert/strict";

export async function newBike(server, name) {
  const bike = { name, class: "enduro-300-two-stroke", with: [], without: [], displacement_cc: null, hours: 60 };
  const { made } = await server.post("/api/bikes", bike);
  assert.match(made ?? "", /^bike\//, `the server takes ${name} in`);
  return made.slice("bike/".length);
}

export async function newJob(server, bike, complaint = "bogs up top") {
  const { made } = await server.post("/api/jobs", { bike, complaint });
  return Number(made.slice("job/".length));
}

export const jobView = (server, job) => server.get(`/api/jobs/${job}`);

export async function write(server, job, ...entries) {
  const written = await server.post(`/api/jobs/${job}/entries`, { sure: false, entries });
  assert.ok(written.seq, JSON.stringify(written));
}

export const noteEntry = (text) => ({ kind: "noted", text });

/** What was noted, in the order in which the server has it. */
export async function notes(server, job) {
  const { log } = await jobView(server, job);
  return log.filter((l) => l.kind === "noted").map((l) => l.words.replace(/^note: /, ""));
}

/** Leaves out what stands before a step that is wanted, until that one comes up. */
export async function leaveOutUntil(server, job, wanted) {
  for (let tries = 0; tries < 40; ++tries) {
    const { next, others } = await jobView(server, job);
    if (wanted(next)) return next;
    const listed = [next, ...others].filter((o) => o.act !== "last-resort");
    const found = listed.findIndex(wanted);
    const before = listed.slice(0, found < 0 ? 8 : found);
    await write(server, job, ...before.map((o) => ({ kind: "skipped", step: o.step, why: "" })));
  }
  throw new Error("no such step came up");
}

export const isForm = (option) => option.act === "look" && option.ask.filter((a) => !a.measured_only).length > 1;
export const isQuestion = (option) => option.act === "question";
