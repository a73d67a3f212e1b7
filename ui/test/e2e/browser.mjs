// One browser for each test file, and in it phones that write down what must never happen to one.
import assert from "node:assert/strict";
import { chromium } from "playwright-core";

export const kPatienceMs = Number(process.env.CRANKWISE_PATIENCE_MS ?? 30_000);
export const phoneSize = { width: 360, height: 740 };

const aPhone = { viewport: phoneSize, hasTouch: true, isMobile: true, locale: "en-GB", reducedMotion: "reduce" };

export const startBrowser = () =>
  chromium.launch({
    executablePath: process.env.CRANKWISE_CHROMIUM ?? "/usr/bin/chromium",
    args: process.getuid() === 0 ? ["--no-sandbox"] : [],
  });

/**
 * A new phone, with nothing kept on it; answers with its page. At the end of the test nothing may have gone wrong on it,
 * but for what the browser was expected to complain of.
 */
export async function phone(t, browser, address, options = {}, complaint = null) {
  const context = await browser.newContext({ ...aPhone, baseURL: address, ...options });
  context.setDefaultTimeout(kPatienceMs);
  const wrong = watched(context, address, complaint);
  t.after(async () => {
    await context.close();
    assert.deepEqual(wrong, [], "on the phone");
  });
  return context.newPage();
}

/** Errors of the page's script, whatever the browser complains of, dialogs, and requests to anyone but the server. */
function watched(context, address, complaint) {
  const wrong = [];
  context.on("weberror", (e) => wrong.push(`error: ${e.error().stack}`));
  context.on("dialog", (d) => (wrong.push(`dialog: ${d.message()}`), d.dismiss()));
  context.on("console", (m) => {
    // What a cut line or a refusal looks like from below; the tests that make one look at what the page makes of it.
    const ofTheLine = m.text().startsWith("Failed to load resource:");
    if (m.type() === "error" && !ofTheLine && !complaint?.test(m.text())) wrong.push(`console: ${m.text()}`);
  });
  context.on("request", (r) => {
    const { protocol, origin } = new URL(r.url());
    const here = ["blob:", "data:"].includes(protocol) || origin === address;
    if (!here) wrong.push(`request: ${r.url()}`);
  });
  return wrong;
}

/** So that the page comes up without the server too. */
export const shellKept = (page) =>
  page.waitForFunction(() => navigator.serviceWorker.controller?.state === "activated", null, { timeout: kPatienceMs });
