// Photos of a job.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { button, field, follow, gone, see, tap, until } from "./hands.mjs";
import { jobView, newBike, newJob } from "./jobs.mjs";
import { png } from "./png.mjs";

let server, browser, bike;
before(async () => {
  [server, browser] = await Promise.all([serve({ args: [] }), startBrowser()]);
  bike = await newBike(server, "Pictured 300");
});
after(async () => {
  await browser?.close();
  await server?.end();
});

async function atTheNote(t, job) {
  const page = await phone(t, browser, server.address);
  await page.goto(`/jobs/${job}/note`);
  await button(page, "Keep the photo").waitFor();
  return page;
}

const file = (name, mimeType, buffer) => ({ name, mimeType, buffer });
const chooser = (page) => page.getByLabel("Choose a file");
const photos = async (job) => (await jobView(server, job)).log.filter((l) => l.photo).map((l) => l.photo);

async function keep(page, job, caption) {
  await page.getByAltText("The photo to be kept").waitFor();
  await field(page, "What it shows").fill(caption);
  await tap(page, "Keep the photo");
  await page.waitForURL(`**/jobs/${job}`);
}

async function shownWidth(page, caption) {
  const image = page.getByRole("img", { name: caption });
  await image.scrollIntoViewIfNeeded();
  await until("the photo is loaded", () => image.evaluate((i) => i.complete && i.naturalWidth > 0));
  return image.evaluate((i) => i.naturalWidth);
}

test("a photo shows in the log and on the sheet", async (t) => {
  const job = await newJob(server, bike);
  const page = await atTheNote(t, job);
  assert.ok(await button(page, "Keep the photo").isDisabled());
  await chooser(page).setInputFiles(file("plug.png", "image/png", png(60, 40)));
  await keep(page, job, "the plug, sooty");
  await follow(page, /^What was written down/);
  assert.equal(await shownWidth(page, /the plug, sooty/), 60);
  const [{ width, height }] = await photos(job);
  assert.deepEqual([width, height], [60, 40]);
  await page.goto(`/jobs/${job}/sheet`);
  await page.locator(".paper").getByText("the plug, sooty").waitFor();
});

test("a large one is made smaller, and waits on the phone while there is no server", async (t) => {
  const job = await newJob(server, bike);
  const page = await atTheNote(t, job);
  await page.context().setOffline(true);
  await chooser(page).setInputFiles(file("wide.png", "image/png", png(4000, 30)));
  await keep(page, job, "wide");
  await see(page, "1 not yet saved");
  await page.context().setOffline(false);
  await until("it is there", async () => (await photos(job)).length === 1);
  await gone(page, "1 not yet saved");
  const [{ width, height }] = await photos(job);
  assert.deepEqual([width, height], [2000, 15]);
});

test("a file that is no photo is refused with words", async (t) => {
  const job = await newJob(server, bike);
  const page = await atTheNote(t, job);
  await chooser(page).setInputFiles(file("plug.png", "image/png", Buffer.from("no picture at all")));
  await see(page, /^this file is no picture that the browser can read; a JPEG, PNG or WebP picture would be right/i);
  assert.ok(await button(page, "Keep the photo").isDisabled());
  await chooser(page).setInputFiles(file("plug.png", "image/png", png(6, 4)));
  await gone(page, /this file is no picture/i);
  await keep(page, job, "");
  await until("it is there", async () => (await photos(job)).length === 1);
});
