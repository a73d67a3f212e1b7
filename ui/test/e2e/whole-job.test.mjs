// A whole job on a phone, from a bike that the shop has not seen to the sheet for its owner.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { answer, button, choose, field, follow, gone, onward, see, tap, tick, until } from "./hands.mjs";
import { jobView } from "./jobs.mjs";

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve({ args: [] }), startBrowser()])));
after(async () => {
  await browser?.close();
  await server?.end();
});

const view = () => jobView(server, 1);
const lines = async () => (await view()).log.map((l) => l.words);

async function enterBike(page) {
  await page.goto("/");
  await see(page, "No bike is entered yet.");
  await follow(page, "Enter a bike");
  await field(page, "What is it called here?").fill("Loan 300");
  await tick(page, "Two-stroke");
  await page.getByRole("radio", { name: /^250\/300 two-stroke enduro/ }).first().tap();
  await field(page, "Engine hours").fill("60");
  await tap(page, "Add the bike");
  await page.waitForURL("**/bikes/loan-300");
}

async function takeIn(page) {
  await follow(page, "Take it in");
  await field(page, "What does the rider say?").fill("bogs up top, blubbers, plug is wet, stood over winter");
  await see(page, "Heard so far");
  await tap(page, "Take it in");
  await page.waitForURL("**/jobs/1/heard");
}

async function confirmAll(page) {
  const asked = page.locator(".confirm");
  await asked.first().waitFor();
  for (let left = await asked.count(); left > 0; left = await asked.count()) {
    await asked.first().getByRole("button", { name: "Yes", exact: true }).tap();
    await page.waitForFunction((n) => document.querySelectorAll(".confirm").length < n, left);
  }
  await gone(page, "Is it meant so?");
}

async function tellWhen(page) {
  for (const ask of ["Is it only there when the engine is hot?", "Has the top end been apart lately?"]) {
    await answer(page, ask, "No");
    await page.getByRole("group", { name: ask, exact: true }).getByRole("button", { name: "No", pressed: true }).waitFor();
  }
  await field(page, "What does the hour meter show?").fill("5");
  await tap(page, "Keep the hours");
  await page.locator(".field.wrong .field-problem", { hasText: "60" }).waitFor();
  await field(page, "What does the hour meter show?").fill("61,5");
  await tap(page, "Keep the hours");
  await see(page, "So far: 61.5 h.");
}

async function answerQuestions(page) {
  await follow(page, "Go on to the bench");
  for (const [words, written] of [["No", "no"], ["Not sure", "unsure"]]) {
    await page.locator(".step-name").waitFor();
    if ((await view()).next.act !== "question") {
      await follow(page, "Others");
      await page.locator("a.row", { hasText: "Ask the rider" }).first().tap();
    }
    await page.locator(".tape", { hasText: "Ask the rider" }).waitFor();
    const lines = (await view()).log.length;
    await onward(page, () => tap(page, words));
    const after = (await view()).log;
    assert.equal(after.length, lines + 1, "one tap is one entry");
    assert.ok(after.at(-1).words.endsWith(`: ${written}`), after.at(-1).words);
  }
  await page.waitForURL("**/jobs/1");
}

async function measure(page) {
  await choose(page, "Measure the compression");
  const cautions = await page.locator(".cautions").boundingBox();
  const how = await page.locator(".how").boundingBox();
  assert.ok(cautions.y + cautions.height <= how.y, "cautions stand before the how-to");
  const value = field(page, /^Warm engine, throttle wide open/);
  await value.fill("15o");
  await tap(page, "Keep what it showed");
  await page.locator(".field.wrong .field-problem", { hasText: "not a value" }).waitFor();
  await value.fill("30");
  await tap(page, "Keep what it showed");
  await see(page, "Is it as you say?");
  await see(page, "30 psi would be 30 psi, far from");
  await tap(page, "Put it right");
  assert.equal(await value.inputValue(), "30", "it can be put right where it was typed");
  await value.fill("10,5");
  await tick(page, "bar");
  await page.getByText("How it was measured").tap();
  await field(page, "Height").fill("400");
  await tick(page, "Dry");
  await page.getByText("Minutes and money it took").tap();
  await field(page, "Minutes in all").fill("12");
  await tap(page, "Keep what it showed");
  await page.waitForURL("**/jobs/1");
  await page.getByLabel("How the reading was judged").getByText(/at sea level/).waitFor();
  assert.ok((await lines()).includes("compression: 10.5 bar, height 400 m, oil dry"), (await lines()).join("\n"));
}

