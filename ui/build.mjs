// Bundles the page into dist/: one script, one style sheet, the service worker, and the files of static/ as they are.
import { createHash } from "node:crypto";
import { cpSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { build } from "esbuild";

process.chdir(new URL(".", import.meta.url).pathname);
rmSync("dist", { recursive: true, force: true });
mkdirSync("dist");
cpSync("static", "dist", { recursive: true });

const usual = {
  bundle: true,
  minify: true,
  target: ["es2020", "safari15"],
  charset: "utf8",
  legalComments: "none",
  logLevel: "warning",
};
await build({
  ...usual,
  entryPoints: { app: "src/main.tsx" },
  outdir: "dist",
  jsx: "automatic",
  jsxImportSource: "preact",
});

// The worker's name for what it keeps: another one as soon as anything of the shell differs.
const hash = createHash("sha256");
for (const file of ["app.js", "app.css", "index.html", "manifest.webmanifest", "icon.svg"])
  hash.update(readFileSync(`dist/${file}`));
await build({
  ...usual,
  entryPoints: { sw: "src/worker/sw.ts" },
  outdir: "dist",
  define: { SHELL: JSON.stringify(`shell-${hash.digest("hex").slice(0, 16)}`) },
});
