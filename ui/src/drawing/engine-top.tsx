import { Part, type Scene } from "./part";
import type { Spot } from "./layout";

type Places = Record<string, Spot>;

function fins(width: number, top: number, bottom: number, count: number): string {
  let path = "";
  for (let i = 0; i < count; i++) {
    const y = top + ((bottom - top) * i) / count;
    const high = (bottom - top) / count - 4;
    path += `M${-width} ${y}H${width}V${y + high}H${-width}Z`;
  }
  return path;
}

const cylinderFins = fins(64, -38, 34, 6);
const headFins = fins(60, -18, 16, 3);

/** Rod and piston: behind the cylinder until it is off. */
export function Piston({ at }: { at: Spot }) {
  return (
    <g transform={`translate(${at.x} ${at.y})`}>
      <path class="steel" d="M-9 0L-6 -82H6L9 0Z" />
      <path class="metal" d="M-34 -112C-14 -120 14 -120 34 -112V-76H-34Z" />
      <path class="line" d="M-34 -106H34M-34 -99H34" />
      <circle class="dark" cy="-86" r="7" />
    </g>
  );
}

function TwoStrokeTop({ scene, at }: { scene: Scene; at: Places }) {
  const cooled = scene.traits.has("radiator");
  return (
    <g>
      <Part id="cylinder" scene={scene} at={at.cylinder}>
        <path class="metal-2" d="M-50 46V30L-56 26V2L-50 -2V-38L-44 -46H44L50 -38V-26L62 -28V-2L50 2V46Z" />
        {cooled ? (
          <path class="line detail" d="M-50 38H50M-34 34V10C-34 0 -14 0 -14 10V34M34 -36H-34M40 -26V20" />
        ) : (
          <path class="metal detail" d={cylinderFins} />
        )}
        <path class="dots detail" d="M-42 42h0M42 42h0M56 -22h0M56 -8h0" />
      </Part>
      <Part id="head" scene={scene} at={at.head}>
        <path class="metal" d="M-50 20V2C-44 -10 -24 -20 -12 -20H12C24 -20 44 -10 50 2V20Z" />
        {cooled ? <path class="line detail" d="M-50 12H50M-24 8V-10M24 8V-10" /> : <path class="metal detail" d={headFins} />}
        <path class="dots detail" d="M-38 6h0M38 6h0M-12 -6h0M12 -6h0" />
        {cooled && <path class="hose detail" d="M40 -4C52 -14 56 -14 64 -24" />}
      </Part>
      {scene.traits.has("exhaust-valve") && (
        <Part id="exhaust-valve-cover" scene={scene} at={at["exhaust-valve-cover"]}>
          <path class="metal" d="M-18 -24H10C18 -24 20 -18 20 -12V14C20 22 14 26 8 26H-14C-20 26 -22 20 -22 14V-18Z" />
          <circle class="line detail" cx="-2" cy="2" r="10" />
          <path class="dots detail" d="M-15 -16h0M13 -15h0M12 18h0M-14 18h0" />
        </Part>
      )}
    </g>
  );
}

function FourStrokeTop({ scene, at }: { scene: Scene; at: Places }) {
  const cooled = scene.traits.has("radiator");
  return (
    <g>
      <Part id="cylinder" scene={scene} at={at.cylinder}>
        <path class="metal-2" d="M-48 35V-35H48V35Z" />
        {cooled ? <path class="line detail" d="M-48 26H48M-36 20V-24H36V20" /> : <path class="metal detail" d={fins(60, -32, 30, 5)} />}
        <path class="dots detail" d="M-41 30h0M41 30h0" />
      </Part>
      <Part id="camshaft" scene={scene} at={at.camshaft}>
        <rect class="steel" x="-50" y="-6" width="92" height="12" rx="3" />
        <path class="metal" d="M-34 -12C-26 -12 -24 -8 -24 0C-24 12 -28 18 -32 18C-36 18 -42 10 -42 0C-42 -8 -40 -12 -34 -12ZM8 -12C16 -12 18 -8 18 0C18 12 14 18 10 18C6 18 0 10 0 0C0 -8 2 -12 8 -12Z" />
        <rect class="dark" x="34" y="-20" width="12" height="40" rx="4" />
        <path class="line detail" d="M34 -12H46M34 -4H46M34 4H46M34 12H46" />
      </Part>
      <Part id="head" scene={scene} at={at.head}>
        <path class="metal" d="M-50 33V10L-58 8V-16L-50 -18V-33H50V-22L62 -20V4L50 8V33Z" />
        {cooled ? <path class="line detail" d="M-50 24H50M-50 -24H50" /> : <path class="metal detail" d={fins(58, -4, 32, 3)} />}
        <path class="thin detail" d="M-20 18C-26 6 -36 0 -48 -4M20 18C26 6 38 -4 54 -8M-26 -22L-12 18M26 -22L12 18" />
        <path class="steel detail" d="M-22 18H-4V22H-22ZM4 18H22V22H4Z" />
        <path class="dots detail" d="M-42 -28h0M42 -28h0M-42 28h0M42 28h0" />
      </Part>
      <Part id="cam-cover" scene={scene} at={at["cam-cover"]}>
        <path class="metal-2" d="M-52 17V4C-52 -10 -40 -17 -26 -17H26C40 -17 52 -10 52 4V17Z" />
        <path class="line detail" d="M-52 9H52M-30 -4H-12M12 -4H30" />
        <path class="dots detail" d="M-42 2h0M42 2h0" />
      </Part>
    </g>
  );
}

function Plug({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <Part id="plug" scene={scene} at={at.plug}>
      <path class="steel" d="M-5 8H5V22H-5Z" />
      <path class="metal" d="M-10 -2H10V8H-10Z" />
      <path class="china" d="M-6 -2V-16H6V-2Z" />
      <path class="steel" d="M-3 -16V-23H3V-16Z" />
      <path class="line detail" d="M-5 12H5M-5 16H5M-6 -8H6M-4 22V27H4" />
    </Part>
  );
}

export function Top({ scene, at }: { scene: Scene; at: Places }) {
  const four = scene.traits.has("four-stroke");
  return (
    <g>
      {four ? <FourStrokeTop scene={scene} at={at} /> : <TwoStrokeTop scene={scene} at={at} />}
      <Plug scene={scene} at={at} />
    </g>
  );
}
