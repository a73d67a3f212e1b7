// Outlines that would be tiresome to write by hand.

type Point = [x: number, y: number];
type Ring = [x: number, y: number, radius: number];

const fixed = (n: number) => Math.round(n * 10) / 10;
const join = (points: Point[]) => points.map(([x, y]) => `${fixed(x)} ${fixed(y)}`).join("L");

function between(a: number, b: number, c: number, d: number, t: number): number {
  return 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t * t * t);
}

function along(rings: Ring[], steps: number): Ring[] {
  const at = (i: number): Ring => rings[Math.max(0, Math.min(rings.length - 1, i))] as Ring;
  const line: Ring[] = [];
  for (let i = 0; i + 1 < rings.length; i++)
    for (let s = 0; s < steps; s++) {
      const [a, b, c, d] = [at(i - 1), at(i), at(i + 1), at(i + 2)];
      const mix = (k: 0 | 1 | 2) => between(a[k], b[k], c[k], d[k], s / steps);
      line.push([mix(0), mix(1), mix(2)]);
    }
  line.push(at(rings.length - 1));
  return line;
}

function sides(line: Ring[], i: number): [Point, Point] {
  const [before, here, after] = [line[Math.max(0, i - 1)], line[i], line[Math.min(line.length - 1, i + 1)]] as [
    Ring,
    Ring,
    Ring,
  ];
  const [dx, dy] = [after[0] - before[0], after[1] - before[1]];
  const length = Math.hypot(dx, dy) || 1;
  const [nx, ny] = [(-dy / length) * here[2], (dx / length) * here[2]];
  return [
    [here[0] + nx, here[1] + ny],
    [here[0] - nx, here[1] - ny],
  ];
}

/** The outline of a pipe through these rings, and the seams where it is welded. */
export function tube(rings: Ring[], steps = 8): { outline: string; seams: string } {
  const line = along(rings, steps);
  const pairs = line.map((_, i) => sides(line, i));
  const left = pairs.map((pair) => pair[0]);
  const right = pairs.map((pair) => pair[1]).reverse();
  const seams = pairs.filter((_, i) => i % steps === 0).map((pair) => `M${join(pair)}`);
  return { outline: `M${join([...left, ...right])}Z`, seams: seams.slice(1, -1).join("") };
}

/** A ring to be filled by the even-odd rule. */
export function ring(outer: number, inner: number): string {
  const round = (r: number) => `M${r} 0A${r} ${r} 0 1 0 ${-r} 0A${r} ${r} 0 1 0 ${r} 0Z`;
  return round(outer) + round(inner);
}

/** Lines from the hub to the rim, crossed as they are laced. */
export function spokes(hub: number, rim: number, count: number): string {
  const at = (r: number, turn: number) => `${fixed(r * Math.cos(turn))} ${fixed(r * Math.sin(turn))}`;
  let path = "";
  for (let i = 0; i < count; i++) {
    const turn = (i / count) * 2 * Math.PI;
    path += `M${at(hub, turn + (i % 2 ? 0.9 : -0.9))}L${at(rim, turn)}`;
  }
  return path;
}

/** The knobs of a tyre, as blocks standing on its carcass. */
export function knobs(carcass: number, height: number, count: number): string {
  const at = (r: number, turn: number) => `${fixed(r * Math.cos(turn))} ${fixed(r * Math.sin(turn))}`;
  let path = "";
  for (let i = 0; i < count; i++) {
    const turn = (i / count) * 2 * Math.PI;
    const half = (0.3 * 2 * Math.PI) / count;
    const [foot, top] = [carcass - 3, carcass + height];
    path += `M${at(foot, turn - half)}L${at(top, turn - half * 0.8)}L${at(top, turn + half * 0.8)}L${at(foot, turn + half)}Z`;
  }
  return path;
}

/** The coils of a spring or the folds of a rubber boot, from (0, 0) down to (0, length). */
export function coils(width: number, length: number, turns: number): string {
  let path = "";
  for (let i = 0; i <= turns; i++) {
    const y = fixed((length * i) / turns);
    path += `M${-width} ${y}L${width} ${fixed(y - length / turns / 2)}`;
  }
  return path;
}
