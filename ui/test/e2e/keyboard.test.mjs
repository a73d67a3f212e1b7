// Without a pointer: everything is reached, what has the focus is seen, and nothing lies over it.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { phone, startBrowser } from "./browser.mjs";
import { gone, until } from "./hands.mjs";
import { isQuestion, jobView, leaveOutUntil } from "./jobs.mjs";

let server, browser;
before(async () => {
  [server, browser] = await Promise.all([serve(), startBrowser()]);
  await leaveOutUntil(server, 5, isQuestion);
});
after(async () => {
  await browser?.close();
  await server?.end();
});

const withKeys = { viewport: { width: 1024, height: 700 }, hasTouch: false, isMobile: false };
const onPhone = { hasTouch: false, isMobile: false };

/** What has the focus: its words, and whether it can be seen that it has it. */
const focused = (page) =>
  page.evaluate(() => {
    const at = document.activeElement;
    const label = at.closest("label") ?? (at.id ? document.querySelector(`label[for="${CSS.escape(at.id)}"]`) : null);
    const box = at.matches("input[type=radio], input[type=checkbox], input[type=file]") ? (label ?? at) : at;
    const { left, top, width, height } = box.getBoundingClientRect();
    const over = document.elementFromPoint(left + width / 2, top + height / 2);
    const marked = [at, box, ...at.querySelectorAll("rect")].some((e) => {
      const { outlineStyle, outlineWidth, strokeWidth } = getComputedStyle(e);
      return (outlineStyle !== "none" && parseFloat(outlineWidth) >= 2) || (e.matches("rect") && parseFloat(strokeWidth) >= 2);
    });
    return {
      name: (at.getAttribute("aria-label") ?? (label ?? at).innerText ?? "").trim().replace(/\s+/g, " "),
      seen: marked && at.matches(":focus-visible"),
      free: over !== null && (box.contains(over) || over.contains(box) || over.closest("label") === box),
    };
  });

/** Goes on by the key until something of that name has the focus; whatever has it on the way must show it. */
async function tabTo(page, name) {
  const passed = [];
  for (let steps = 0; steps < 150; ++steps) {
    await page.keyboard.press("Tab");
    const at = await focused(page);
    if (at.name === "" && passed.length > 0) continue; // the page as a whole, between its end and its beginning
    assert.ok(at.seen, `the focus is not seen on “${at.name}”`);
    assert.ok(at.free, `something lies over “${at.name}”`);
    passed.push(at.name);
    if (typeof name === "string" ? at.name === name : name.test(at.name)) return at.name;
  }
  throw new Error(`the keyboard does not reach ${name}; it passed ${passed.join(" | ")}`);
}

const headingFocused = (page) => page.waitForFunction(() => document.activeElement.matches("h1, .step-name"));

for (const [where, size] of [["on a desk", withKeys], ["on a phone", onPhone]]) {
  test(`from the shop to an answered step, ${where}`, async (t) => {
    const page = await phone(t, browser, server.address, size);
    await page.goto("/");
    await page.getByText("will not rev out any more").first().waitFor();
    await tabTo(page, /will not rev out any more/);
    await page.keyboard.press("Enter");
    await page.waitForURL("**/jobs/5");
    await page.locator(".step-name").waitFor(); // the heading of the screen while it loads has the focus before
    await headingFocused(page);
    const { log, next } = await jobView(server, 5);
    assert.equal(next.act, "question");
    await tabTo(page, "Not sure");
    await page.keyboard.press("Space");
    await page.waitForFunction((old) => document.querySelector(".step-name").innerText !== old, next.ask[0].ask);
    await headingFocused(page);
    assert.equal((await jobView(server, 5)).log.length, log.length + 1);
    await leaveOutUntil(server, 5, isQuestion);
  });
}

test("a panel that was opened by the keyboard is used and left by it", async (t) => {
  const page = await phone(t, browser, server.address, withKeys);
  await page.goto("/jobs/5");
  await page.locator(".step-name").waitFor();
  await tabTo(page, "Leave out");
  await page.keyboard.press("Enter");
  await page.getByRole("group", { name: "Leave out" }).waitFor();
  await tabTo(page, /^Or in your words/);
  await page.keyboard.type("cannot say");
  const { log } = await jobView(server, 5);
  await page.keyboard.press("Enter");
  await until("it is left out", async () => (await jobView(server, 5)).log.length > log.length);
  await gone(page, "Leave it out? Why?");
});

test("parts come off by the keyboard, in the drawing and in the list", async (t) => {
  const page = await phone(t, browser, server.address, withKeys);
  await page.goto("/jobs/5/parts");
  await page.locator("[data-part=seat]").first().waitFor();
  await tabTo(page, /^seat: on/);
  await page.keyboard.press("Enter");
  await page.locator(".drawn-bike [data-part=seat].is-off").waitFor();
  assert.match((await focused(page)).name, /^seat: off/);
  assert.ok(await page.getByRole("checkbox", { name: "Seat", exact: true }).isChecked());
  await tabTo(page, "Tank");
  await page.keyboard.press("Space");
  await page.locator(".drawn-bike [data-part=tank].is-off").waitFor();
  await tabTo(page, /^Keep: \d off$/);
  await page.keyboard.press("Enter");
  await page.waitForURL("**/jobs/5");
  await until("they are off", async () => (await jobView(server, 5)).off.includes("tank"));
});
