// A recording of the engine: heard, shown, and written down after a yes.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { axeFaults, bringAxe } from "./access.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { engineWav } from "./engine-wav.mjs";
import { button, follow, see, tap, until } from "./hands.mjs";
import { jobView, newBike, newJob } from "./jobs.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Recorded 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

const choose = (page, name, mimeType, buffer) => page.getByLabel("Choose a file").setInputFiles({ name, mimeType, buffer });

test("what is heard is shown, and counts after a yes", async (t) => {
  const job = await newJob(server, bike);
  const page = await phone(t, browser, server.address);
  await bringAxe(page);
  await page.goto(`/jobs/${job}/note`);
  await follow(page, "Listen to a recording");
  await page.waitForURL(`**/jobs/${job}/recording`);
  await choose(page, "hold.wav", "audio/wav", engineWav(8200));
  await see(page, /flattens out and fires on/);
  await see(page, /8,[12]\d\d \+- \d+ rpm/);
  const picture = page.getByRole("img", { name: /The speed over time/ });
  await until("the picture is drawn", () => picture.evaluate((i) => i.complete && i.naturalWidth > 900));
  assert.deepEqual(await axeFaults(page), []);
  const before = (await jobView(server, job)).log.length;
  assert.ok(await button(page, "Yes, it is so: write it down").isEnabled());
  await tap(page, "Yes, it is so: write it down");
  await page.waitForURL(`**/jobs/${job}`);
  await until("it is written", async () => (await jobView(server, job)).log.length > before + 2);
  const { log } = await jobView(server, job);
  const lines = log.slice(before).map((l) => l.words);
  assert.ok(lines.some((w) => /stops rising in neutral: 8[12]\d\d rpm, give-or-take/.test(w)), lines.join(" | "));
});

test("what is no recording, or no engine, is said", async (t) => {
  const job = await newJob(server, bike);
  const page = await phone(t, browser, server.address);
  await page.goto(`/jobs/${job}/recording`);
  await choose(page, "notes.wav", "audio/wav", Buffer.from("not a recording ".repeat(200)));
  await page.getByRole("alert").filter({ hasText: "the recording" }).first().waitFor();
  const silence = engineWav(8200).fill(0, 44);
  await choose(page, "quiet.wav", "audio/wav", silence);
  await see(page, /no engine is heard in it/);
});
