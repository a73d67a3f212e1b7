// What the server really says, held to the types of wire.ts: answers are written down as constants of those types, and
// the compiler looks for fields that are missing, of another type, or more than there should be.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { engineWav } from "./e2e/engine-wav.mjs";
import { newKey, root, serve } from "./serving.mjs";

let server;
before(async () => (server = await serve()));
after(() => server.end());

/** A red dot, the smallest PNG that there is. */
const png = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mP8z8BQDwAEhQGAhKmMIQAAAABJRU5ErkJggg==",
  "base64",
);

async function answers() {
  const { get, post } = server;
  const seen = [];
  const keep = (type, answer) => (seen.push([type, answer]), answer);
  keep("Hello", await get("/api/hello"));
  const bike = keep(
    "Written",
    await post("/api/bikes", {
      name: "Wire 250", class: "motocross-250-four-stroke-injection", with: [], without: [], displacement_cc: null, hours: 20,
    }),
  ).made.slice("bike/".length);
  keep("Problems", await post("/api/bikes", { name: "" }));
  keep("Written", await post(`/api/bikes/${bike}/hours`, { hours: 21, as: "meter" }));
  keep("Written", await post(`/api/bikes/${bike}/ridden`, { hours: 2 }));
  keep("Written", await post(`/api/bikes/${bike}/renewed`, { what: "plug", hours: 10, day: "", again: false }));
  keep("Written", await post(`/api/bikes/${bike}/figure`, {
    reading: "compression", told: "170 psi", to: "190 psi", baseline: false, sure: false,
  }));
  keep("Written", await post(`/api/bikes/${bike}/fact`, { fact: "stroke", told: "52.2 mm" }));
  keep("Written", await post(`/api/bikes/${bike}/use`, { hard: true }));
  keep("BikeView", await get(`/api/bikes/${bike}`));
  keep("Written", await post(`/api/bikes/${bike}/undo`, {}));
  const job = keep("Written", await post("/api/jobs", { bike, complaint: "bogs up top, hits a wall, stood over winter" }))
    .made.slice("job/".length);
  const heard = keep("Heard[]", await get(`/api/hear?bike=${bike}&words=bogs%20up%20top`));
  keep("JobView", await get(`/api/jobs/${job}`));
  keep("Written", await post(`/api/jobs/${job}/entries`, {
    sure: false,
    entries: [
      { kind: "answered", finding: heard[0].id, answer: "yes" },
      { kind: "measured", reading: "compression", told: "150 psi height=400 m" },
      { kind: "parts-off", off: ["seat"] },
    ],
  }));
  keep("Problems", await post(`/api/jobs/${job}/entries`, {
    sure: false, entries: [{ kind: "measured", reading: "compression", told: "150 kPa" }],
  }));
  await fetch(`${server.address}/api/jobs/${job}/photos?caption=a%20dot`, {
    method: "POST", headers: { "Content-Type": "image/png", "Crankwise-Entry": newKey() }, body: png,
  });
  const listened = await fetch(`${server.address}/api/jobs/${job}/listen?of=hold`, {
    method: "POST", headers: { "Content-Type": "audio/wav" }, body: engineWav(9000),
  });
  keep("HeardTake", await listened.json());
  const view = keep("JobView", await get(`/api/jobs/${job}`));
  assert.equal(view.log.at(-1).photo.width, 1);
  for (const option of [view.next, ...view.others]) keep("Option", option);
  for (const { id } of view.steps.slice(0, 5)) keep("Option", await get(`/api/jobs/${job}/steps/${id}`));
  keep("Why", await get(`/api/jobs/${job}/why/${view.suspects[0].fault}`));
  keep("Written", await post(`/api/jobs/${job}/undo`, { act: view.undo.act }));
  keep("Problems", await post(`/api/jobs/${job}/undo`, { act: view.undo.act }));
  keep("Written", await post(`/api/jobs/${job}/close`, { end: "given-up", causes: ["plug-fouled"], words: "sold" }));
  keep("JobView", await get(`/api/jobs/${job}`));
  keep("Shop", await get("/api/shop"));
  keep("JobLines", await get("/api/jobs"));
  keep("Words", await get("/api/words"));
  keep("Settings", await get("/api/settings"));
  keep("Written", await post("/api/settings", await get("/api/settings")));
  keep("Sums", await get("/api/sums"));
  keep("SumAnswer", await post("/api/sums/oil-for-fuel", { told: { fuel: "5 L", ratio: "40:1" } }));
  keep("Problems", await post("/api/sums/oil-for-fuel", { told: { fuel: "5" } }));
  keep("Learned", await get("/api/learned"));
  keep("Problems", await get("/api/jobs/999"));
  for (const { job: old } of (await get("/api/jobs")).jobs) keep("JobView", await get(`/api/jobs/${old}`));
  for (const { id } of (await get("/api/shop")).bikes) keep("BikeView", await get(`/api/bikes/${id}`));
  return seen;
}

function compiled(text) {
  const folder = `${root}/ui/build-wire`;
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  writeFileSync(`${folder}/answers.ts`, text);
  writeFileSync(`${folder}/tsconfig.json`, JSON.stringify({ extends: "../tsconfig.json", include: ["answers.ts"] }));
  const tsc = spawnSync(process.execPath, [`${root}/ui/node_modules/typescript/bin/tsc`, "--noEmit", "-p", folder], {
    encoding: "utf8",
  });
  rmSync(folder, { recursive: true, force: true });
  return tsc;
}

const constants = (seen) =>
  `import type * as wire from "../src/wire";\n` +
  seen.map(([type, answer], i) => `export const a${i}: wire.${type} = ${JSON.stringify(answer)};\n`).join("");

test("answers are of the types that the page is written for", async () => {
  const seen = await answers();
  const types = new Set(seen.map(([type]) => type));
  for (const type of ["Hello", "Shop", "JobView", "BikeView", "Words", "Problems"]) assert.ok(types.has(type), type);
  const tsc = compiled(constants(seen));
  assert.equal(tsc.status, 0, tsc.stdout.slice(0, 4000));
});

test("an answer of another shape is found", () => {
  const hello = { version: "1", paired: true, network: false, demo: true };
  assert.equal(compiled(constants([["Hello", hello]])).status, 0);
  assert.notEqual(compiled(constants([["Hello", { ...hello, more: 1 }]])).status, 0);
  assert.notEqual(compiled(constants([["Hello", { ...hello, paired: "yes" }]])).status, 0);
  assert.notEqual(compiled(constants([["Hello", { version: "1" }]])).status, 0);
});
