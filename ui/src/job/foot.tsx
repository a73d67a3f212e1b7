// What stands at the bottom of every step: its answers, and below them what is always in reach: take back, leave out,
// other steps, a note. Asking why or whether takes the place of the answers, so that the thumb stays where it is.
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { drop } from "../queue";
import { href } from "../route";
import { Button, TextField } from "../shell/controls";
import type { JobView, Option } from "../wire";
import type { JobHere } from "./use-job";
import { capital, titleOf } from "./words";
import "../style/foot.css";

type Asking = "nothing" | "take-back" | "leave-out";

interface Props {
  here: JobHere;
  view: JobView;
  option: Option | null; // null: nothing to leave out
  onLeft?: () => void;
  children: ComponentChildren; // the answers
}

export function StepFoot({ here, view, option, onLeft, children }: Props) {
  const [asking, ask] = useState<Asking>("nothing");
  const done = () => ask("nothing");
  const open = view.end === "open";
  return (
    <div class="step-foot">
      {asking === "nothing" ? (
        <>
          {children}
          <div class="tools">
            <button
              type="button"
              class="tool"
              onClick={() => ask("take-back")}
              disabled={here.settling || (!view.undo && here.unsaved.length === 0)}
            >
              <Sign path="M9 6 L4 11 L9 16 M4 11 H15 a5 5 0 0 1 0 10 H11" />
              Take back
            </button>
            {open ? (
              <>
                <button type="button" class="tool" onClick={() => ask("leave-out")} disabled={!option || here.settling}>
                  <Sign path="M4 12 H12 M13 6 L19 12 L13 18 M20 5 V19" />
                  Leave out
                </button>
                <a class="tool" href={href({ at: "others", job: view.job })}>
                  <Sign path="M4 6 H20 M4 12 H20 M4 18 H20" />
                  Others
                </a>
                <a class="tool" href={href({ at: "note", job: view.job })}>
                  <Sign path="M4 20 L5 15 L16 4 L20 8 L9 19 Z" />
                  Note
                </a>
              </>
            ) : null}
          </div>
        </>
      ) : asking === "take-back" ? (
        <TakeBack here={here} view={view} onDone={done} />
      ) : (
        <LeaveOut
          here={here}
          option={option!}
          onDone={(left) => {
            done();
            if (left) onLeft?.();
          }}
        />
      )}
    </div>
  );
}

function Sign({ path }: { path: string }) {
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true">
      <path d={path} />
    </svg>
  );
}

/** Takes back the last entry: of this phone's unsaved ones first. */
export function TakeBack({ here, view, onDone }: { here: JobHere; view: JobView; onDone: () => void }) {
  // It stays the one that was asked about, whatever is written meanwhile. Once it is saved it must be asked about anew.
  const [asked] = useState({ key: here.unsaved[here.unsaved.length - 1]?.key, undo: view.undo });
  const entry = here.unsaved.find((w) => w.key === asked.key);
  const saved = asked.key !== undefined && !entry;
  useEffect(() => {
    if (saved) onDone();
  }, [saved]);
  const words = entry?.words ?? asked.undo?.words ?? "";
  return (
    <div class="asking" role="group" aria-label="Take back">
      <p>
        <b>Take this back?</b> {capital(words)}
      </p>
      {entry?.tried ? (
        <p class="hint">
          It may have reached the server already. Then it is in the log when the server is back, and can be taken back
          there.
        </p>
      ) : null}
      <div class="buttons">
        <Button onPress={onDone}>Keep it</Button>
        <Button
          look="main"
          onPress={() => {
            if (entry) void drop(entry);
            else if (asked.undo) here.send("undo", { act: asked.undo.act }, `take back: ${words}`);
            onDone();
          }}
        >
          Take it back
        </Button>
      </div>
    </div>
  );
}

const reasons = ["no tool for it", "no part for it", "not wanted", "not now"];

function LeaveOut({ here, option, onDone }: { here: JobHere; option: Option; onDone: (left: boolean) => void }) {
  const [why, setWhy] = useState(option.act === "question" ? "the rider cannot say" : "");
  const leave = (reason: string) => {
    here.write(
      [{ kind: "skipped", step: option.step, why: reason }],
      `left out: ${titleOf(option)}${reason === "" ? "" : ` (${reason})`}`,
    );
    onDone(true);
  };
  return (
    <div class="asking" role="group" aria-label="Leave out">
      <p>
        <b>Leave it out?</b> Why?
      </p>
      <div class="buttons two">
        {option.act === "question"
          ? null
          : reasons.map((r) => (
              <Button key={r} onPress={() => leave(r)}>
                {capital(r)}
              </Button>
            ))}
      </div>
      <TextField
        label="Or in your words (may stay empty)"
        value={why}
        onValue={setWhy}
        onEnter={() => leave(why.trim())}
      />
      <div class="buttons">
        <Button onPress={() => onDone(false)}>Back to it</Button>
        <Button look="main" onPress={() => leave(why.trim())}>
          Leave it out
        </Button>
      </div>
    </div>
  );
}
