// Every screen by the rules: axe-core finds no violation, what is tapped is large and apart, nothing is small or sideways.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import { axeFaults, bringAxe, colourFaults } from "./access.mjs";
import { phone, phoneSize, startBrowser } from "./browser.mjs";
import { see } from "./hands.mjs";
import { layoutFaults } from "./layout.mjs";
import { routes } from "./screens.mjs";
import { benchStates, lineStates, otherStates } from "./states.mjs";

const desk = { width: 1280, height: 850 };

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve(), startBrowser()])));
after(async () => {
  await browser?.close();
  await server?.end();
});

async function looker(t) {
  const page = await phone(t, browser, server.address);
  await bringAxe(page);
  return page;
}

/** As it stands: on the phone in light and dark, and on a desk. */
async function faultsOf(page) {
  const small = [...(await layoutFaults(page)), ...(await axeFaults(page))];
  await page.emulateMedia({ colorScheme: "dark" });
  const dark = (await colourFaults(page)).map((f) => `dark: ${f}`);
  await page.emulateMedia({ colorScheme: "light" });
  await page.setViewportSize(desk);
  const large = [...(await layoutFaults(page)), ...(await axeFaults(page))].map((f) => `on a desk: ${f}`);
  await page.setViewportSize(phoneSize);
  return [...small, ...dark, ...large];
}

async function look(page, name, found) {
  const faults = await faultsOf(page);
  found.push(...faults.map((f) => `${name}: ${f}`));
}

test("every route of the page is among the screens", () => {
  const source = readFileSync(new URL("../../src/route.ts", import.meta.url), "utf8");
  const union = source.slice(source.indexOf("export type Route"), source.indexOf("const jobScreens"));
  const named = new Set([...union.matchAll(/at: ("[^;}]+)/g)].flatMap(([, names]) => names.match(/[a-z-]+/g)));
  assert.deepEqual([...named].sort(), [...new Set(routes.map((r) => r.at))].sort());
});

test("screens as they come up", async (t) => {
  const page = await looker(t);
  const found = [];
  for (const { path, seen } of routes) {
    await page.goto(path);
    await see(page, seen);
    await look(page, path, found);
  }
  assert.ok(found.length === 0, found.join("\n"));
});

for (const [name, states] of [["the bench", benchStates], ["other screens", otherStates], ["without the line", lineStates]])
  test(`${name}, in every state`, async (t) => {
    const page = await looker(t);
    const found = [];
    for (const [state, reach] of Object.entries(await states(server))) {
      await reach(page);
      await look(page, state, found);
    }
    assert.ok(found.length === 0, found.join("\n"));
  });
