// Keeps the shell of the page, so that a reload without the server still shows it. Answers of the server are not kept
// here: views keep what they last saw themselves, with its time.
declare const SHELL: string;

interface Worker {
  addEventListener(
    type: "install" | "activate",
    listener: (event: { waitUntil(done: Promise<unknown>): void }) => void,
  ): void;
  addEventListener(
    type: "fetch",
    listener: (event: { request: Request; respondWith(answer: Promise<Response>): void }) => void,
  ): void;
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
  location: Location;
}
const worker = self as unknown as Worker;

const kPatienceMs = 4_000;
const kFiles = ["/", "/app.js", "/app.css", "/icon.svg", "/manifest.webmanifest"];

worker.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(SHELL)
      .then((shell) => shell.addAll(kFiles.map((file) => new Request(file, { cache: "reload" }))))
      .then(() => worker.skipWaiting()),
  );
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((n) => n !== SHELL).map((n) => caches.delete(n))))
      .then(() => worker.clients.claim()),
  );
});

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin || url.pathname.startsWith("/api/"))
    return;
  const kept = event.request.mode === "navigate" ? "/" : url.pathname;
  if (!kFiles.includes(kept)) return;
  event.respondWith(fromServerOrShell(event.request, kept));
});

/** The server's own while it answers soon, so that page and server are of one version; at the edge of the network the
 *  shell is better than a blank page. */
async function fromServerOrShell(request: Request, kept: string): Promise<Response> {
  const given = new AbortController();
  const timer = setTimeout(() => given.abort(), kPatienceMs);
  try {
    const response = await fetch(request, { signal: given.signal });
    if (response.ok) return response;
  } catch {
    // no server: from the shell
  } finally {
    clearTimeout(timer);
  }
  return (await (await caches.open(SHELL)).match(kept)) ?? Response.error();
}
