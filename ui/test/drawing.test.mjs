// Every part that can come off has a shape in the drawing of every kind of bike that has it, and a button of its own.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import test from "node:test";
import { build } from "esbuild";

const knowledge = (file) => readFileSync(new URL(`../../knowledge/${file}`, import.meta.url), "utf8");

/** The tables [KIND.ID] of a knowledge file: id -> key -> text of the value. */
function tables(text, kind) {
  const found = new Map();
  for (const part of text.split(/^\[/m).slice(1)) {
    const [head, ...lines] = part.split("\n");
    const [, id] = head.match(new RegExp(`^${kind}\\.(.+)\\]`)) ?? [];
    if (id) found.set(id, Object.fromEntries(lines.filter((l) => l.includes("=")).map((l) => l.split(/ = (.*)/).slice(0, 2))));
  }
  return found;
}

const list = (text) => [...(text ?? "").matchAll(/"([^"]+)"/g)].map((m) => m[1]);

const bundle = await build({
  stdin: {
    contents: `export { BikeDrawing, PartList } from "./src/drawing/bike-drawing";
      export { partsOf } from "./src/drawing/parts";
      export { h } from "preact";
      export { renderToString } from "preact-render-to-string";`,
    resolveDir: new URL("..", import.meta.url).pathname,
  },
  bundle: true,
  write: false,
  outdir: "unused",
  format: "cjs",
  platform: "node",
  jsx: "automatic",
  jsxImportSource: "preact",
  logLevel: "warning",
});
const made = { exports: {} };
const script = bundle.outputFiles.find((file) => file.path.endsWith(".js")).text;
new Function("module", "exports", "require", script)(made, made.exports, createRequire(import.meta.url));
const { BikeDrawing, PartList, partsOf, h, renderToString } = made.exports;

const parts = tables(knowledge("access.toml"), "part");
const classes = tables(knowledge("bike.toml"), "class");
const has = (traits, part) => list(part.applies).every((trait) => traits.includes(trait));
const nothing = () => {};

test("the knowledge was read", () => {
  assert.ok(parts.size >= 28);
  assert.ok(classes.size >= 14);
});

for (const [kind, { traits: told }] of classes) {
  const traits = list(told);
  const here = [...parts].filter(([, part]) => has(traits, part));

  test(`${kind}: the drawing knows its parts by their names`, () => {
    const known = partsOf(traits).map(({ id, name }) => `${id}: ${name}`);
    assert.deepEqual(known.sort(), here.map(([id, part]) => `${id}: ${list(part.name)[0]}`).sort());
  });

  test(`${kind}: every part has a shape, a button, a line in the list`, () => {
    const drawn = renderToString(h(BikeDrawing, { traits, off: [], comesOff: [], onPart: nothing }));
    const listed = renderToString(h(PartList, { traits, off: [], comesOff: [], onPart: nothing }));
    for (const [id, part] of here) {
      const [, shape = ""] = drawn.match(new RegExp(`data-part="${id}"[^>]*>([\\s\\S]*?)</g>`)) ?? [];
      assert.match(shape, /<(path|circle|rect)/, `${id} has no shape`);
      assert.ok(drawn.includes(`aria-label="${list(part.name)[0]}: on"`), `${id} has no button`);
    }
    assert.equal(drawn.match(/role="button" tabindex="0"/g).length, here.length); // as written: SVG minds the case
    assert.equal(listed.match(/type="checkbox"/g).length, here.length);
    for (const [, id] of drawn.matchAll(/data-part="([^"]+)"/g))
      assert.ok(here.some(([one]) => one === id), `${id} is drawn, but this bike has none`);
  });

  test(`${kind}: what is off, comes off and is meant shows and is said`, () => {
    const ids = here.map(([id]) => id);
    for (const id of ids) {
      const off = renderToString(h(BikeDrawing, { traits, off: [id], comesOff: [] }));
      assert.match(off, new RegExp(`is-off[^"]*" data-part="${id}"`));
      assert.ok(off.includes(`Off: ${list(parts.get(id).name)[0]}.`));
      const now = renderToString(h(BikeDrawing, { traits, off: [], comesOff: [id] }));
      assert.match(now, /<text [^>]*>1<\/text>/, `${id} has no number`);
      const meant = renderToString(h(BikeDrawing, { traits, off: [], comesOff: [], focus: id }));
      assert.match(meant, /class="pointer"/, `${id} has no arrow`);
    }
  });
}
