// What screens can look like besides how they first come up. Each state is a name and a way to it on any page.
import { png } from "./png.mjs";
import { button, field, follow, note, see, tap, tick } from "./hands.mjs";
import { isForm, isQuestion, jobView, leaveOutUntil, newJob, noteEntry, write } from "./jobs.mjs";

const bike = "red-125";
const compression = /^Warm engine, throttle wide open/;
const unfold = (page) => page.locator("details").evaluateAll((all) => all.forEach((d) => (d.open = true)));

async function benchOf(page, job) {
  await page.goto(`/jobs/${job}`);
  await page.locator(".step-name").waitFor();
  await page.locator(".foot").getByRole("button", { disabled: false }).first().waitFor();
}

async function comingUp(server, wanted) {
  const job = await newJob(server, bike, "bogs up top, blubbers, plug is wet");
  await leaveOutUntil(server, job, wanted);
  return job;
}

async function proven(server) {
  const job = await newJob(server, bike, "fouls plugs");
  await write(server, job, { kind: "did", step: "fit-new-plug" });
  for (let runs = 0; runs < 6 && !(await jobView(server, job)).proven; ++runs)
    await write(server, job, { kind: "ran", result: "gone", step: "" });
  return job;
}

export async function benchStates(server) {
  const [question, look, reading, form, repair] = [
    await comingUp(server, isQuestion),
    await comingUp(server, (o) => o.act === "look" && !isForm(o) && o.card.readings.length === 0),
    await comingUp(server, (o) => o.act === "look" && o.card.readings.length > 0),
    await comingUp(server, isForm),
    await comingUp(server, (o) => o.act === "repair"),
  ];
  const swapped = await newJob(server, bike, "cuts out");
  await write(server, swapped, { kind: "did", step: "swap-coil" });
  const ran = await newJob(server, bike, "fouls plugs");
  await write(server, ran, { kind: "did", step: "fit-new-plug" });
  await write(server, ran, { kind: "ran", result: "gone", step: "" });
  const [isProven, isClosed] = [await proven(server), await proven(server)];
  const words = { end: "proven", causes: [], words: "Mix it fresh." };
  await server.post(`/api/jobs/${isClosed}/close`, words);
  const stripped = await newJob(server, bike, "will not rev out");
  const parts = ["seat", "tank", "side-panel", "silencer"];
  await write(server, stripped, { kind: "parts-off", off: parts });

  return {
    question: (page) => benchOf(page, question),
    "look of one tap": (page) => benchOf(page, look),
    "look with readings": async (page) => {
      await benchOf(page, reading);
      await unfold(page);
    },
    "form of several questions": async (page) => {
      await benchOf(page, form);
      await page.locator(".asked").first().getByRole("button", { name: "Yes", exact: true }).tap();
    },
    repair: (page) => benchOf(page, repair),
    "parts off": (page) => benchOf(page, stripped),
    "a good part is in": (page) => benchOf(page, swapped),
    "swap to be put back": async (page) => {
      await page.goto(`/jobs/${swapped}/run`);
      await tap(page, "Same as before");
      await see(page, "Does the old part go back in?");
    },
    "run that is left to prove it": (page) => benchOf(page, ran),
    proven: async (page) => {
      await benchOf(page, isProven);
      await see(page, "It runs right, and the run has shown it.");
    },
    closed: (page) => benchOf(page, isClosed),
    "take-back panel": async (page) => {
      await benchOf(page, ran);
      await tap(page, "Take back");
      await see(page, "Take this back?");
    },
    "leave-out panel": async (page) => {
      await benchOf(page, look);
      await tap(page, "Leave out");
      await see(page, "Leave it out?");
    },
    "leave-out panel of a question": async (page) => {
      await benchOf(page, question);
      await tap(page, "Leave out");
      await see(page, "Leave it out?");
    },
    "doubted reading": async (page) => {
      await page.goto(`/jobs/${reading}/steps/compression-test`);
      await field(page, compression).fill("15");
      await tap(page, "Keep what it showed");
      await see(page, "Is it as you say?");
    },
    "refused reading": async (page) => {
      await page.goto(`/jobs/${reading}/steps/compression-test`);
      await field(page, compression).fill("15o");
      await tap(page, "Keep what it showed");
      await page.locator(".field.wrong").waitFor();
    },
    "judged reading": async (page) => {
      await write(server, reading, { kind: "measured", reading: "compression", told: "150 psi" });
      await benchOf(page, reading);
      await page.getByLabel("How the reading was judged").waitFor();
    },
    "log with a verdict and a photo": async (page) => {
      await page.goto(`/jobs/${reading}/note`);
      await page.getByLabel("Choose a file").setInputFiles({ name: "a.png", mimeType: "image/png", buffer: png(300, 200) });
      await page.getByAltText("The photo to be kept").waitFor();
      await tap(page, "Keep the photo");
      await page.waitForURL(`**/jobs/${reading}`);
      await page.goto(`/jobs/${reading}/log`);
      await page.locator(".photo img").first().waitFor();
    },
  };
}

