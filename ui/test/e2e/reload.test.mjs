// A phone throws its page away at any time: nothing that was typed, tapped or written down is lost by it.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, shellKept, startBrowser } from "./browser.mjs";
import { choose, field, follow, gone, note, see, tap, tick, until } from "./hands.mjs";
import { newBike, newJob, notes } from "./jobs.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Reloaded 300");
  await newBike(server, "Another 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

test("a half-filled take-in stays", async (t) => {
  const page = await phone(t, browser, server.address);
  await page.goto("/take-in");
  await page.getByRole("radio", { name: /^Reloaded 300/ }).tap();
  await field(page, "What does the rider say?").fill("hits a wall");
  await page.reload();
  assert.equal(await field(page, "What does the rider say?").inputValue(), "hits a wall");
  assert.ok(await page.getByRole("radio", { name: /^Reloaded 300/ }).isChecked());
  await tap(page, "Take it in");
  await page.waitForURL("**/heard");
  await page.goto("/take-in");
  assert.equal(await field(page, "What does the rider say?").inputValue(), "", "what was sent is not offered again");
});

test("a half-filled new bike stays", async (t) => {
  const page = await phone(t, browser, server.address);
  await page.goto("/new-bike");
  await field(page, "What is it called here?").fill("Half a bike");
  await tick(page, "Four-stroke");
  await page.getByRole("radio", { name: /^250 four-stroke motocrosser with injection/ }).tap();
  await field(page, "Engine hours").fill("12");
  await page.reload();
  assert.equal(await field(page, "What is it called here?").inputValue(), "Half a bike");
  assert.equal(await field(page, "Engine hours").inputValue(), "12");
});

test("a half-filled reading, note and parts off stay", async (t) => {
  const job = await newJob(server, bike);
  const page = await phone(t, browser, server.address);
  await page.goto(`/jobs/${job}`);
  await choose(page, "Measure the compression");
  const value = () => field(page, /^Warm engine, throttle wide open/);
  await value().fill("10,5");
  await tick(page, "bar");
  await page.getByText("How it was measured").tap();
  await field(page, "Height").fill("400");
  await page.reload();
  assert.equal(await value().inputValue(), "10,5");
  assert.ok(await field(page, "bar").isChecked());
  await page.getByText("How it was measured").tap();
  assert.equal(await field(page, "Height").inputValue(), "400");

  await page.goto(`/jobs/${job}/note`);
  await field(page, "Anything worth keeping").fill("half a no");
  await page.reload();
  assert.equal(await field(page, "Anything worth keeping").inputValue(), "half a no");

  await page.goto(`/jobs/${job}/parts`);
  await page.getByRole("checkbox", { name: "Seat", exact: true }).tap();
  await page.reload();
  assert.ok(await page.getByRole("checkbox", { name: "Seat", exact: true }).isChecked());
  await tap(page, "Keep: 1 off");
  await page.waitForURL(`**/jobs/${job}`);
});

test("without the server the page comes up, and what was not yet sent is still there and is sent", async (t) => {
  const job = await newJob(server, bike);
  const page = await phone(t, browser, server.address);
  await page.goto(`/jobs/${job}`);
  await page.locator(".step-name").waitFor();
  await shellKept(page);
  await page.context().setOffline(true);
  await note(page, "first");
  await note(page, "second");
  await see(page, "2 not yet saved");
  await page.reload();
  await see(page, "2 not yet saved");
  await page.locator(".step-name").waitFor();
  await see(page, /^No server\. As it was at/);
  await follow(page, "Note");
  await field(page, "Anything worth keeping").fill("third, half");
  await page.reload();
  assert.equal(await field(page, "Anything worth keeping").inputValue(), "third, half");
  assert.deepEqual(await notes(server, job), []);
  await page.context().setOffline(false);
  await gone(page, /not yet saved/);
  await until("both are there", async () => (await notes(server, job)).length === 2);
  assert.deepEqual(await notes(server, job), ["first", "second"]);
});
