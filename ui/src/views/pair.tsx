// Joining this phone to the shop: with the code that the server shows, typed or carried by its QR code.
import { useEffect, useState } from "preact/hooks";
import { pair } from "../api";
import { counted } from "../job/words";
import { nudge } from "../queue";
import { go } from "../route";
import { Busy } from "../shell/busy";
import { Button, TextField } from "../shell/controls";
import { problemOf } from "../shell/problem";
import { Screen } from "../shell/screen";
import { now, useShown } from "../state";
import { refresh } from "../use-get";
import type { Problems } from "../wire";

export function PairScreen({ code: given }: { code: string }) {
  const [code, setCode] = useState(given);
  const [busy, setBusy] = useState(false);
  const [problems, setProblems] = useState<Problems | null>(null);
  const waiting = useShown((s) => s.waiting.length);
  const join = async (tried: string) => {
    setBusy(true);
    setProblems(null);
    const wrong = await pair(tried.trim());
    setBusy(false);
    if (wrong) return setProblems(wrong);
    nudge();
    refresh();
    if (now().route.at === "pair") go({ at: "shop" }, "replace");
  };
  useEffect(() => {
    if (given === "") return;
    // The code must not stay in the address bar, where it would be shared with a link.
    history.replaceState(null, "", "/pair");
    void join(given);
  }, [given]);
  return (
    <Screen
      title="Join this phone"
      over="crankwise"
      foot={
        <>
          <Busy when={busy} words="Joining" />
          <div class="buttons">
            <Button look="main" off={busy || code.trim() === ""} onPress={() => void join(code)}>
              Join
            </Button>
          </div>
        </>
      }
    >
      <p>
        This phone is not yet joined to the shop. The machine that runs crankwise shows a code: point the camera at it,
        or type it here.
      </p>
      {waiting > 0 ? (
        <p class="notice">Kept on this phone: {counted(waiting, "entry", "entries")}, to be sent once it is joined.</p>
      ) : null}
      <TextField
        label="Code"
        hint="Eight letters and digits; dashes, spaces and small letters do not matter"
        value={code}
        complete="one-time-code"
        problem={problems ? problemOf(problems, problems.problems[0]!.field) : ""}
        onValue={(v) => {
          setCode(v);
          setProblems(null);
        }}
        onEnter={() => code.trim() !== "" && void join(code)}
      />
    </Screen>
  );
}
