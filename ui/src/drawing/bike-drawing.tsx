// The bike on the stand, drawn: what is off, what must come off now and in which order, what the step is about.
//
//   <BikeDrawing traits={job.bike.traits} off={job.off} comesOff={["seat", "tank"]} focus="carburettor" />
//   <PartList traits={...} off={...} comesOff={...} onPart={(id) => toggle(id)} />
//
// With `onPart` the parts are buttons, those of the engine on the engine laid out; without it the engine is laid out
// only if something in it is off, comes off or is what the step is about. The engine laid out and the bike wrap below
// each other where room is scarce.
import "./drawing.css";
import { AirBox, Exhaust, Radiator, Seat, SidePanel, Silencer, Tank } from "./bodywork";
import { Cases, ClutchCover, FarSide, KickStarter } from "./engine-bottom";
import { Piston, Top } from "./engine-top";
import { Frame, SwingArm, Tail } from "./frame";
import { Intake } from "./intake";
import { fingersOnBike, fitted, laidOut, onBike } from "./layout";
import { Badges, Targets } from "./marks";
import { Part, type Scene } from "./part";
import { inWords, partsOf } from "./parts";
import { FrontEnd, Handlebar, Wheels } from "./wheels";

export { PartList } from "./part-list";

export interface DrawingProps {
  traits: string[];
  off: string[];
  comesOff: string[]; // in order
  focus?: string | undefined;
  onPart?: ((id: string) => void) | undefined;
}

const goesAlong: Record<string, string[]> = {
  carburettor: ["carburettor-top", "float-bowl", "float-bowl-plug"],
  cylinder: ["exhaust-valve-cover"],
};

function EngineFitted({ scene: told }: { scene: Scene }) {
  const at = fitted(told.traits.has("four-stroke"));
  const along = Object.keys(goesAlong).flatMap((id) => (told.off.has(id) ? (goesAlong[id] ?? []) : []));
  const scene = { ...told, off: new Set([...told.off, ...along]), onPart: undefined };
  return (
    <Part id="engine" scene={told}>
      <g transform="translate(364 300) rotate(5) scale(0.56)">
        <Intake scene={scene} at={at} />
        <Piston at={{ x: 0, y: 0 }} />
        <Cases scene={scene} at={at} />
        <Top scene={scene} at={at} />
        <ClutchCover scene={scene} at={at} />
        {scene.traits.has("kick-start") && <KickStarter />}
      </g>
    </Part>
  );
}

function Bike({ scene }: { scene: Scene }) {
  const lights = scene.traits.has("lighting");
  return (
    <svg class="drawn-bike" viewBox="16 26 656 386" aria-hidden={scene.onPart ? undefined : "true"} focusable="false">
      <Wheels />
      <Tail lights={lights} />
      <Frame />
      <AirBox scene={scene} />
      <EngineFitted scene={scene} />
      <SwingArm />
      {scene.traits.has("radiator") && <Radiator scene={scene} />}
      <Exhaust scene={scene} />
      <Silencer scene={scene} />
      <SidePanel scene={scene} />
      <Tank scene={scene} />
      <Seat scene={scene} />
      <FrontEnd lights={lights} />
      <Handlebar />
      <Badges scene={scene} spots={onBike} size={26} />
      <Targets scene={scene} spots={fingersOnBike} size={100} />
    </svg>
  );
}

function EngineLaidOut({ scene }: { scene: Scene }) {
  const four = scene.traits.has("four-stroke");
  const at = laidOut(four);
  return (
    <svg class="drawn-engine" viewBox="0 0 400 450" aria-hidden={scene.onPart ? undefined : "true"} focusable="false">
      <circle class="lens" cx="200" cy="190" r="186" />
      <rect class="lens" x="6" y="362" width="388" height="86" rx="43" />
      <path class="axis" d={four ? `M288 20V292M30 140H288M368 92L300 122` : `M288 20V292M30 200H288M288 172H370`} />
      <path class="axis" d="M308 298V362M80 405H360" />
      <text class="label" x="24" y="401">left</text>
      <text class="label" x="24" y="419">side</text>
      <Intake scene={scene} at={at} />
      <Piston at={at.cases ?? { x: 0, y: 0 }} />
      <Cases scene={scene} at={at} />
      <Top scene={scene} at={at} />
      <ClutchCover scene={scene} at={at} />
      <FarSide scene={scene} at={at} />
      <Badges scene={scene} spots={at} size={17} />
      <Targets scene={scene} spots={at} size={56} />
    </svg>
  );
}

export function BikeDrawing({ traits, off, comesOff, focus, onPart }: DrawingProps) {
  const scene: Scene = {
    traits: new Set(traits),
    off: new Set(off),
    now: new Map(comesOff.map((id, i) => [id, i + 1])),
    focus,
    onPart,
  };
  const inside = new Set(Object.keys(laidOut(scene.traits.has("four-stroke"))));
  const told = [...off, ...comesOff, ...(focus ? [focus] : [])];
  const show = onPart !== undefined || partsOf(traits).some((part) => inside.has(part.id) && told.includes(part.id));
  return (
    <div class="bike-drawing" role={onPart ? "group" : "img"} aria-label={inWords(off, comesOff, focus)}>
      <Bike scene={scene} />
      {show && <EngineLaidOut scene={scene} />}
    </div>
  );
}
