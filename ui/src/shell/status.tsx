// How this phone stands with the server, in the head of every screen: nothing while all is saved.
import { href } from "../route";
import { useShown } from "../state";
import { useLate } from "./busy";

export function Status() {
  const link = useShown((s) => s.link);
  const count = useShown((s) => s.waiting.length);
  const refused = useShown((s) => s.waiting.filter((w) => w.refused).length);
  const durable = useShown((s) => s.durable);
  const late = useLate(count > 0, 500);
  const words =
    refused > 0
      ? `${refused} not taken`
      : count > 0 && (late || link === "down")
        ? `${count} not yet saved`
        : link === "down"
          ? "no server"
          : "";
  return (
    <div class="status" role="status">
      {words === "" ? null : (
        <a class={refused > 0 ? "link-state bad" : "link-state"} href={href({ at: "waiting" })}>
          {words}
        </a>
      )}
      {count > 0 && !durable ? <span class="link-state bad">keep this page open</span> : null}
    </div>
  );
}
