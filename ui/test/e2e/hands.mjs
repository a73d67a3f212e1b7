// What a mechanic does with the page, by the words that stand on it.
const kind = (role) => (page, name) => page.getByRole(role, { name, exact: typeof name === "string" }).first();

export const button = kind("button");
export const link = kind("link");
export const tap = (page, name) => button(page, name).tap();
export const follow = (page, name) => link(page, name).tap();
export const see = (page, words) => page.getByText(words).first().waitFor();
export const gone = (page, words) => page.getByText(words).first().waitFor({ state: "hidden" });
export const field = (page, label) => page.getByLabel(label, { exact: true }).first();
export const tick = (page, label) => page.getByLabel(label, { exact: true }).first().tap();
export const answer = (page, ask, words) =>
  page.getByRole("group", { name: ask, exact: true }).getByRole("button", { name: words, exact: true }).tap();

/** What is asked at the moment. */
export const stepName = (page) => page.locator(".step-name").innerText();

/** Does what makes another step come up, and waits for it. */
export async function onward(page, doIt) {
  const before = await stepName(page);
  await doIt();
  await page.waitForFunction(
    (old) => {
      const name = document.querySelector(".step-name")?.innerText;
      return name !== undefined && name !== old;
    },
    before,
  );
}

/** A step of the mechanic's own choice, found by words of its name. */
export async function choose(page, words) {
  await follow(page, "Others");
  await field(page, "Search all steps").fill(words);
  await page.locator("a.row", { hasText: new RegExp(`^${words}`) }).first().tap();
  await page.locator(".step-name", { hasText: words }).waitFor();
}

export async function note(page, text) {
  await follow(page, "Note");
  await field(page, "Anything worth keeping").fill(text);
  await tap(page, "Keep the note");
  await page.waitForURL(/\/jobs\/\d+$/);
}

/** Until the condition, asked of the server or of the page, holds. */
export async function until(what, holds, patienceMs = 30_000) {
  const end = Date.now() + patienceMs;
  for (;;) {
    if (await holds()) return;
    if (Date.now() > end) throw new Error(`not within ${patienceMs} ms: ${what}`);
    await new Promise((later) => setTimeout(later, 50));
  }
}
