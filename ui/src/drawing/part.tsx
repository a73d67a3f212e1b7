import type { ComponentChildren } from "preact";

/** What every part of the drawing is told. */
export interface Scene {
  traits: Set<string>;
  off: Set<string>;
  now: Map<string, number>; // what must come off -> its place in the order
  focus?: string | undefined;
  onPart?: ((id: string) => void) | undefined;
}

interface PartProps {
  id: string;
  scene: Scene;
  at?: { x: number; y: number } | undefined;
  children: ComponentChildren;
}

/** One part that can come off: its shapes, marked by how it stands. */
export function Part({ id, scene, at, children }: PartProps) {
  const marks = ["part"];
  if (scene.off.has(id)) marks.push("is-off");
  if (scene.now.has(id)) marks.push("is-now");
  if (scene.focus === id) marks.push("is-focus");
  return (
    <g
      class={marks.join(" ")}
      data-part={id}
      transform={at && `translate(${at.x} ${at.y})`}
      onClick={scene.onPart && (() => scene.onPart?.(id))}
    >
      {children}
    </g>
  );
}
