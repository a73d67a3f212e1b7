// The line goes, the server dies, answers are lost: what was entered arrives all the same, once and in its order.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { choose, field, follow, gone, note, see, tap, until } from "./hands.mjs";
import { isQuestion, jobView, leaveOutUntil, newBike, newJob, noteEntry, notes, write } from "./jobs.mjs";
import { startLine } from "./line.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Far 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

async function onTheBench(t, job, address = server.address) {
  const page = await phone(t, browser, address);
  await page.goto(`/jobs/${job}`);
  await page.locator(".step-name").waitFor();
  return page;
}

const waitingLines = (page) => page.locator("ol .row b").allInnerTexts();

test("the line goes and comes back", async (t) => {
  const job = await newJob(server, bike);
  await leaveOutUntil(server, job, isQuestion);
  const before = (await jobView(server, job)).log.length;
  const page = await onTheBench(t, job);
  await page.context().setOffline(true);
  await see(page, "no server");
  await note(page, "first");
  await tap(page, "Yes");
  await see(page, "Kept on this phone:");
  await note(page, "last");
  await follow(page, "3 not yet saved");
  await see(page, "On this phone, in this order");
  const [first, answered, last] = await waitingLines(page);
  assert.deepEqual([first, last], ["Note: first", "Note: last"]);
  assert.match(answered, /: yes$/);
  await page.goBack();
  await follow(page, /^What was written down/);
  await page.locator(".unsaved", { hasText: "Not yet saved: on this phone only" }).nth(2).waitFor();
  assert.equal((await jobView(server, job)).log.length, before);
  await page.context().setOffline(false);
  await gone(page, "Not yet saved: on this phone only");
  await page.locator(".act", { hasText: "last" }).waitFor();
  const { log } = await jobView(server, job);
  assert.deepEqual(log.slice(before).map((l) => l.kind), ["noted", "answered", "noted"]);
  await gone(page, /not yet saved|no server/);
});

test("the server dies and is started again", async (t) => {
  let mortal = await serve({ args: [] });
  t.after(() => mortal.end());
  const job = await newJob(mortal, await newBike(mortal, "Killed 300"));
  const page = await onTheBench(t, job, mortal.address);
  await note(page, "before");
  await until("it is there", async () => (await notes(mortal, job)).length === 1);
  await mortal.stop("SIGKILL");
  await note(page, "while it was dead");
  await note(page, "and again");
  await see(page, "2 not yet saved");
  const { home, port } = mortal;
  mortal = await serve({ args: [], home, port });
  await until("all are there", async () => (await notes(mortal, job)).length >= 3);
  await gone(page, /not yet saved/);
  assert.deepEqual(await notes(mortal, job), ["before", "while it was dead", "and again"]);
});

test("answers are lost after the server has written: it is sent again, and written once", async (t) => {
  const line = await startLine(server);
  t.after(() => line.end());
  const lost = new Set();
  line.losing = ({ headers, method }) => {
    const key = headers["crankwise-entry"];
    const first = method === "POST" && !lost.has(key);
    if (first) lost.add(key);
    return first;
  };
  const job = await newJob(server, bike);
  const page = await onTheBench(t, job, line.address);
  const written = ["one", "two", "three"];
  for (const text of written) await note(page, text);
  await until("all are there", async () => (await notes(server, job)).length >= 3);
  await gone(page, /not yet saved/);
  await until("each was sent twice", () => line.keys.length === 6);
  assert.equal(new Set(line.keys).size, 3, "under the same key");
  assert.deepEqual(await notes(server, job), written);
});

test("while answers are slow, an answered question cannot be answered again", async (t) => {
  const line = await startLine(server);
  t.after(() => line.end());
  const job = await newJob(server, bike);
  await leaveOutUntil(server, job, isQuestion);
  const page = await onTheBench(t, job, line.address);
  const asked = await page.locator(".step-name").innerText();
  const yes = page.locator(".foot").getByRole("button", { name: "Yes", exact: true });
  await yes.and(page.locator(":enabled")).waitFor();
  line.slowly = ({ method }) => (method === "GET" ? 1_500 : 0);
  await page.evaluate(() => {
    window.enabledAgain = false;
    const before = document.querySelector(".step-name").innerText;
    window.look = () => {
      const same = document.querySelector(".step-name")?.innerText === before;
      const open = document.querySelector(".foot .answers button:enabled");
      if (same && open && window.tapped) window.enabledAgain = true;
      requestAnimationFrame(window.look);
    };
    document.addEventListener("click", () => setTimeout(() => (window.tapped = true), 250));
    window.look();
  });
  await yes.tap();
  await page.waitForFunction((old) => document.querySelector(".step-name")?.innerText !== old, asked);
  assert.equal(await page.evaluate(() => window.enabledAgain), false);
  assert.equal((await jobView(server, job)).log.filter((l) => l.kind === "answered").length, 1);
});

test("what the server refuses later is shown, put right or dropped, and holds up what follows", async (t) => {
  const job = await newJob(server, bike);
  const page = await onTheBench(t, job);
  await choose(page, "Measure the compression");
  await page.context().setOffline(true);
  await see(page, "no server");
  await field(page, /^Warm engine, throttle wide open/).fill("30");
  await tap(page, "Keep what it showed");
  await see(page, "Kept on this phone:");
  await follow(page, "Bench");
  await note(page, "after the reading");
  await see(page, "2 not yet saved");
  await page.context().setOffline(false);
  await see(page, "The server did not take an entry of this job.");
  await follow(page, "1 not taken");
  await see(page, /^30 psi would be 30 psi/);
  assert.deepEqual(await waitingLines(page), ["Note: after the reading"], "it waits for the one before it");
  assert.deepEqual((await jobView(server, job)).log, []);
  await page.goBack();
  await page.locator(".foot").getByRole("button", { name: "Leave out", disabled: false }).waitFor(); // it goes on
  await follow(page, "1 not taken");
  await field(page, "The reading").fill("160 psi");
  await tap(page, "Send it again");
  await see(page, "Everything is saved.");
  const { log } = await jobView(server, job);
  assert.deepEqual(log.map((l) => l.kind), ["did", "measured", "noted"]);
  assert.match(log[1].words, /160 psi/);
});

test("a refused entry can be dropped", async (t) => {
  const job = await newJob(server, bike);
  const page = await onTheBench(t, job);
  await page.context().setOffline(true);
  await note(page, "too late");
  await see(page, "1 not yet saved");
  await write(server, job, noteEntry("from elsewhere"));
  await server.post(`/api/jobs/${job}/close`, { end: "given-up", causes: [], words: "" });
  await page.context().setOffline(false);
  await follow(page, "1 not taken");
  await tap(page, "Drop it");
  await see(page, "It is then nowhere.");
  await tap(page, "Drop it");
  await see(page, "Everything is saved.");
  assert.deepEqual(await notes(server, job), ["from elsewhere"]);
});
