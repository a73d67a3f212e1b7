// Which screen the address means, and back. Addresses are real paths: the server answers each with the same page.
// Links are plain <a href={href(route)}>; clicks on them are caught here. go() is for what happens after an answer.
import { tell } from "./state";

export type Route =
  | { at: "shop" }
  | { at: "closed" } // older jobs
  | { at: "waiting" } // entries not yet saved
  | { at: "pair"; code: string }
  | { at: "take-in"; bike: string } // bike "": to be chosen
  | {
      at: "bench" | "heard" | "suspects" | "others" | "run" | "close" | "log" | "parts" | "note" | "recording" | "sheet";
      job: number;
    }
  | { at: "step"; job: number; step: string }
  | { at: "why"; job: number; fault: string }
  | { at: "photo"; job: number; act: number } // of what was written down together
  | { at: "new-bike" }
  | { at: "bike"; id: string; part: string } // part: what follows in the path, "" for the bike itself
  | { at: "sums"; id: string } // id "": all of them
  | { at: "settings" }
  | { at: "learned" }
  | { at: "lost"; path: string };

const jobScreens = ["heard", "suspects", "others", "run", "close", "log", "parts", "note", "recording", "sheet"] as const;

export function href(route: Route): string {
  switch (route.at) {
    case "shop":
      return "/";
    case "pair":
      return "/pair";
    case "take-in":
      return route.bike === "" ? "/take-in" : `/take-in/${encodeURIComponent(route.bike)}`;
    case "bench":
      return `/jobs/${route.job}`;
    case "step":
      return `/jobs/${route.job}/steps/${encodeURIComponent(route.step)}`;
    case "why":
      return `/jobs/${route.job}/why/${encodeURIComponent(route.fault)}`;
    case "photo":
      return `/jobs/${route.job}/photo/${route.act}`;
    case "new-bike":
      return "/new-bike";
    case "bike":
      return `/bikes/${encodeURIComponent(route.id)}${route.part === "" ? "" : `/${route.part}`}`;
    case "sums":
      return route.id === "" ? "/sums" : `/sums/${encodeURIComponent(route.id)}`;
    case "lost":
      return route.path;
    case "closed":
    case "waiting":
    case "settings":
    case "learned":
      return `/${route.at}`;
    default:
      return `/jobs/${route.job}/${route.at}`;
  }
}

export function parse(path: string, hash: string): Route {
  let parts: string[];
  try {
    parts = path
      .split("/")
      .filter((p) => p !== "")
      .map(decodeURIComponent);
  } catch {
    return { at: "lost", path };
  }
  const [first = "", second = "", third = "", fourth = ""] = parts;
  switch (first) {
    case "":
      return { at: "shop" };
    case "pair":
      return { at: "pair", code: new URLSearchParams(hash.replace(/^#/, "")).get("code") ?? "" };
    case "take-in":
      return { at: "take-in", bike: second };
    case "closed":
    case "waiting":
    case "settings":
    case "learned":
      return { at: first };
    case "sums":
      return { at: "sums", id: second };
    case "bikes":
      if (second !== "") return { at: "bike", id: second, part: parts.slice(2).join("/") };
      break;
    case "new-bike":
      return { at: "new-bike" };
    case "jobs":
      if (/^[1-9]\d*$/.test(second)) return jobRoute(Number(second), third, fourth) ?? { at: "lost", path };
  }
  return { at: "lost", path };
}

function jobRoute(job: number, what: string, which: string): Route | null {
  if (what === "") return { at: "bench", job };
  if (what === "steps" && which !== "") return { at: "step", job, step: which };
  if (what === "why" && which !== "") return { at: "why", job, fault: which };
  if (what === "photo" && /^[1-9]\d*$/.test(which)) return { at: "photo", job, act: Number(which) };
  const at = jobScreens.find((s) => s === what);
  return at && which === "" ? { at, job } : null;
}

const here = () => parse(location.pathname, location.hash);

export function go(route: Route, how: "push" | "replace" = "push"): void {
  history[how === "push" ? "pushState" : "replaceState"](null, "", href(route));
  tell({ did: "moved", route });
  scrollTo(0, 0);
}

export function watchAddress(): void {
  tell({ did: "moved", route: here() });
  addEventListener("popstate", () => tell({ did: "moved", route: here() }));
  document.addEventListener("click", (event) => {
    if (
      event.defaultPrevented ||
      event.button !== 0 ||
      event.metaKey ||
      event.ctrlKey ||
      event.shiftKey ||
      event.altKey
    )
      return;
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    if (!link || link.target !== "" || link.hasAttribute("download") || link.origin !== location.origin) return;
    if (link.pathname.startsWith("/api/") || link.getAttribute("href")?.startsWith("#")) return;
    event.preventDefault();
    go(parse(link.pathname, link.hash));
  });
}
