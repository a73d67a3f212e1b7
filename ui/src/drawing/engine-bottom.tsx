import { Part, type Scene } from "./part";
import type { Spot } from "./layout";

type Places = Record<string, Spot>;

/** Crankcases with the gearbox, and what shows when the clutch cover is off. */
export function Cases({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <Part id="cases" scene={scene} at={at.cases}>
      <path class="metal" d="M-54 -58L54 -58L62 -34C74 -10 72 18 58 40C44 58 24 64 0 64L-76 66C-118 64 -138 40 -140 10C-142 -16 -132 -38 -112 -44L-84 -48Z" />
      <path class="line detail" d="M-54 -50L50 -50M-30 56L-78 56C-110 54 -126 36 -128 10" />
      <circle class="steel detail" cx="20" cy="6" r="30" />
      <circle class="line detail" cx="20" cy="6" r="22" />
      <circle class="dark detail" cx="20" cy="6" r="7" />
      <circle class="dark detail" cx="-122" cy="-18" r="9" />
      <path class="dots detail" d="M-46 -44h0M46 -44h0M58 -14h0M50 40h0M8 54h0M-108 50h0M-130 14h0" />
      <g class="detail" transform="translate(-72 4)">
        <circle class="dark" r="40" />
        <circle class="steel" r="33" />
        <circle class="line" r="24" />
        <path class="thin" d="M0 -33V-24M0 33V24M-33 0H-24M33 0H24M-23 -23L-17 -17M23 23L17 17M-23 23L-17 17M23 -23L17 -17" />
        <circle class="metal" r="11" />
        <path class="dots" d="M0 -17h0M15 9h0M-15 9h0" />
      </g>
    </Part>
  );
}

export function ClutchCover({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <Part id="clutch-cover" scene={scene} at={at["clutch-cover"]}>
      <path class="metal-2" d="M-2 -48C24 -50 40 -36 52 -28C64 -20 70 -4 66 14C62 34 46 40 30 42C20 48 8 52 -4 50C-32 48 -48 28 -48 2C-48 -26 -28 -46 -2 -48Z" />
      <circle class="line detail" cx="-2" cy="1" r="36" />
      <path class="line detail" d="M-20 -12H16M-22 1H18M-20 14H16" />
      <path class="dots detail" d="M-34 -26h0M-2 -43h0M36 -32h0M60 2h0M34 36h0M-2 45h0M-36 26h0" />
    </Part>
  );
}

export function KickStarter() {
  return (
    <g>
      <path class="lever" d="M-100 6C-112 -22 -104 -58 -94 -86" />
      <path class="dark" d="M-104 -96L-80 -92L-82 -82L-106 -86Z" />
      <circle class="steel" cx="-100" cy="6" r="9" />
    </g>
  );
}

/** Cover, flywheel and stator sit one behind the other on the far side: they are laid out in a row. */
export function FarSide({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <g>
      <Part id="stator" scene={scene} at={at.stator}>
        <circle class="metal" r="27" />
        <path class="copper detail" d="M0 -22V-12M0 22V12M-22 0H-12M22 0H12M-15.5 -15.5L-8.5 -8.5M15.5 15.5L8.5 8.5M-15.5 15.5L-8.5 8.5M15.5 -15.5L8.5 -8.5" />
        <circle class="dark detail" r="7" />
        <path class="hose detail" d="M-24 12C-38 20 -48 14 -58 20" />
      </Part>
      <Part id="flywheel" scene={scene} at={at.flywheel}>
        <circle class="dark" r="32" />
        <circle class="steel detail" r="24" />
        <path class="hole detail" d="M0 -18A5 5 0 1 1 0 -17.9ZM15 9A5 5 0 1 1 15 9.1ZM-15 9A5 5 0 1 1 -15 9.100Z" />
        <circle class="metal detail" r="7" />
        <rect class="steel" x="24" y="-12" width="9" height="9" transform="rotate(14)" />
      </Part>
      <Part id="flywheel-cover" scene={scene} at={at["flywheel-cover"]}>
        <path class="metal-2" d="M0 -36C20 -36 34 -22 36 -2C46 0 48 14 36 18C30 30 16 36 0 36C-20 36 -36 20 -36 0C-36 -20 -20 -36 0 -36Z" />
        <circle class="line detail" r="25" />
        <path class="dots detail" d="M0 -31h0M-27 -15h0M-27 15h0M0 31h0M27 -15h0" />
      </Part>
    </g>
  );
}
