// Whatever is typed is shown as it was typed, and never carried out.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, phoneSize, startBrowser } from "./browser.mjs";
import { button, field, follow, note, see, tap, until } from "./hands.mjs";
import { jobView, leaveOutUntil } from "./jobs.mjs";
import { png } from "./png.mjs";

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve({ args: [] }), startBrowser()])));
after(async () => {
  await browser?.close();
  await server?.end();
});

// Ways that have been used to get a script into a page; every field has words of its own to be found by. Names are short.
const begun = (name) => `${name} "'><script>ran()</script><img src=x onerror=ran()><svg onload=ran()>`;
const more =
  `<style>*{display:none}</style><a href="javascript:ran()">x</a>` +
  `<iframe srcdoc="<script>parent.ran()</script>">{{ran()}}\${ran()}&lt;b&gt;`;
const script = (name) => (name === "bike" ? begun(name) : begun(name) + more);

/** Set wherever the page goes; `x` is what the image would ask for. */
async function guarded(t) {
  const page = await phone(t, browser, server.address);
  const context = page.context();
  const ran = [];
  await context.exposeFunction("ran", () => ran.push("ran"));
  context.on("request", (r) => r.url().endsWith("/x") && ran.push(r.url()));
  t.after(() => assert.deepEqual(ran, []));
  return page;
}

async function shows(page, path, ...names) {
  await page.goto(path);
  for (const name of names) await page.getByText(script(name)).first().waitFor();
  // What was put into the page as HTML would have made elements that it never makes.
  const made = await page.evaluate(() =>
    ["iframe", "main img:not([src^='/api/photos/']):not([src^='blob:'])", "a[href^='javascript:']", "body style", "body script"]
      .filter((selector) => document.querySelector(selector) !== null),
  );
  assert.deepEqual(made, [], path);
  const width = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.equal(width, phoneSize.width, `long words do not widen ${path}`);
}

async function enter(page) {
  await page.goto("/new-bike");
  await field(page, "What is it called here?").fill(script("bike"));
  await page.getByRole("radio", { name: "Two-stroke", exact: true }).tap();
  await page.getByRole("radio", { name: /^250\/300 two-stroke enduro/ }).first().tap();
  await tap(page, "Add the bike");
  await page.waitForURL("**/bikes/*");
  await follow(page, "Take it in");
  await field(page, "What does the rider say?").fill(script("complaint"));
  await tap(page, "Take it in");
  await page.waitForURL("**/heard");
  return Number(/jobs\/(\d+)/.exec(page.url())[1]);
}

test("script in every field", async (t) => {
  const page = await guarded(t);
  const job = await enter(page);
  const { bike } = await jobView(server, job);
  await leaveOutUntil(server, job, (o) => o.act === "look");

  await page.goto(`/jobs/${job}`);
  await tap(page, "Leave out");
  await page.getByLabel("Or in your words (may stay empty)").fill(script("reason"));
  await tap(page, "Leave it out");
  await until("it is left out", async () => (await jobView(server, job)).log.at(-1).words.includes("reason"));
  await note(page, script("note"));
  await follow(page, "Note");
  await page.getByLabel("Choose a file").setInputFiles({ name: "<img src=x>.png", mimeType: "image/png", buffer: png(5, 5) });
  await field(page, "What it shows").fill(script("caption"));
  await tap(page, "Keep the photo");
  await until("the photo is there", async () => (await jobView(server, job)).log.at(-1).photo);

  await shows(page, "/", "bike", "complaint");
  await shows(page, "/take-in", "bike");
  await shows(page, `/bikes/${bike.id}`, "bike", "complaint");
  await shows(page, `/jobs/${job}`, "bike", "complaint");
  await shows(page, `/jobs/${job}/heard`, "complaint");
  await shows(page, `/jobs/${job}/log`, "note", "caption", "reason");
  await shows(page, `/jobs/${job}/note`, "bike");

  await page.context().setOffline(true);
  await field(page, "Anything worth keeping").fill(script("unsaved"));
  await tap(page, "Keep the note");
  await see(page, "1 not yet saved");
  await follow(page, "1 not yet saved");
  await page.getByText(script("unsaved")).waitFor();
  await page.context().setOffline(false);
  await see(page, "Everything is saved.");

  await page.goto(`/jobs/${job}/close`);
  await page.getByRole("radio", { name: /^Given up/ }).tap();
  await field(page, "Another cause").fill(script("search"));
  await field(page, "Words to the owner and for the record").fill(script("words"));
  await tap(page, "Close the job");
  await page.waitForURL("**/sheet");
  await shows(page, `/jobs/${job}/sheet`, "bike", "complaint", "caption", "words");
  await shows(page, `/jobs/${job}`, "words");
  await shows(page, "/closed", "complaint", "bike");
  await field(page, "Search").fill(script("search"));
  await see(page, "No closed job has that in it.");
});

test("nor in the sheet as a file", async (t) => {
  const page = await guarded(t);
  const { closed } = await server.get("/api/shop");
  await page.goto(`/api/jobs/${closed[0].job}/sheet.html`);
  for (const name of ["complaint", "words", "caption"]) await page.getByText(script(name)).first().waitFor();
  assert.equal(await page.locator("script, iframe, a").count(), 0);
});

test("nor in an address", async (t) => {
  const page = await guarded(t);
  const within = (name) => encodeURIComponent(script(name).replace(/[./]/g, ""));
  await page.goto(`/${within("path")}`);
  await see(page, "Nothing here");
  await page.goto(`/sums/${within("sum")}`);
  await see(page, /^No bench sum is called/);
  await page.goto(`/pair#code=${encodeURIComponent(script("code"))}`);
  await button(page, "Join").waitFor();
});
