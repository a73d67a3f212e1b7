// How soon is the page there on a slow phone? Against the demo shop: bytes over the line and time until something useful
// is on the screen, with the network and processor of a slow phone. node bench/page.mjs [ROUNDS]
import { phoneSize, startBrowser } from "../ui/test/e2e/browser.mjs";
import { serve } from "../ui/test/serving.mjs";

const kMostKb = 150; // for the first screen
const kSlowerProcessor = 4;
const kSlowMobile = {
  offline: false,
  latency: 150, // ms
  downloadThroughput: 1.6e6 / 8, // bytes a second
  uploadThroughput: 750e3 / 8,
};

const rounds = Number(process.argv[2] ?? 5);
if (!(rounds >= 1)) throw new Error(`"${process.argv[2]}" rounds: a number from 1 would be right`);

const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];

/** Notes in the page when `useful` is first painted, from the start of the navigation. */
function noteWhenUseful(useful) {
  const look = () => {
    if (!document.querySelector(useful)) return requestAnimationFrame(look);
    requestAnimationFrame(() => (window.usefulAt = performance.now())); // the frame after has it
  };
  requestAnimationFrame(look);
}

/** A new phone on the slow line; counts what comes over it. */
async function slowPhone(browser, address) {
  const context = await browser.newContext({ viewport: phoneSize, hasTouch: true, isMobile: true, baseURL: address });
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const line = await context.newCDPSession(page);
  const got = { bytes: 0, requests: 0 };
  line.on("Network.loadingFinished", ({ encodedDataLength }) => ((got.bytes += encodedDataLength), ++got.requests));
  await line.send("Network.enable");
  await line.send("Network.emulateNetworkConditions", kSlowMobile);
  await line.send("Emulation.setCPUThrottlingRate", { rate: kSlowerProcessor });
  return { context, page, got };
}

/** The first visit, straight to a screen. */
async function firstVisit(browser, address, path, useful) {
  const { context, page, got } = await slowPhone(browser, address);
  await page.addInitScript(noteWhenUseful, useful);
  await page.goto(path);
  await page.waitForFunction(() => window.usefulAt);
  const seen = { ms: await page.evaluate(() => window.usefulAt), kb: got.bytes / 1000, requests: got.requests };
  await context.close();
  return seen;
}

/** From the shop, where the phone is already, by a tap on the job. */
async function byTap(browser, address, path, useful) {
  const { context, page, got } = await slowPhone(browser, address);
  await page.goto("/");
  const job = page.locator(`a[href="${path}"]`);
  await job.waitFor();
  await page.waitForLoadState("networkidle");
  const before = { ...got };
  await page.evaluate(noteWhenUseful, useful);
  const from = await page.evaluate(() => performance.now());
  await job.click();
  await page.waitForFunction(() => window.usefulAt);
  const at = await page.evaluate(() => window.usefulAt);
  const seen = { ms: at - from, kb: (got.bytes - before.bytes) / 1000, requests: got.requests - before.requests };
  await context.close();
  return seen;
}

const server = await serve();
const browser = await startBrowser();
let firstScreenKb = 0;
try {
  const [open] = (await server.get("/api/shop")).open;
  const bench = `/jobs/${open.job}`;
  const screens = [
    ["the shop, first visit", () => firstVisit(browser, server.address, "/", ".shop-bikes li b")],
    ["a job, first visit", () => firstVisit(browser, server.address, bench, "#step-name")],
    ["a job, by a tap in the shop", () => byTap(browser, server.address, bench, "#step-name")],
  ];
  console.log("| screen | kB over the line | requests | ms until useful: median | least | most |\n|---|---|---|---|---|---|");
  for (const [name, measure] of screens) {
    const seen = [];
    for (let round = 0; round < rounds; ++round) seen.push(await measure());
    const ms = seen.map((s) => s.ms);
    const kb = median(seen.map((s) => s.kb));
    firstScreenKb ||= kb;
    const cells = [name, kb.toFixed(1), median(seen.map((s) => s.requests))];
    console.log(`| ${[...cells, ...[median(ms), Math.min(...ms), Math.max(...ms)].map(Math.round)].join(" | ")} |`);
  }
} finally {
  await browser.close();
  await server.end();
}
console.log(`\nThe first screen: ${firstScreenKb.toFixed(1)} kB, target under ${kMostKb}.`);
process.exitCode = firstScreenKb < kMostKb ? 0 : 1;
