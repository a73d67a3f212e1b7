// Brings the first field that was refused under the eyes, and the keyboard with it.
import { useEffect } from "preact/hooks";
import type { Problems } from "../wire";

export function useGoToWrong(problems: Problems | null): void {
  useEffect(() => {
    if (!problems) return;
    const field = document.querySelector<HTMLElement>(".wrong input, .wrong select, .wrong textarea");
    field?.focus({ preventScroll: true });
    field?.closest(".wrong")?.scrollIntoView({ block: "center" });
  }, [problems]);
}
