// The parts that come off, as knowledge/access.toml has them (held by test/drawing.test.mjs), in the order in which a
// mechanic walks round the bike.

export interface DrawnPart {
  id: string;
  name: string;
  needs: string; // the trait without which a bike lacks it; "" for every bike
}

const all: DrawnPart[] = [
  { id: "seat", name: "seat", needs: "" },
  { id: "side-panel", name: "side panel or air-box door", needs: "" },
  { id: "air-filter", name: "air filter", needs: "" },
  { id: "tank", name: "tank", needs: "" },
  { id: "fuel-pump", name: "fuel pump out of the tank", needs: "injection" },
  { id: "silencer", name: "silencer", needs: "" },
  { id: "pipe", name: "exhaust pipe", needs: "" },
  { id: "coolant", name: "coolant drained", needs: "radiator" },
  { id: "plug", name: "plug", needs: "" },
  { id: "cam-cover", name: "valve cover", needs: "four-stroke" },
  { id: "camshaft", name: "camshaft", needs: "four-stroke" },
  { id: "head", name: "cylinder head", needs: "" },
  { id: "exhaust-valve-cover", name: "exhaust-valve cover", needs: "exhaust-valve" },
  { id: "cylinder", name: "cylinder", needs: "" },
  { id: "air-boot", name: "air boot or air-box front", needs: "" },
  { id: "intake-body", name: "carburettor or throttle body pulled back from the manifold", needs: "" },
  { id: "carburettor-top", name: "carburettor top with slide and needle", needs: "carburettor" },
  { id: "carburettor", name: "carburettor", needs: "carburettor" },
  { id: "float-bowl", name: "float bowl", needs: "carburettor" },
  { id: "float-bowl-plug", name: "plug under the float bowl", needs: "carburettor" },
  { id: "throttle-body", name: "throttle body", needs: "injection" },
  { id: "reed-cage", name: "reed cage", needs: "reed-valve" },
  { id: "clutch-cover", name: "clutch cover (oil drained)", needs: "" },
  { id: "flywheel-cover", name: "flywheel cover", needs: "" },
  { id: "flywheel", name: "flywheel", needs: "" },
  { id: "stator", name: "stator", needs: "" },
  { id: "engine", name: "engine out of the frame", needs: "" },
  { id: "cases", name: "crankcases split", needs: "" },
];

export function partsOf(traits: string[]): DrawnPart[] {
  return all.filter((part) => part.needs === "" || traits.includes(part.needs));
}

export function partName(id: string): string {
  return all.find((part) => part.id === id)?.name ?? id;
}

/** "off: seat, tank; to come off now, in order: 1 plug, 2 coolant drained" */
export function inWords(off: string[], comesOff: string[], focus?: string | undefined): string {
  const said = [off.length ? `Off: ${off.map(partName).join(", ")}.` : "Nothing is off."];
  if (comesOff.length)
    said.push(`To come off now, in this order: ${comesOff.map((id, i) => `${i + 1} ${partName(id)}`).join(", ")}.`);
  if (focus) said.push(`The step is about: ${partName(focus)}.`);
  return said.join(" ");
}
