// All talk with the server. Nothing here throws: an answer is a value, a refusal has its problems, and a server that is
// not there is "lost". A session that is not paired (401) is told to the state, which shows the pairing screen.
import { now, tell } from "./state";
import type { Hello, Problems } from "./wire";

export type Answered<T> =
  | { is: "new"; value: T }
  | { is: "same" } // nothing was written since
  | { is: "refused"; status: number; problems: Problems }
  | { is: "unpaired" }
  | { is: "lost" }; // no answer, or the server has trouble of its own: worth trying again

const kPatienceMs = 20_000;
const kPicturePatienceMs = 90_000;
const kRecordingPatienceMs = 240_000;

export const get = <T>(path: string): Promise<Answered<T>> => ask<T>(path, {}, kPatienceMs);

/** A POST that writes nothing, such as a bench sum. What writes goes through queue.ts. */
export const work = <T>(path: string, body: unknown): Promise<Answered<T>> =>
  ask<T>(
    path,
    { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) },
    kPatienceMs,
  );

/** A recording to be listened to; writes nothing. */
export const listen = <T>(path: string, file: File): Promise<Answered<T>> =>
  ask<T>(
    path,
    { method: "POST", headers: { "Content-Type": file.type === "" ? "audio/mp4" : file.type }, body: file },
    kRecordingPatienceMs,
  );

/** A POST that writes; the same key again writes nothing. */
export const write = <T>(path: string, body: string | ArrayBuffer, type: string, key: string): Promise<Answered<T>> =>
  ask<T>(
    path,
    { method: "POST", headers: { "Content-Type": type, "Crankwise-Entry": key }, body },
    typeof body === "string" ? kPatienceMs : kPicturePatienceMs,
  );

async function ask<T>(path: string, init: RequestInit, patience: number): Promise<Answered<T>> {
  const given = new AbortController();
  const timer = setTimeout(() => given.abort(), patience);
  try {
    const response = await fetch(`/api${path}`, {
      ...init,
      signal: given.signal,
      cache: "no-store",
      credentials: "same-origin",
    });
    const answered = await understood<T>(response);
    tell({ did: "link", link: answered.is === "lost" ? "down" : answered.is === "unpaired" ? "unpaired" : "up" });
    return answered;
  } catch {
    tell({ did: "link", link: "down" });
    return { is: "lost" };
  } finally {
    clearTimeout(timer);
  }
}

async function understood<T>(response: Response): Promise<Answered<T>> {
  if (response.status === 204 || response.status === 304) return { is: "same" };
  if (response.ok) return { is: "new", value: (await response.json()) as T };
  if (response.status === 401) return { is: "unpaired" };
  if (response.status >= 500 || response.status === 429) return { is: "lost" };
  return { is: "refused", status: response.status, problems: await problemsOf(response) };
}

async function problemsOf(response: Response): Promise<Problems> {
  try {
    const told = (await response.json()) as Problems;
    if (Array.isArray(told.problems) && told.problems.length > 0) return told;
  } catch {
    // not ours: something between here and the server answered
  }
  return { problems: [{ field: "", wrong: `the server did not take it (${response.status})`, right: "" }] };
}

/** The bytes of a file of the server; null if there is none or no answer. */
export async function getFile(path: string): Promise<Blob | null> {
  try {
    const response = await fetch(`/api${path}`, { cache: "no-store", credentials: "same-origin" });
    return response.ok ? await response.blob() : null;
  } catch {
    tell({ did: "link", link: "down" });
    return null;
  }
}

export async function greet(): Promise<void> {
  const answered = await get<Hello>("/hello");
  // An answer from before the pairing may come after it.
  const joined = now().hello?.paired ?? false;
  if (answered.is === "new" && !joined) tell({ did: "greeted", hello: answered.value });
}

/** What was wrong with the code; null once this phone is paired. That there were too many tries (429) is said too. */
export async function pair(code: string): Promise<Problems | null> {
  try {
    const response = await fetch("/api/pair", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code }),
      credentials: "same-origin",
    });
    if (!response.ok) return await problemsOf(response);
    tell({ did: "greeted", hello: (await response.json()) as Hello });
    return null;
  } catch {
    return {
      problems: [{ field: "code", wrong: "the server does not answer", right: "this phone in the workshop's network" }],
    };
  }
}
