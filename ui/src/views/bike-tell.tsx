// What the forms of a bike have in common: one thing is told, saved, and the bike shows it.
import type { ComponentChildren } from "preact";
import { go } from "../route";
import { Busy } from "../shell/busy";
import { Button, LinkButton } from "../shell/controls";
import { Problem } from "../shell/problem";
import { Screen } from "../shell/screen";
import { usePost, type Posting } from "../shell/use-post";
import type { BikeView } from "../wire";
import { useGoToWrong } from "./sum-wrong";

export interface Telling {
  post: Posting;
  tell: (what: string, body: unknown, words: string, form?: FormDraft) => void;
}

/** What a form was filled in with, of useDraft(). */
export interface FormDraft {
  kept: () => void;
  clear: () => void;
}

/** `what` is the last part of the address: "hours", "ridden" ... A form is left once the server has what it says. */
export function useTell(bike: BikeView): Telling {
  const post = usePost();
  return {
    post,
    tell: (what, body, words, form) =>
      post.send(
        {
          path: `/bikes/${encodeURIComponent(bike.id)}/${what}`,
          body,
          about: `bike/${bike.id}`,
          words: `${bike.name}: ${words}`,
        },
        form && {
          onKept: form.kept,
          onWritten: () => {
            form.clear();
            go({ at: "bike", id: bike.id, part: "" });
          },
        },
      ),
  };
}

interface Props {
  bike: BikeView;
  title: string;
  telling: Telling;
  onSave: () => void;
  ready: boolean; // enough is filled in
  fields: string[]; // whose problems stand at their input
  saveWords?: string;
  more?: ComponentChildren; // beside the button
  children: ComponentChildren;
}

export function TellScreen({ bike, title, telling, onSave, ready, fields, saveWords = "Save", more, children }: Props) {
  const { is, problems } = telling.post;
  useGoToWrong(problems);
  const back = { at: "bike", id: bike.id, part: "" } as const;
  const kept = is === "kept";
  return (
    <Screen
      title={title}
      over={bike.name}
      back={back}
      backTo={bike.name}
      foot={
        <div class="tell-foot">
          <div role="status">
            <Busy when={is === "keeping" || kept} words={kept ? "Kept on this phone; saved as soon as the server answers" : "Saving"} />
          </div>
          <Problem of={problems} but={fields} />
          <div class="buttons">
            {kept ? (
              <LinkButton to={back}>Back to {bike.name}</LinkButton>
            ) : (
              <Button look="main" onPress={onSave} off={!ready || is === "keeping" || is === "written"}>
                {saveWords}
              </Button>
            )}
            {more}
          </div>
        </div>
      }
    >
      {children}
    </Screen>
  );
}

/** "7,5" is what half of the world types. */
export const numberOf = (text: string): number => (text.trim() === "" ? NaN : Number(text.trim().replace(",", ".")));
