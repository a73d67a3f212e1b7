// A server of its own for each test file, on a shop of its own: the program as it is built, CRANKWISE_BINARY.
import { spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { setDefaultResultOrder } from "node:dns";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

// The server listens on 127.0.0.1 alone, and Node 18 tries only the first address of "localhost", which may be ::1.
setDefaultResultOrder("ipv4first");

export const root = fileURLToPath(new URL("../..", import.meta.url));
const binary = process.env.CRANKWISE_BINARY ?? join(root, "build/release/crankwise");

export const newKey = () => randomBytes(16).toString("hex");

/** Starts `crankwise serve`; `home` is kept if it is given, so that a server can be started again on the same shop. */
export async function serve({ args = ["--demo"], port = 0, home } = {}) {
  const folder = home ?? mkdtempSync(join(tmpdir(), "crankwise-page-"));
  const child = spawn(binary, ["serve", "--json", "--port", String(port), ...args], {
    env: { ...process.env, XDG_DATA_HOME: folder, CRANKWISE_SHOP: "" },
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = new Promise((done) => child.once("exit", done));
  const first = createInterface({ input: child.stdout });
  const said = await Promise.race([
    new Promise((line) => first.once("line", line)),
    ended.then((code) => Promise.reject(new Error(`the server ended with ${code}`))),
  ]);
  const { address, code } = JSON.parse(said);
  const stop = async (signal = "SIGTERM") => {
    child.kill(signal);
    await ended;
  };
  return {
    address,
    code,
    home: folder,
    port: Number(new URL(address).port),
    stop,
    end: async () => {
      await stop();
      rmSync(folder, { recursive: true, force: true });
    },
    get: async (path) => (await fetch(address + path)).json(),
    post: async (path, body) => {
      const answer = await fetch(address + path, {
        method: "POST",
        headers: { "Content-Type": "application/json", "Crankwise-Entry": newKey() },
        body: JSON.stringify(body),
      });
      return answer.json();
    },
  };
}
