// What this phone keeps through reloads: entries not yet saved, the last answers seen, who of its tabs may send. Where a
// browser keeps nothing (some private windows), memory stands in, and durable() says so.
import type { Waiting } from "./state";

export interface Kept {
  path: string;
  value: unknown;
  at: number;
}
const kKeptAtMost = 80;

let memory: { outbox: Waiting[]; seen: Map<string, Kept> } | null = null;
let opened: Promise<IDBDatabase | null> | null = null;

function open(): Promise<IDBDatabase | null> {
  opened ??= new Promise((resolve) => {
    const lacking = () => {
      memory = { outbox: [], seen: new Map() };
      resolve(null);
    };
    try {
      const request = indexedDB.open("crankwise", 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("outbox", { keyPath: "order", autoIncrement: true });
        request.result.createObjectStore("seen", { keyPath: "path" }).createIndex("at", "at");
        request.result.createObjectStore("lease", { keyPath: "name" });
      };
      request.onsuccess = () => resolve(request.result);
      request.onerror = lacking;
    } catch {
      lacking();
    }
  });
  return opened;
}

type Store = "outbox" | "seen" | "lease";

/** Resolves once it is really written, not merely asked for. */
function within<T>(
  db: IDBDatabase,
  store: Store,
  mode: IDBTransactionMode,
  work: (s: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(store, mode);
    const request = work(transaction.objectStore(store));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = transaction.onerror = () =>
      reject(transaction.error ?? new Error("this browser could not keep it"));
  });
}

export async function durable(): Promise<boolean> {
  return (await open()) !== null;
}

export async function waitingEntries(): Promise<Waiting[]> {
  const db = await open();
  return db ? within(db, "outbox", "readonly", (s) => s.getAll() as IDBRequest<Waiting[]>) : [...memory!.outbox];
}

export async function addWaiting(entry: Omit<Waiting, "order">): Promise<void> {
  const db = await open();
  if (db) await within(db, "outbox", "readwrite", (s) => s.add(entry));
  else memory!.outbox.push({ ...entry, order: 1 + Math.max(0, ...memory!.outbox.map((w) => w.order)) });
}

/** Nothing if it was dropped meanwhile. */
export async function replaceWaiting(entry: Waiting): Promise<void> {
  const db = await open();
  if (db)
    await within(db, "outbox", "readwrite", (s) => {
      const request = s.getKey(entry.order);
      request.onsuccess = () => request.result !== undefined && s.put(entry);
      return request;
    });
  else memory!.outbox = memory!.outbox.map((w) => (w.order === entry.order ? entry : w));
}

/** In its old place. */
export async function putBack(entry: Waiting): Promise<void> {
  const db = await open();
  if (db) await within(db, "outbox", "readwrite", (s) => s.put(entry));
  else memory!.outbox = [...memory!.outbox, entry].sort((a, b) => a.order - b.order);
}

export async function removeWaiting(order: number): Promise<void> {
  const db = await open();
  if (db) await within(db, "outbox", "readwrite", (s) => s.delete(order));
  else memory!.outbox = memory!.outbox.filter((w) => w.order !== order);
}

export async function keptAnswer(path: string): Promise<Kept | null> {
  const db = await open();
  const kept = db
    ? await within(db, "seen", "readonly", (s) => s.get(path) as IDBRequest<Kept | undefined>)
    : memory!.seen.get(path);
  return kept ?? null;
}

export async function keepAnswer(kept: Kept): Promise<void> {
  const db = await open();
  if (!db) {
    memory!.seen.set(kept.path, kept);
    return;
  }
  await within(db, "seen", "readwrite", (s) => s.put(kept));
  const surplus = (await within(db, "seen", "readonly", (s) => s.count())) - kKeptAtMost;
  if (surplus <= 0) return;
  const oldest = await within(db, "seen", "readonly", (s) => s.index("at").getAll(null, surplus) as IDBRequest<Kept[]>);
  for (const old of oldest) await within(db, "seen", "readwrite", (s) => s.delete(old.path));
}

/** May this tab send until `until`? Only one of a phone's tabs gets a yes. */
export async function takeLease(holder: string, until: number): Promise<boolean> {
  const db = await open();
  if (!db) return true;
  let mine = false;
  await within(db, "lease", "readwrite", (s) => {
    const request = s.get("send") as IDBRequest<{ holder: string; until: number } | undefined>;
    request.onsuccess = () => {
      const lease = request.result;
      mine = !lease || lease.holder === holder || lease.until < Date.now();
      if (mine) s.put({ name: "send", holder, until });
    };
    return request;
  });
  return mine;
}
