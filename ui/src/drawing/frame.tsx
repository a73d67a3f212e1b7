import { coils } from "./tube";

const spring = coils(13, 74, 7);

/** What stays when everything else is off: frame, shock absorber. */
export function Frame() {
  return (
    <g>
      <path class="tail-tube" d="M372 158L176 150M302 250L190 156" />
      <path class="frame-tube" d="M440 128C410 128 372 146 348 172C328 194 312 226 305 262" />
      <path class="frame-tube" d="M447 150C438 200 420 268 404 318C400 334 392 344 376 346L330 348C312 348 306 338 304 320L302 262" />
      <path class="frame-tube thin-tube" d="M442 168L372 172" />
      <path class="metal" d="M428 92L442 86L460 146L446 154Z" />
      <g transform="translate(318 186) rotate(9)">
        <rect class="steel" x="-6" y="-14" width="12" height="34" rx="3" />
        <rect class="metal" x="-5" y="66" width="10" height="34" />
        <path class="spring" d={spring} />
        <circle class="dark" cx="0" cy="-12" r="5" />
        <circle class="dark" cx="0" cy="100" r="5" />
      </g>
    </g>
  );
}

/** In front of the engine: swing arm, foot peg, brake pedal. */
export function SwingArm() {
  return (
    <g>
      <path class="plastic-2" d="M288 266C276 272 268 290 262 300L292 300Z" />
      <path class="metal" d="M302 278C310 282 312 304 302 310C288 312 272 308 256 306L152 316L112 316C104 314 102 300 110 297L152 294L252 278C270 272 286 272 302 278Z" />
      <path class="line" d="M156 305L256 290L286 288" />
      <rect class="dark" x="106" y="298" width="34" height="16" rx="3" />
      <circle class="steel" cx="124" cy="306" r="8" />
      <path class="dark" d="M142 272L168 266L174 288L150 294Z" />
      <path class="frame-plate" d="M288 262C296 250 308 250 314 258L318 280C320 300 318 316 310 332C304 340 296 338 292 330L288 306C284 292 284 274 288 262Z" />
      <circle class="steel" cx="300" cy="293" r="9" />
      <circle class="dark" cx="300" cy="293" r="3.5" />
      <path class="dark" d="M292 326L326 324L328 333L294 336Z" />
      <path class="lever" d="M300 340C324 352 352 346 376 338" />
      <path class="dark" d="M368 331L388 330L389 338L370 340Z" />
    </g>
  );
}

/** Rear mudguard under the tail, with a lamp on a bike with lights. */
export function Tail({ lights }: { lights: boolean }) {
  return (
    <g>
      <path class="plastic" d="M232 148C190 140 130 124 58 112C50 111 48 117 54 121C84 138 132 160 186 176L226 182Z" />
      <path class="line" d="M82 122C130 138 170 150 214 160" />
      {lights && <path class="lamp" d="M60 121L84 133L80 144L62 134Z" />}
    </g>
  );
}
