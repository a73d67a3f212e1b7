import { knobs, ring, spokes } from "./tube";

const tyreKnobs = knobs(90, 8, 34);
const rearKnobs = knobs(88, 9, 30);
const laced = spokes(15, 69, 36);
const rearLaced = spokes(17, 64, 36);

function Wheel({ x, y, rear }: { x: number; y: number; rear?: boolean }) {
  return (
    <g transform={`translate(${x} ${y})`}>
      <path class="tyre" d={rear ? rearKnobs : tyreKnobs} />
      <path class="tyre" fill-rule="evenodd" d={rear ? ring(89, 68) : ring(91, 73)} />
      <circle class="edge" r={rear ? 80 : 83} />
      <path class="metal" fill-rule="evenodd" d={rear ? ring(68, 64) : ring(73, 69)} />
      <path class="thin" d={rear ? rearLaced : laced} />
      <circle class="disc" r={rear ? 30 : 34} />
      <circle class="disc-holes" r={rear ? 30 : 34} />
      <circle class="steel" r="14" />
      <circle class="dark" r="5.5" />
    </g>
  );
}

export function Wheels() {
  return (
    <g>
      <path class="ground" d="M18 404H668" />
      <Wheel x={124} y={306} rear />
      <Wheel x={556} y={305} />
    </g>
  );
}

/** Fork, yokes and front mudguard; the mask carries a lamp on a bike with lights. */
export function FrontEnd({ lights }: { lights: boolean }) {
  return (
    <g>
      <path class="plastic" d="M441 196C452 174 476 160 506 155C560 146 616 152 655 182C660 187 656 192 649 190C610 174 566 170 520 177C492 181 470 190 456 206Z" />
      <path class="line" d="M470 182C510 162 580 158 640 182" />
      <g transform="translate(431 76) rotate(-26.2)">
        <path class="steel" d="M-6 138H6V240H-6Z" />
        <rect class="metal" x="-9" y="2" width="18" height="146" rx="3" />
        <path class="line" d="M-3 8V142" />
        <path class="plastic" d="M-3 150C8 150 14 158 14 172V236C14 244 8 248 0 248H-5Z" />
        <path class="metal" d="M-8 234H8L12 258Q4 266 -8 260Z" />
        <rect class="dark" x="-20" y="18" width="30" height="15" rx="4" />
        <rect class="dark" x="-20" y="76" width="30" height="18" rx="4" />
        <rect class="metal" x="-24" y="26" width="13" height="58" rx="5" />
      </g>
      <circle class="steel" cx="556" cy="305" r="7" />
      <path class="dark" d="M527 281L541 272L552 281L546 300L532 300Z" />
      <path class="hose" d="M414 62C452 54 482 92 492 160C500 206 520 244 534 274" />
      <path class="plate" d={lights ? "M451 84L478 92C492 108 500 132 500 152L478 158L462 132Z" : "M449 82L470 86C482 108 490 132 492 156L472 158L460 128Z"} />
      {lights && <path class="lamp" d="M481 100C493 110 498 126 498 142L484 144C480 130 478 114 481 100Z" />}
    </g>
  );
}

export function Handlebar() {
  return (
    <g>
      <path class="bar" d="M432 72L424 50C420 44 412 44 404 46L372 54" />
      <path class="bar shine" d="M432 72L424 50C420 44 412 44 404 46L372 54" />
      <path class="grip-edge" d="M396 48L360 56" />
      <path class="grip" d="M396 48L360 56" />
      <path class="lever" d="M404 52C398 62 384 68 364 70" />
      <path class="metal" d="M396 40L410 36L416 50L402 55Z" />
      <rect class="dark" x="423" y="62" width="18" height="13" rx="3" transform="rotate(-26 432 68)" />
    </g>
  );
}
