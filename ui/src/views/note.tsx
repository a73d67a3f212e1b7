// A note or a photo for the job, or a photo of one entry.
import { useEffect, useState } from "preact/hooks";
import { made, type Picture } from "../job/picture";
import { useJob, type JobHere } from "../job/use-job";
import { capital } from "../job/words";
import { go } from "../route";
import { Busy } from "../shell/busy";
import { Button, FileButton, LinkButton, LongText, TextField } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { usePost } from "../shell/use-post";

export function NoteScreen({ job }: { job: number }) {
  const here = useJob(job);
  const name = here.loaded.value?.bike.name;
  return (
    <Screen
      title="Note or photo"
      over={name ? `Job ${job}: ${name}` : `Job ${job}`}
      back={{ at: "bench", job }}
      backTo="Bench"
    >
      <Note here={here} job={job} />
      <Photo job={job} of={0} />
      <Section title="Recording">
        <p>What the engine does, heard in a recording or a video of this phone.</p>
        <div class="buttons">
          <LinkButton to={{ at: "recording", job }}>Listen to a recording</LinkButton>
        </div>
      </Section>
    </Screen>
  );
}

export function PhotoScreen({ job, act }: { job: number; act: number }) {
  const here = useJob(job);
  const lines = here.loaded.value?.log.filter((l) => l.act === act) ?? [];
  return (
    <Screen title="Photo of this entry" over={`Job ${job}`} of={here.loaded} back={{ at: "log", job }} backTo="Log">
      <p>{lines.map((l) => capital(l.words)).join("; ")}</p>
      <Photo job={job} of={act} />
    </Screen>
  );
}

function Note({ here, job }: { here: JobHere; job: number }) {
  const [text, set, clear, kept] = useDraft(`${job}/note`, "");
  const keep = () =>
    here.write([{ kind: "noted", text: text.trim() }], `note: ${text.trim()}`, {
      onKept: () => {
        kept();
        go({ at: "bench", job }, "replace");
      },
      onWritten: clear,
    });
  return (
    <Section title="Note">
      <LongText
        label="Anything worth keeping"
        value={text}
        onValue={(v) => {
          set(v);
          here.posting.clear();
        }}
        problem={problemOf(here.posting.problems, "text")}
      />
      <Problem of={here.posting.problems} but={["text"]} />
      <Button look="main" off={text.trim() === ""} onPress={keep}>
        Keep the note
      </Button>
    </Section>
  );
}

function Photo({ job, of }: { job: number; of: number }) {
  const posting = usePost();
  const [caption, setCaption, clearCaption, keptCaption] = useDraft(of === 0 ? `${job}/caption` : `${job}/caption/${of}`, "");
  const [picture, setPicture] = useState<Picture | null>(null);
  const [preview, setPreview] = useState("");
  const [working, work] = useState(false);
  const [problem, setProblem] = useState("");
  useEffect(() => {
    if (!picture) return setPreview("");
    const url = URL.createObjectURL(new Blob([picture.bytes], { type: picture.type }));
    setPreview(url);
    return () => URL.revokeObjectURL(url);
  }, [picture]);
  const take = (file: File | undefined) => {
    if (!file) return;
    work(true);
    setProblem("");
    made(file)
      .then(setPicture, (e: Error) => setProblem(`${e.message}; a JPEG, PNG or WebP picture would be right`))
      .finally(() => work(false));
  };
  const keep = () => {
    const words = caption.trim();
    posting.send(
      {
        path: `/jobs/${job}/photos?caption=${encodeURIComponent(words)}${of === 0 ? "" : `&of=${of}`}`,
        body: picture!.bytes,
        type: picture!.type,
        about: `job/${job}`,
        words: words === "" ? "photo" : `photo: ${words}`,
      },
      {
        onKept: () => {
          keptCaption();
          go({ at: of === 0 ? "bench" : "log", job }, "replace");
        },
        onWritten: clearCaption,
      },
    );
  };
  return (
    <Section title="Photo">
      <div class="buttons">
        <FileButton words="Take a photo" camera onFile={take} />
        <FileButton words="Choose a file" onFile={take} />
      </div>
      <Busy when={working} words="Making it smaller" />
      <p class="field-problem" role="alert">
        {problem}
      </p>
      {preview !== "" ? <img class="preview" src={preview} alt="The photo to be kept" /> : null}
      <TextField
        label="What it shows"
        hint="May stay empty"
        value={caption}
        onValue={setCaption}
        problem={problemOf(posting.problems, "caption")}
      />
      <Problem of={posting.problems} but={["caption"]} />
      <Button look="main" off={!picture || posting.is === "keeping"} onPress={keep}>
        Keep the photo
      </Button>
    </Section>
  );
}
