// axe-core's judgement of a screen.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Past the page's own rule against scripts of others, as the browser's own tools are. */
export const bringAxe = (page) => page.addInitScript({ content: axe });

// What can differ between light and dark.
const ofColour = ["color-contrast", "link-in-text-block"];

export async function axeFaults(page, only = null) {
  const violations = await page.evaluate(async (rules) => {
    const options = { resultTypes: ["violations"], ...(rules ? { runOnly: { type: "rule", values: rules } } : {}) };
    return (await window.axe.run(document, options)).violations;
  }, only);
  return violations.map((v) => `${v.id}: ${v.nodes.length}, ${v.nodes[0].html.slice(0, 120)} ${v.nodes[0].failureSummary}`);
}

export const colourFaults = (page) => axeFaults(page, ofColour);
