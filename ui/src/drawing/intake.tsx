import { Part, type Scene } from "./part";
import type { Spot } from "./layout";

type Places = Record<string, Spot>;

function Carburettor({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <g>
      <Part id="float-bowl-plug" scene={scene} at={at["float-bowl-plug"]}>
        <path class="steel" d="M-10 -8H10V4H-10Z" />
        <path class="metal" d="M-6 4H6V10H-6Z" />
        <path class="line detail" d="M-4 -8V4M4 -8V4" />
      </Part>
      <Part id="float-bowl" scene={scene} at={at["float-bowl"]}>
        <path class="metal" d="M-25 -15H25V2C25 12 16 16 8 16H-8C-18 16 -25 10 -25 2Z" />
        <path class="line detail" d="M-25 -8H25" />
        <path class="dots detail" d="M-19 -11h0M19 -11h0" />
      </Part>
      <Part id="carburettor" scene={scene} at={at.carburettor}>
        <path class="metal-2" d="M-18 -24H18V-18L27 -20V14L22 16V24H-22V16L-29 18V-18L-18 -16Z" />
        <path class="line detail" d="M-18 -12H18M-27 0H-10" />
        <circle class="steel detail" cx="2" cy="6" r="6" />
        <circle class="steel detail" cx="-16" cy="14" r="4" />
      </Part>
      <Part id="carburettor-top" scene={scene} at={at["carburettor-top"]}>
        <path class="hose" d="M0 -22C0 -32 10 -36 22 -38" />
        <path class="dark" d="M-18 4V-8C-18 -16 -10 -18 -4 -22H4C10 -18 18 -16 18 -8V4Z" />
        <path class="steel" d="M-12 4H12V16H-12Z" />
        <path class="thin detail" d="M0 16V26M-18 -3H18" />
      </Part>
    </g>
  );
}

function ThrottleBody({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <g>
      <Part id="throttle-body" scene={scene} at={at["throttle-body"]}>
        <path class="steel" d="M4 -36H16V-18H4Z" />
        <path class="metal-2" d="M-28 -20H27V20H-28Z" />
        <circle class="line detail" r="15" />
        <path class="thin detail" d="M-11 -10L11 10" />
        <rect class="dark detail" x="-12" y="16" width="26" height="14" rx="3" />
        <path class="line detail" d="M4 -28H16" />
      </Part>
      {at["fuel-pump"] && (
        <Part id="fuel-pump" scene={scene} at={at["fuel-pump"]}>
          <path class="hose" d="M0 24C0 32 10 30 10 36" />
          <path class="dark" d="M-24 12H24V22H-24Z" />
          <rect class="metal" x="-13" y="-24" width="26" height="36" rx="4" />
          <path class="line detail" d="M-13 -14H13M-13 2H13" />
          <path class="foam" d="M-20 -24H-13V6H-20Z" />
        </Part>
      )}
    </g>
  );
}

export function Intake({ scene, at }: { scene: Scene; at: Places }) {
  return (
    <g>
      {at["air-filter"] && (
        <Part id="air-filter" scene={scene} at={at["air-filter"]}>
          <path class="foam" d="M-22 20C-26 0 -18 -24 0 -24C18 -24 26 0 22 20Z" />
          <path class="thin detail" d="M-18 12L10 -18M-8 18L18 -10M-18 -4L8 18M-10 -16L20 12" />
          <path class="dark" d="M-24 18H24V26H-24Z" />
        </Part>
      )}
      <Part id="air-boot" scene={scene} at={at["air-boot"]}>
        <path class="dark" d="M-24 -30C-10 -28 0 -20 22 -18V18C0 20 -10 28 -24 30Z" />
        <path class="fold detail" d="M-14 -26V26M-4 -22V22M6 -19V19" />
        <path class="steel detail" d="M15 -20H21V20H15Z" />
      </Part>
      {scene.traits.has("reed-valve") && (
        <Part id="reed-cage" scene={scene} at={at["reed-cage"]}>
          <path class="metal" d="M-12 -26H-4V26H-12Z" />
          <path class="steel" d="M-4 -20L16 -3V3L-4 20Z" />
          <path class="line detail" d="M-4 -11L12 -2M-4 11L12 2" />
          <path class="dots detail" d="M-8 -21h0M-8 21h0" />
        </Part>
      )}
      {at["intake-body"] && (
        <g transform={`translate(${at["intake-body"].x} ${at["intake-body"].y})`}>
          <path class="dark" d="M-14 -17H4L10 -25H15V25H10L4 17H-14Z" />
        </g>
      )}
      <Part id="intake-body" scene={scene} at={at["intake-body"]}>
        <path class="steel" d="M-11 -20H1V20H-11Z" />
        <path class="metal" d="M-10 20H0V30H-10Z" />
        <path class="line detail" d="M-9 25H-1M-5 -20V20" />
      </Part>
      {scene.traits.has("injection") ? (
        <ThrottleBody scene={scene} at={at} />
      ) : (
        <Carburettor scene={scene} at={at} />
      )}
    </g>
  );
}
