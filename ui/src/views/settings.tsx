// What holds for the whole shop: the worth of an hour, its tools, how readings are usually taken.
import { capital } from "../job/words";
import { href } from "../route";
import { Busy, Got } from "../shell/busy";
import { Button, Check, TextField } from "../shell/controls";
import { Problem, problemOf } from "../shell/problem";
import { Screen, Section } from "../shell/screen";
import { useDraft } from "../shell/use-draft";
import { usePost } from "../shell/use-post";
import { useGet } from "../use-get";
import type { Settings, Words } from "../wire";
import { AskedField, givenOf, nothingGiven, toldOf, type Given } from "../shell/asked-field";
import { useGoToWrong } from "./sum-wrong";
import "./settings.css";

interface Draft {
  hour: string;
  currency: string;
  lacks: string[];
  usual: Record<string, Given>;
}

export function SettingsScreen() {
  const settings = useGet<Settings>("/settings");
  const words = useGet<Words>("/words");
  if (settings.value && words.value) return <SettingsForm settings={settings.value} words={words.value} />;
  return (
    <Screen title="Settings" back={{ at: "shop" }} backTo="Shop">
      <Got of={settings}>{() => <Got of={words}>{() => null}</Got>}</Got>
    </Screen>
  );
}

function draftOf(settings: Settings, words: Words): Draft {
  const usual = words.shop_facts.map((fact) => [fact.id, givenOf(fact, settings.usual[fact.id] ?? "")] as const);
  return {
    hour: String(settings.money_per_hour),
    currency: settings.currency,
    lacks: settings.lacks,
    usual: Object.fromEntries(usual),
  };
}

function settingsOf(draft: Draft, words: Words): Settings {
  const usual = words.shop_facts.map((fact) => [fact.id, toldOf(fact, draft.usual[fact.id] ?? nothingGiven)] as const);
  return {
    money_per_hour: Number(draft.hour.trim().replace(",", ".")),
    currency: draft.currency.trim(),
    lacks: draft.lacks,
    usual: Object.fromEntries(usual.filter(([, told]) => told !== "")),
  };
}

const isMoney = (text: string) => text.trim() !== "" && Number(text.trim().replace(",", ".")) > 0;

function SettingsForm({ settings, words }: { settings: Settings; words: Words }) {
  const [changed, setChanged, clear, kept] = useDraft<Draft | null>("settings", null);
  const post = usePost();
  useGoToWrong(post.problems);
  const draft = changed ?? draftOf(settings, words);
  const set = (change: Partial<Draft>) => {
    post.clear();
    setChanged({ ...draft, ...change });
  };
  const facts = words.shop_facts.map((fact) => fact.id);
  const hourProblem = isMoney(draft.hour) ? problemOf(post.problems, "money_per_hour") : "A number of money, such as 55.";
  const save = () =>
    post.send(
      { path: "/settings", body: settingsOf(draft, words), about: "settings", words: "settings of the shop" },
      { onKept: kept, onWritten: clear },
    );
  return (
    <Screen
      title="Settings"
      back={{ at: "shop" }}
      backTo="Shop"
      foot={
        <div class="settings-foot">
          <Outcome is={changed && post.is === "written" ? "ready" : post.is} />
          <Problem of={post.problems} but={["money_per_hour", "currency", ...facts]} />
          <div class="buttons">
            <Button look="main" onPress={save} off={!changed || !isMoney(draft.hour) || post.is === "keeping" || post.is === "kept"}>
              Save
            </Button>
            {changed && post.is !== "kept" && <Button onPress={clear}>Leave as it was</Button>}
          </div>
        </div>
      }
    >
      <Section title="Time and money">
        <p class="soft">Both count when the next step is chosen. The worth of an hour joins them.</p>
        <TextField
          label="Worth of an hour"
          keys="decimal"
          unit={draft.currency}
          value={draft.hour}
          onValue={(hour) => set({ hour })}
          problem={hourProblem}
        />
        <TextField
          label="Currency"
          value={draft.currency}
          onValue={(currency) => set({ currency })}
          problem={problemOf(post.problems, "currency")}
        />
      </Section>
      <Section title="Readings here">
        <p class="soft">What is the same every day need not be told with each reading.</p>
        {words.shop_facts.map((fact) => (
          <AskedField
            key={fact.id}
            asked={fact}
            given={draft.usual[fact.id] ?? nothingGiven}
            onGiven={(given) => set({ usual: { ...draft.usual, [fact.id]: given } })}
            problem={problemOf(post.problems, fact.id)}
            mayLack
          />
        ))}
      </Section>
      <Section title="Tools">
        <p class="soft">What needs a tool that is missing is not proposed.</p>
        <Tools words={words} lacks={draft.lacks} onLacks={(lacks) => set({ lacks })} />
      </Section>
      <a class="button plain" href={href({ at: "learned" })}>
        How often the advice was right
      </a>
    </Screen>
  );
}

function Outcome({ is }: { is: string }) {
  return (
    <div role="status">
      <Busy when={is === "keeping"} words="Saving" />
      {is === "kept" && <p class="notice">Kept on this phone, not yet saved. It is sent as soon as the server answers.</p>}
      {is === "written" && <p class="notice">Saved.</p>}
    </div>
  );
}

function Tools({ words, lacks, onLacks }: { words: Words; lacks: string[]; onLacks: (lacks: string[]) => void }) {
  const has = (id: string) => !lacks.includes(id);
  return (
    <>
      {[false, true].map((common) => (
        <fieldset class="field tool-list" key={String(common)}>
          <legend>{common ? "That nearly every shop has" : "Special ones"}: tick those at hand</legend>
          {words.tools
            .filter((tool) => tool.common === common)
            .map((tool) => (
              <Check
                key={tool.id}
                label={capital(tool.name)}
                value={has(tool.id)}
                onValue={(at) => onLacks(at ? lacks.filter((id) => id !== tool.id) : [...lacks, tool.id])}
              />
            ))}
        </fieldset>
      ))}
    </>
  );
}
