// In the workshop's network: a phone sees nothing of the shop before it is joined to it.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { axeFaults, bringAxe } from "./access.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { field, see, tap } from "./hands.mjs";
import { layoutFaults } from "./layout.mjs";

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve({ args: ["--demo", "--network"] }), startBrowser()])));
after(async () => {
  await browser?.close();
  await server?.end();
});

// No browser takes a service worker over a certificate that it does not know, even if its user went on to the page.
const noWorker = /^An (SSL certificate|unknown) error occurred when fetching the script\.$/;
const stranger = (t) => phone(t, browser, server.address, { ignoreHTTPSErrors: true }, noWorker);

async function seesNothing(page) {
  await see(page, "Join this phone");
  const shown = await page.locator("body").innerText();
  for (const words of ["Red 125", "On the stand", "will not rev out"]) assert.ok(!shown.includes(words), words);
  const asked = ["/api/shop", "/api/jobs/5", "/api/bikes/red-125", "/api/words", "/api/jobs/5/sheet.html", "/api/learned"];
  const statuses = await page.evaluate(
    (paths) => Promise.all(paths.map(async (path) => (await fetch(path)).status)),
    asked,
  );
  assert.deepEqual(statuses, asked.map(() => 401));
}

test("the line is encrypted", () => assert.match(server.address, /^https:/));

test("a wrong code is refused with words, the right one joins and leads on", async (t) => {
  const page = await stranger(t);
  await page.goto("/jobs/5");
  await seesNothing(page);
  await field(page, "Code").fill("ABCDEFGH");
  await tap(page, "Join");
  const wrong = page.locator(".field.wrong .field-problem");
  await wrong.filter({ hasText: /code/i }).waitFor();
  assert.equal(await field(page, "Code").inputValue(), "ABCDEFGH");
  assert.equal(await field(page, "Code").getAttribute("aria-invalid"), "true");
  await field(page, "Code").fill(` ${server.code.toLowerCase().slice(0, 4)} ${server.code.toLowerCase().slice(4)}`);
  await wrong.filter({ hasText: /./ }).waitFor({ state: "detached" }); // it is not said of what is typed anew
  await tap(page, "Join");
  await page.locator(".step-name").waitFor();
  assert.equal(new URL(page.url()).pathname, "/jobs/5");
  await page.reload();
  await page.locator(".step-name").waitFor();
});

test("the address with the code joins by itself, and does not keep the code", async (t) => {
  const page = await stranger(t);
  await page.goto(`/pair#code=${server.code}`);
  await see(page, "On the stand");
  await see(page, "will not rev out any more");
  assert.ok(!page.url().includes(server.code));
  await page.goBack().catch(() => null);
  assert.ok(!page.url().includes(server.code));
});

test("an address with a wrong code says so", async (t) => {
  const page = await stranger(t);
  await bringAxe(page);
  await page.goto("/pair#code=ABCDEFGH");
  await page.locator(".field.wrong .field-problem", { hasText: /code/i }).waitFor();
  await seesNothing(page);
  assert.ok(!page.url().includes("ABCDEFGH"), "nor does it keep a wrong one");
  assert.deepEqual([...(await axeFaults(page)), ...(await layoutFaults(page))], []);
});
