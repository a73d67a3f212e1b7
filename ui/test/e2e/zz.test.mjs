// Taking back, and leaving out.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { button, follow, gone, note, onward, see, tap, until } from "./hands.mjs";
import { isQuestion, jobView, leaveOutUntil, newBike, newJob, noteEntry, notes, write } from "./jobs.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Undone 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

async function onTheBench(t, job) {
  const page = await phone(t, browser, server.address);
  await page.goto(`/jobs/${job}`);
  await page.locator(".step-name").waitFor();
  return page;
}

const panel = (page) => page.getByRole("group", { name: "Take back", exact: true });

test("an answer is taken back with its words, and is asked again", async (t) => {
  const job = await newJob(server, bike);
  await leaveOutUntil(server, job, isQuestion);
  const page = await onTheBench(t, job);
  const asked = await page.locator(".step-name").innerText();
  await onward(page, () => tap(page, "Yes"));
  const { undo } = await jobView(server, job);
  assert.match(undo.words, /: yes$/);
  await tap(page, "Take back");
  await panel(page).getByText(undo.words.slice(1)).waitFor();
  await tap(page, "Keep it");
  await panel(page).waitFor({ state: "hidden" });
  await tap(page, "Take back");
  await tap(page, "Take it back");
  await page.locator(".step-name", { hasText: asked }).waitFor();
  assert.equal((await jobView(server, job)).log.filter((l) => l.kind === "answered").length, 0);
});

test("with nothing written there is nothing to take back", async (t) => {
  const page = await onTheBench(t, await newJob(server, bike));
  assert.ok(await button(page, "Take back").isDisabled());
});

test("what was written meanwhile is not taken back, and why is said", async (t) => {
  const job = await newJob(server, bike);
  const page = await onTheBench(t, job);
  await note(page, "mine");
  await tap(page, "Take back");
  await page.evaluate(() => { window.seen = []; });
  await panel(page).getByText("ote: mine").waitFor().catch(async (e) => { console.log("PANEL", await page.locator(".foot").innerText(), "|", await page.locator(".status").innerText(), (await jobView(server, job)).log.map(l=>l.words)); throw e; });
  const news = page.waitForResponse((r) => r.url().includes(`/api/jobs/${job}?since=`) && r.status() === 200);
  await write(server, job, noteEntry("of another phone"));
  await news;
  await page.waitForRequest((r) => r.url().includes("?since=")); // it asks anew once it has shown what was new
  await panel(page).getByText("ote: mine").waitFor();
  await tap(page, "Take it back");
  await see(page, /Something else was written or taken back meanwhile/);
  await see(page, /note: of another phone/);
  assert.deepEqual(await notes(server, job), ["mine", "of another phone"]);
  await tap(page, "Take back");
  await panel(page).getByText("of another phone").waitFor();
  await tap(page, "Take it back");
  await until("it is gone", async () => (await notes(server, job)).length === 1);
  await gone(page, /Something else was written or taken back meanwhile/);
});

test("from the log too, and entries of this phone that are not yet saved first", async (t) => {
  const job = await newJob(server, bike);
  await write(server, job, noteEntry("saved"));
  const page = await onTheBench(t, job);
  await page.context().setOffline(true);
  await note(page, "not yet");
  await see(page, "1 not yet saved");
  await follow(page, /^What was written down/);
  await tap(page, "Take back the last");
  await panel(page).getByText("ote: not yet").waitFor();
  await tap(page, "Take it back");
  await gone(page, "1 not yet saved");
  await page.context().setOffline(false);
  await gone(page, "no server");
  assert.deepEqual(await notes(server, job), ["saved"]);
  await tap(page, "Take back the last");
  await tap(page, "Take it back");
  await see(page, "Nothing yet.");
  assert.deepEqual(await notes(server, job), []);
});

test("closing is taken back", async (t) => {
  const job = await newJob(server, bike);
  await server.post(`/api/jobs/${job}/close`, { end: "given-up", causes: [], words: "" });
  const page = await onTheBench(t, job);
  await see(page, "Given up");
  await tap(page, "Take back");
  await panel(page).getByText((await jobView(server, job)).undo.words.slice(1)).waitFor();
  await tap(page, "Take it back");
  await until("it is open", async () => (await jobView(server, job)).end === "open");
  await button(page, "Leave out").waitFor();
});

test("a step is left out with the reason told", async (t) => {
  const job = await newJob(server, bike);
  const { name } = await leaveOutUntil(server, job, (o) => o.act === "look");
  const page = await onTheBench(t, job);
  await page.locator(".step-name", { hasText: name }).waitFor();
  await tap(page, "Leave out");
  await tap(page, "Back to it");
  await tap(page, "Leave out");
  await page.getByLabel("Or in your words (may stay empty)").fill("bolt seized");
  await onward(page, () => tap(page, "Leave it out"));
  assert.match((await jobView(server, job)).log.at(-1).words, /bolt seized/);
});
