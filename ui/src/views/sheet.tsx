// The job sheet for the owner: read it here, print it, hand it on as one file.
import { useEffect, useState } from "preact/hooks";
import { getFile } from "../api";
import { Paper } from "../job/paper";
import { useJob } from "../job/use-job";
import { counted } from "../job/words";
import { Busy } from "../shell/busy";
import { Button } from "../shell/controls";
import { Screen } from "../shell/screen";
import { useShown } from "../state";
import "../style/log.css";

export function SheetScreen({ job }: { job: number }) {
  const { loaded, unsaved } = useJob(job);
  const link = useShown((s) => s.link);
  const [html, setHtml] = useState("");
  const [said, say] = useState("");
  const seq = loaded.value?.seq ?? 0;
  const at = `/api/jobs/${job}/sheet`;
  useEffect(() => {
    let here = true;
    void getFile(`/jobs/${job}/sheet.html`).then(async (file) => {
      const read = file ? await file.text() : "";
      if (here && read !== "") setHtml(read);
    });
    return () => void (here = false);
  }, [job, seq, link === "up"]);
  const share = async () => {
    if (html === "") return say("The sheet is not here yet; it can be shared when the server is back.");
    const file = new File([html], `job-${job}.html`, { type: "text/html" });
    say(await handOn(file, `Job sheet ${job}`));
  };
  return (
    <Screen
      title="Job sheet"
      over={loaded.value ? `Job ${job}: ${loaded.value.bike.name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
      foot={
        <>
          <p role="status">{said}</p>
          <div class="buttons three">
            <Button look="main" onPress={() => void share()}>
              Share
            </Button>
            <a class="button plain" href={`${at}.html`} target="_blank" rel="noreferrer">
              Open, print
            </a>
            <a class="button plain" href={`${at}.pdf`} download={`job-${job}.pdf`}>
              PDF
            </a>
          </div>
        </>
      }
    >
      {unsaved.length > 0 ? (
        <p class="notice">
          Not on the sheet yet: {counted(unsaved.length, "entry", "entries")} of this job that{" "}
          {unsaved.length === 1 ? "is" : "are"} not yet saved.
        </p>
      ) : null}
      {html !== "" ? (
        <Paper html={html} />
      ) : link === "down" ? (
        <p class="notice">No server. The sheet is made there; it comes when the server is back.</p>
      ) : (
        <Busy words="Making the sheet" />
      )}
    </Screen>
  );
}

/** Through the phone's own way of sharing where it has one that takes files, otherwise as a download. */
async function handOn(file: File, title: string): Promise<string> {
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file], title });
      return "Handed on.";
    } catch (e) {
      if (e instanceof DOMException && e.name === "AbortError") return "";
    }
  }
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = url;
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
  return `Kept as ${file.name} among the downloads.`;
}
