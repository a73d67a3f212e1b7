// Two phones on one job.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { choose, field, follow, gone, note, see, tap, until } from "./hands.mjs";
import { isForm, isQuestion, jobView, leaveOutUntil, newBike, newJob } from "./jobs.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Shared 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

const job = async () => newJob(server, bike);

async function at(t, path) {
  const page = await phone(t, browser, server.address);
  await page.goto(path);
  await page.locator("main").getByText(/./).first().waitFor();
  return page;
}

/** How long from the tap on one phone until it stands on the other. */
async function seenAfter(writer, reader, number, words) {
  await writer.goto(`/jobs/${number}/note`);
  await field(writer, "Anything worth keeping").fill(words);
  await reader.bringToFront();
  const from = performance.now();
  await tap(writer, "Keep the note");
  await see(reader, words);
  return performance.now() - from;
}

test("each sees what the other writes within two seconds", async (t) => {
  const number = await job();
  const [one, other] = [await at(t, `/jobs/${number}/log`), await at(t, `/jobs/${number}/log`)];
  for (const [writer, reader, who] of [[one, other, "one"], [other, one, "the other"]]) {
    const took = [];
    do {
      await reader.goto(`/jobs/${number}/log`);
      await see(reader, "Take back the last");
      took.push(await seenAfter(writer, reader, number, `from ${who}, ${took.length}`));
    } while (took.at(-1) > 2_000 && took.length < 6); // the machine may have been busy
    assert.ok(took.at(-1) <= 2_000, `${took.map(Math.round)} ms`);
  }
});

test("both may answer the same question; what comes next is the same on both", async (t) => {
  const number = await job();
  await leaveOutUntil(server, number, isQuestion);
  const [one, other] = [await at(t, `/jobs/${number}`), await at(t, `/jobs/${number}`)];
  const asked = await other.locator(".step-name").innerText();
  await tap(one, "No");
  await other.waitForFunction((old) => document.querySelector(".step-name").innerText !== old, asked);
  const { next } = await jobView(server, number);
  for (const page of [one, other]) await see(page, next.act === "question" ? next.ask[0].ask : next.name);
});

test("a form that was begun stays, though another step is the best by now", async (t) => {
  const number = await job();
  const form = await leaveOutUntil(server, number, isForm);
  const [one, other] = [await at(t, `/jobs/${number}`), await at(t, `/jobs/${number}`)];
  await one.locator(".step-name", { hasText: form.name }).waitFor();
  const first = one.locator(".asked").first().getByRole("button", { name: "Yes", exact: true });
  await first.tap();
  await follow(other, "Others");
  await other.locator("a.row", { hasText: form.name }).first().tap();
  await tap(other, "Leave out");
  await tap(other, "Not now");
  await see(one, "Something else was written to this job.");
  assert.equal(await one.locator(".step-name").innerText(), form.name);
  assert.equal(await first.getAttribute("aria-pressed"), "true");
  await tap(one, "Keep what it showed");
  await until("it is written", async () => (await jobView(server, number)).log.at(-1).kind === "answered");
  await one.waitForFunction((old) => document.querySelector(".step-name").innerText !== old, form.name);
});

test("the form can be left for what is best by now", async (t) => {
  const number = await job();
  const form = await leaveOutUntil(server, number, isForm);
  const [one, other] = [await at(t, `/jobs/${number}`), await at(t, `/jobs/${number}`)];
  await one.locator(".asked").first().getByRole("button", { name: "Yes", exact: true }).tap();
  await other.locator(".step-name", { hasText: form.name }).waitFor();
  await tap(other, "Leave out");
  await tap(other, "Not now");
  await tap(one, "Show it");
  await one.waitForFunction((old) => document.querySelector(".step-name").innerText !== old, form.name);
  await gone(one, "Something else was written to this job.");
});

test("a reading that is being typed stays while the other phone writes", async (t) => {
  const number = await job();
  const [one, other] = [await at(t, `/jobs/${number}`), await at(t, `/jobs/${number}`)];
  await choose(one, "Measure the compression");
  const value = field(one, /^Warm engine, throttle wide open/);
  await value.fill("15");
  const news = one.waitForResponse((r) => r.url().includes(`/api/jobs/${number}?since=`) && r.status() === 200);
  await note(other, "from the other");
  await news;
  await value.pressSequentially("0");
  assert.equal(await value.inputValue(), "150");
  await tap(one, "Keep what it showed");
  await one.waitForURL(`**/jobs/${number}`);
  await until("it is written", async () => (await jobView(server, number)).log.at(-1).words.includes("150 psi"));
});
