// What of a refused entry a person may have mistyped, to be put right in place.
import type { Waiting } from "../state";
import type { Close, NewEntries, NewEntry, TakeIn } from "../wire";

export interface Editable {
  label: string;
  text: string;
  withText: (text: string) => string; // the body anew
}

export function editable(entry: Waiting): Editable | null {
  if (typeof entry.body !== "string") return null;
  const body: unknown = JSON.parse(entry.body);
  if (entry.path === "/jobs") {
    const takeIn = body as TakeIn;
    return {
      label: "What the rider says",
      text: takeIn.complaint,
      withText: (complaint) => JSON.stringify({ ...takeIn, complaint }),
    };
  }
  if (entry.path.endsWith("/close")) {
    const close = body as Close;
    return { label: "Words to the owner", text: close.words, withText: (words) => JSON.stringify({ ...close, words }) };
  }
  if (entry.path.endsWith("/entries")) return ofEntries(body as NewEntries, entry.refused?.doubted === true);
  return null;
}

/** Of entries written together, the first with words in it. */
function ofEntries(body: NewEntries, doubted: boolean): Editable | null {
  for (const [i, e] of body.entries.entries()) {
    // Sent again as it stands, a doubted reading is meant so; typed anew, it is looked at anew.
    const put = (changed: NewEntry, sure: boolean) =>
      JSON.stringify({ entries: body.entries.map((x, j) => (j === i ? changed : x)), sure });
    if (e.kind === "measured")
      return {
        label: "The reading",
        text: e.told,
        withText: (told) => put({ ...e, told }, body.sure || (doubted && told === e.told)),
      };
    if (e.kind === "noted")
      return { label: "The note", text: e.text, withText: (text) => put({ ...e, text }, body.sure) };
    if (e.kind === "skipped")
      return { label: "Why it was left out", text: e.why, withText: (why) => put({ ...e, why }, body.sure) };
  }
  return null;
}