export async function otherStates(server) {
  const heard = await newJob(server, bike, "bogs up top, plug is wet, stood over winter");
  return {
    "words to confirm": async (page) => {
      await page.goto(`/jobs/${heard}/heard`);
      await see(page, "Is it meant so?");
    },
    "words to confirm, on the bench": async (page) => {
      await benchOf(page, heard);
      await see(page, /things the rider said to confirm/);
    },
    "heard while it is typed": async (page) => {
      await page.goto(`/take-in/${bike}`);
      await field(page, "What does the rider say?").fill("hits a wall, cuts out");
      await see(page, "Heard so far");
    },
    "new bike, filled in": async (page) => {
      await page.goto("/new-bike");
      await field(page, "What is it called here?").fill("Red 125");
      await tick(page, "Two-stroke");
      await page.getByRole("radio", { name: /^250\/300 two-stroke enduro/ }).first().tap();
      await field(page, "Engine hours").fill("many");
      await see(page, "A number of hours, such as 38.5.");
    },
    "photo to be kept": async (page) => {
      await page.goto(`/jobs/${heard}/note`);
      await page.getByLabel("Choose a file").setInputFiles({ name: "a.png", mimeType: "image/png", buffer: png(300, 200) });
      await page.getByAltText("The photo to be kept").waitFor();
    },
    "parts taken off": async (page) => {
      await page.goto(`/jobs/${heard}/parts`);
      await page.getByRole("checkbox", { name: "Cylinder", exact: true }).tap();
      await button(page, /^Keep: \d off$/).waitFor();
    },
    "another cause sought": async (page) => {
      await page.goto(`/jobs/${heard}/close`);
      await field(page, "Another cause").fill("jet");
      await page.getByRole("checkbox", { name: /jet/ }).first().waitFor();
    },
    "part renewed before": async (page) => {
      await page.goto(`/bikes/${bike}/renewed/plug`);
      await page.getByRole("radio", { name: /^Before/ }).tap();
      await field(page, "Day").fill("yesterday");
      await tap(page, "It is renewed");
      await page.locator(".field.wrong").waitFor();
    },
    "bike with everything unfolded": async (page) => {
      await page.goto("/bikes/yellow-250f");
      await see(page, "What is due");
      await unfold(page);
      await tap(page, /^Take back:/);
    },
    "sum worked out": async (page) => {
      await page.goto("/sums/oil-for-fuel");
      await field(page, "Fuel").fill("5");
      await field(page, "Ratio").fill("40");
      await tap(page, "Work it out");
      await page.getByLabel("Answer").waitFor();
    },
    "sum refused": async (page) => {
      await page.goto("/sums/jet-today");
      await tap(page, "Work it out");
      await page.locator(".field.wrong, .problem").first().waitFor();
    },
    "settings changed": async (page) => {
      await page.goto("/settings");
      await field(page, "Worth of an hour").fill("nothing");
      await see(page, "A number of money, such as 55.");
    },
    "nothing found": async (page) => {
      await page.goto(`/jobs/${heard}/others`);
      await see(page, "Everything else");
      await field(page, "Search all steps").fill("no such step");
      await see(page, "No step has all of these words in its name.");
    },
  };
}

/** Without the line; the last of them leaves one entry refused. */
export async function lineStates(server) {
  const job = await newJob(server, bike, "bogs up top");
  const off = (page) => page.context().setOffline(true);
  return {
    "no server, and entries not yet saved": async (page) => {
      await benchOf(page, job);
      await off(page);
      await see(page, "no server");
      await note(page, "kept here");
      await see(page, "1 not yet saved");
      await see(page, /^No server\. As it was at/);
    },
    "entries not yet saved": async (page) => {
      await follow(page, "1 not yet saved");
      await see(page, "On this phone, in this order");
    },
    "log with an entry not yet saved": async (page) => {
      await follow(page, /^Job \d+$/);
      await follow(page, /^What was written down/);
      await see(page, "Not yet saved: on this phone only");
    },
    "never seen before, and no server": async (page) => {
      await follow(page, "Bench");
      await follow(page, "All suspects");
      await page.locator("a.suspect").first().tap();
      await see(page, /^This was not seen on this phone before/);
    },
    "an entry that was refused": async (page) => {
      await write(server, job, noteEntry("from elsewhere"));
      await server.post(`/api/jobs/${job}/close`, { end: "given-up", causes: [], words: "" });
      await page.context().setOffline(false);
      await follow(page, "1 not taken");
      await see(page, "Not taken");
    },
    "an entry that was refused, on the bench": async (page) => {
      await follow(page, /^Job \d+$/);
      await see(page, "The server did not take an entry of this job.");
      await follow(page, "Put it right or drop it");
    },
    "a refused entry, before it is dropped": async (page) => {
      await tap(page, "Drop it");
      await see(page, "It is then nowhere.");
    },
  };
}
