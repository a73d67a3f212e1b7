import { touched, type Spot } from "./layout";
import type { Scene } from "./part";
import { partsOf } from "./parts";

interface MarksProps {
  scene: Scene;
  spots: Record<string, Spot>;
  size: number;
}

function spotOf(spots: Record<string, Spot>, id: string): Spot | undefined {
  return spots[id] && (touched[id] ?? spots[id]);
}

/** The number in the order in which parts come off, and what the step is about: an arrow, or a ring round its number. */
export function Badges({ scene, spots, size }: MarksProps) {
  const focus = scene.focus === undefined || scene.now.has(scene.focus) ? undefined : spotOf(spots, scene.focus);
  return (
    <g class="badges">
      {[...scene.now].map(([id, n]) => {
        const spot = spotOf(spots, id);
        return (
          spot && (
            <g key={id} transform={`translate(${spot.x} ${spot.y})`}>
              {scene.focus === id && <circle class="ring" r={size * 1.35} />}
              <circle r={size} />
              <text y={size * 0.42} font-size={size * 1.2}>
                {n}
              </text>
            </g>
          )
        );
      })}
      {focus && (
        <path
          class="pointer"
          transform={`translate(${focus.x} ${focus.y}) scale(${size / 20})`}
          d="M0 6L-16 -18H-6V-36H6V-18H16Z"
        />
      )}
    </g>
  );
}

function state(scene: Scene, id: string): string {
  const n = scene.now.get(id);
  if (scene.off.has(id)) return "off";
  return n === undefined ? "on" : `on, comes off as number ${n}`;
}

/** What a finger or the keyboard finds: larger than the part where the part is small. */
export function Targets({ scene, spots, size }: MarksProps) {
  if (!scene.onPart) return null;
  const tell = scene.onPart;
  return (
    <g>
      {partsOf([...scene.traits]).map(({ id, name }) => {
        const spot = spotOf(spots, id);
        return (
          spot && (
            <g
              key={id}
              class="target"
              role="button"
              tabindex={0}
              aria-label={`${name}: ${state(scene, id)}`}
              onClick={() => tell(id)}
              onKeyDown={(event: KeyboardEvent) => {
                if (event.key !== "Enter" && event.key !== " ") return;
                event.preventDefault();
                tell(id);
              }}
            >
              <rect x={spot.x - size / 2} y={spot.y - size / 2} width={size} height={size} rx={size / 5} />
            </g>
          )
        );
      })}
    </g>
  );
}