async function takePartsOff(page) {
  await follow(page, /^Parts off/);
  await page.getByRole("checkbox", { name: "Seat", exact: true }).tap();
  await page.getByRole("checkbox", { name: "Tank", exact: true }).tap();
  await page.locator(".drawn-bike [data-part=tank].is-off").waitFor();
  await tap(page, /^Keep: \d off$/);
  await page.waitForURL("**/jobs/1");
  await until("the tank is off", async () => (await view()).off.includes("tank"));
}

async function repair(page, name, result) {
  await choose(page, name);
  await tap(page, "Done: now run it");
  await page.waitForURL("**/jobs/1/run");
  await see(page, "Put back what it needs, and run it the way the trouble came.");
  await tap(page, result);
  await page.waitForURL("**/jobs/1");
  await until("the run is written", async () => (await view()).log.at(-1).kind === "ran");
}

async function swapAndPutBack(page) {
  await repair(page, "Try a known good ignition coil", "Same as before");
  await see(page, "Does the old part go back in?");
  await tap(page, "Yes, the old one is back in");
  await gone(page, "Does the old part go back in?");
  await until("the old part is in", async () => (await view()).swapped_in.length === 0);
}

async function prove(page) {
  await repair(page, "Fit a new plug and run it again", "Trouble gone");
  const proven = page.getByText("It runs right, and the run has shown it.");
  for (let runs = 0; runs < 4; ++runs) {
    await proven.or(button(page, "Trouble gone")).waitFor();
    if (await proven.isVisible()) break;
    const before = (await view()).seq;
    await tap(page, "Trouble gone");
    await until("the run is written", async () => (await view()).seq > before);
    await page.locator(".foot .button:enabled, .foot a.button").first().waitFor();
  }
  await proven.waitFor();
}

async function close(page) {
  await page.locator(".foot").getByRole("link", { name: "Close the job" }).tap();
  await field(page, "Words to the owner and for the record").fill("Richer plug in the box, mix it fresh.");
  assert.ok(await page.getByRole("radio", { name: /^Proven/ }).isChecked());
  assert.ok(await page.getByRole("checkbox", { name: "plug fouled with soot, oil or fuel" }).isChecked());
  await tap(page, "Close the job");
  await page.waitForURL("**/jobs/1/sheet");
}

const onTheSheet = [
  "Loan 300",
  "bogs up top, blubbers, plug is wet, stood over winter",
  "plug fouled with soot, oil or fuel",
  "Fit a new plug",
  "Richer plug in the box, mix it fresh.",
];

async function readSheet(page) {
  const shown = page.locator(".paper");
  for (const words of onTheSheet) await shown.getByText(words).first().waitFor();
  await page.emulateMedia({ media: "print" });
  assert.ok(!(await page.locator(".foot").isVisible()), "buttons are not printed");
  assert.ok(await shown.isVisible());
  assert.equal((await page.pdf()).subarray(0, 5).toString(), "%PDF-");
  await page.emulateMedia({ media: "screen" });
  const files = await page.evaluate(async () => {
    const fetched = async (ending) => {
      const answered = await fetch(`/api/jobs/1/sheet.${ending}`);
      return [answered.headers.get("content-type"), await answered.text()];
    };
    return { html: await fetched("html"), pdf: await fetched("pdf") };
  });
  assert.match(files.html[0], /^text\/html/);
  for (const words of onTheSheet) assert.ok(files.html[1].toLowerCase().includes(words.toLowerCase()), words);
  assert.equal(files.pdf[0], "application/pdf");
  assert.ok(files.pdf[1].startsWith("%PDF-"));
  const [kept] = await Promise.all([page.waitForEvent("download"), tap(page, "Share")]);
  assert.equal(kept.suggestedFilename(), "job-1.html");
}

test("from a new bike to the printed sheet", async (t) => {
  const page = await phone(t, browser, server.address, { acceptDownloads: true });
  await enterBike(page);
  await takeIn(page);
  await confirmAll(page);
  await tellWhen(page);
  await answerQuestions(page);
  await measure(page);
  await takePartsOff(page);
  await repair(page, "Clean and dry the plug", "Same as before");
  assert.deepEqual((await view()).off, [], "whoever has run it has everything on");
  await swapAndPutBack(page);
  await prove(page);
  await close(page);
  await readSheet(page);
  const { end, causes, words } = await view();
  assert.deepEqual([end, causes.map((c) => c.id), words], ["proven", ["plug-fouled"], "Richer plug in the box, mix it fresh."]);
  await follow(page, "Bench");
  await page.locator(".tape", { hasText: "Closed" }).waitFor();
  await follow(page, "Shop");
  await see(page, "Plug fouled with soot, oil or fuel");
  await see(page, "No job is open.");
});
