import { Part, type Scene } from "./part";
import { tube } from "./tube";

const chamber = tube([
  [403, 241, 8],
  [424, 246, 9],
  [436, 264, 11],
  [431, 290, 16],
  [408, 300, 20],
  [376, 286, 21],
  [344, 264, 17],
  [318, 248, 10],
  [296, 240, 6],
  [282, 237, 6],
]);
const header = tube([
  [400, 210, 9],
  [421, 215, 9],
  [435, 234, 9],
  [432, 262, 10],
  [408, 276, 11],
  [372, 270, 11],
  [338, 258, 9],
  [310, 246, 9],
  [284, 236, 9],
]);
const slimSilencer = tube([
  [296, 240, 7],
  [276, 235, 13],
  [228, 218, 14],
  [150, 190, 14],
  [132, 184, 11],
]);
const fatSilencer = tube([
  [298, 240, 9],
  [270, 231, 14],
  [246, 223, 20],
  [166, 194, 22],
  [138, 184, 17],
]);

export function Exhaust({ scene }: { scene: Scene }) {
  const pipe = scene.traits.has("two-stroke") ? chamber : header;
  return (
    <Part id="pipe" scene={scene}>
      <path class="pipe" d={pipe.outline} />
      <path class="line detail" d={pipe.seams} />
    </Part>
  );
}

export function Silencer({ scene }: { scene: Scene }) {
  const two = scene.traits.has("two-stroke");
  const can = two ? slimSilencer : fatSilencer;
  return (
    <Part id="silencer" scene={scene}>
      <path class="metal" d={can.outline} />
      <path class="line detail" d={two ? "M158 178L148 206M276 222L268 248" : "M176 175L160 216M262 208L246 242"} />
      <path class="dark detail" d={two ? "M134 176L122 172L118 182L130 192Z" : "M140 172L128 168L122 188L134 196Z"} />
    </Part>
  );
}

export function AirBox({ scene }: { scene: Scene }) {
  return (
    <g>
      <path class="dark" d="M206 160L330 164L322 214L300 246L272 238L228 208Z" />
      <Part id="air-filter" scene={scene}>
        <path class="foam" d="M236 192C236 174 250 166 264 168L288 176V208L264 214C248 214 236 206 236 192Z" />
        <path class="thin detail" d="M246 180L280 200M242 194L270 210M254 172L286 190M246 202L282 180M252 210L288 194" />
      </Part>
    </g>
  );
}

export function SidePanel({ scene }: { scene: Scene }) {
  return (
    <Part id="side-panel" scene={scene}>
      <path class="plate" d="M196 164L322 166C326 190 318 222 300 246L270 236C246 226 214 206 200 190Z" />
      <path class="line detail" d="M210 174L308 176C308 196 302 214 292 230" />
      <circle class="dark detail" cx="306" cy="180" r="4" />
    </Part>
  );
}

export function Seat({ scene }: { scene: Scene }) {
  return (
    <Part id="seat" scene={scene}>
      <path class="seat" d="M158 136C200 130 270 134 322 132C356 130 382 120 404 112C412 110 416 116 411 122C392 142 366 152 338 160C290 168 220 168 172 154C160 150 152 138 158 136Z" />
      <path class="line detail" d="M176 150C230 162 300 160 346 148C372 142 392 130 404 118" />
    </Part>
  );
}

export function Tank({ scene }: { scene: Scene }) {
  return (
    <Part id="tank" scene={scene}>
      <path class="plastic" d="M346 152C366 146 390 130 408 114C420 108 436 112 442 124L470 158C480 168 482 178 474 188L440 244C434 252 424 252 418 246L396 206C384 192 364 182 342 178C334 172 336 156 346 152Z" />
      <path class="plastic-2 detail" d="M470 158C480 168 482 178 474 188L440 244C434 252 424 252 418 246L404 220C430 214 452 190 458 146Z" />
      <path class="line detail" d="M360 160C386 156 412 140 428 124" />
      <path class="dark detail" d="M404 112L420 104L428 110L410 118Z" />
    </Part>
  );
}

/** The radiator stays; what comes out of it is the coolant. */
export function Radiator({ scene }: { scene: Scene }) {
  return (
    <g>
      <path class="hose" d="M428 252C414 262 404 262 396 256" />
      <path class="metal" d="M436 166L468 173L449 264L417 257Z" />
      <path class="dark" d="M444 160L460 163L458 172L442 169Z" />
      <Part id="coolant" scene={scene}>
        <path class="coolant" d="M439 178L460 183L446 254L424 249Z" />
        <path class="line detail" d="M437 190L457 195M434 203L455 208M432 216L452 221M429 229L450 234M426 242L447 247" />
      </Part>
    </g>
  );
}
