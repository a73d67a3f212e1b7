// Bench sums: all of them by group, with a search; and each as a form of what it asks for.
import { href } from "../route";
import { Got } from "../shell/busy";
import { TextField } from "../shell/controls";
import { Screen, Section } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { useGet } from "../use-get";
import type { SumForm, Sums } from "../wire";
import { SumPage } from "./sum-form";
import "./sums.css";

export function SumsScreen({ id }: { id: string }) {
  const loaded = useGet<Sums>("/sums");
  const sum = loaded.value?.sums.find((s) => s.id === id);
  if (sum) return <SumPage key={id} sum={sum} />;
  return (
    <Screen title="Bench sums" back={{ at: "shop" }} backTo="Shop">
      <Got of={loaded}>
        {({ sums }) => (
          <>
            {id !== "" && <p class="notice">No bench sum is called “{id}”. Here are all of them.</p>}
            <SumList sums={sums} />
          </>
        )}
      </Got>
    </Screen>
  );
}

function SumList({ sums }: { sums: SumForm[] }) {
  const [words, setWords] = useDraft("sums/search", "");
  const found = sums.filter((sum) => isMeant(sum, words));
  const groups = [...new Set(found.map((sum) => sum.group))];
  return (
    <>
      <TextField label="Search" keys="search" value={words} onValue={setWords} hint="such as: jet, oil, gauge" />
      <p class="for-ears" role="status">
        {words.trim() === "" ? "" : `${found.length} found`}
      </p>
      {found.length === 0 && <p class="notice">No bench sum has these words. Try one word only, or another one.</p>}
      {groups.map((group) => (
        <Section key={group} title={group}>
          <ul class="rows">
            {found
              .filter((sum) => sum.group === group)
              .map((sum) => (
                <li key={sum.id}>
                  <a class="row" href={href({ at: "sums", id: sum.id })}>
                    <span>
                      <b>{sum.name}</b>
                    </span>
                  </a>
                </li>
              ))}
          </ul>
        </Section>
      ))}
    </>
  );
}

/** Every word of the search begins a word of the sum. */
function isMeant(sum: SumForm, words: string): boolean {
  const asked = sum.inputs.map((i) => `${i.name} ${i.ask}`);
  const text = ` ${[sum.name, sum.group, sum.id, ...asked].join(" ").toLowerCase().replace(/[^a-z0-9]+/g, " ")}`;
  return words.toLowerCase().split(/[^a-z0-9]+/).filter(Boolean).every((word) => text.includes(` ${word}`));
}

