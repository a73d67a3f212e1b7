// usePost(): a form's way to write an entry. send() keeps it on this phone and lets the queue send it. `is` says how far
// it came; a refusal comes back to the form (`problems`), which stays filled in. onKept runs once it cannot be lost any
// more, onWritten when the server has it (which may be never, if the page is left before).
import { useEffect, useRef, useState } from "preact/hooks";
import { forget, newKey, post, type ToPost } from "../queue";
import type { Problems, Written } from "../wire";

export interface Posting {
  is: "ready" | "keeping" | "kept" | "written" | "refused" | "not-kept";
  problems: Problems | null;
  send: (entry: ToPost, then?: { onKept?: () => void; onWritten?: (written: Written) => void }) => void;
  clear: () => void; // of problems, when the form was changed
}

export function usePost(): Posting {
  const [{ is, problems }, set] = useState<Pick<Posting, "is" | "problems">>({ is: "ready", problems: null });
  const keys = useRef(new Set<string>());
  useEffect(() => () => keys.current.forEach(forget), []);
  return {
    is,
    problems,
    clear: () => set({ is: "ready", problems: null }),
    send: (entry, { onKept, onWritten } = {}) => {
      set({ is: "keeping", problems: null });
      let answered = false;
      const key = newKey();
      keys.current.add(key);
      post(entry, key, (outcome) => {
        answered = true;
        keys.current.delete(key);
        if ("refused" in outcome) return set({ is: "refused", problems: outcome.refused });
        set({ is: "written", problems: null });
        onWritten?.(outcome.written);
      }).then(
        () => {
          if (!answered) set({ is: "kept", problems: null });
          onKept?.();
        },
        () => {
          const wrong = "this phone could not keep it (is its storage full?); it was not sent either";
          set({
            is: "not-kept",
            problems: { problems: [{ field: "", wrong, right: "try again, or write it down on paper" }] },
          });
        },
      );
    },
  };
}
