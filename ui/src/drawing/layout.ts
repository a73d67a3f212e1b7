// Where parts of the engine sit on the bike (from the crankshaft, upright), where they lie when the engine is laid out
// for the eye and the finger, and where marks and fingers find the large ones on the bike.

export interface Spot {
  x: number;
  y: number;
}

type Spots = Record<string, Spot>;

export function fitted(four: boolean): Spots {
  const intake = four ? { x: 22, y: -158 } : { x: 0, y: -90 };
  const back = (x: number, y = 0): Spot => ({ x: intake.x + x, y: intake.y + y });
  return {
    cases: { x: 0, y: 0 },
    "clutch-cover": { x: -72, y: 4 },
    cylinder: { x: 0, y: four ? -93 : -104 },
    head: { x: 0, y: four ? -161 : -170 },
    camshaft: { x: 0, y: -202 },
    "cam-cover": { x: 0, y: -211 },
    plug: { x: 0, y: four ? -246 : -210 },
    "exhaust-valve-cover": { x: 34, y: -96 },
    "reed-cage": back(-72),
    "intake-body": back(-93),
    carburettor: back(-128),
    "carburettor-top": back(-128, -42),
    "float-bowl": back(-128, 38),
    "float-bowl-plug": back(-128, 58),
    "throttle-body": back(-128),
    "air-boot": back(-172),
  };
}

/** In a field of 400 by 450. Neighbours are 57 apart at least: a finger's width on a phone. */
export function laidOut(four: boolean): Spots {
  const intake = four ? 140 : 200;
  return {
    cases: { x: 288, y: four ? 300 : 292 },
    "clutch-cover": { x: 210, y: 298 },
    cylinder: { x: 288, y: four ? 208 : 172 },
    head: { x: 288, y: four ? 137 : 94 },
    camshaft: { x: 288, y: 82 },
    "cam-cover": { x: 288, y: 25 },
    plug: { x: four ? 368 : 288, y: four ? 66 : 34 },
    "exhaust-valve-cover": { x: 370, y: 172 },
    "reed-cage": { x: 203, y: intake },
    "intake-body": { x: four ? 168 : 145, y: intake },
    carburettor: { x: 87, y: intake },
    "carburettor-top": { x: 87, y: intake - 60 },
    "float-bowl": { x: 87, y: intake + 57 },
    "float-bowl-plug": { x: 87, y: intake + 112 },
    "throttle-body": { x: 87, y: intake },
    "fuel-pump": { x: 87, y: intake - 72 },
    "air-boot": { x: 30, y: intake },
    "air-filter": { x: 30, y: intake - 72 },
    stator: { x: 138, y: 405 },
    flywheel: { x: 220, y: 405 },
    "flywheel-cover": { x: 312, y: 405 },
  };
}

/** Fingers find the crank end of the cases, which the clutch cover leaves free. */
export const touched: Spots = { cases: { x: 316, y: 304 } };

/** Where marks stand on the bike. */
export const onBike: Spots = {
  seat: { x: 236, y: 140 },
  tank: { x: 396, y: 156 },
  "side-panel": { x: 250, y: 196 },
  silencer: { x: 142, y: 196 },
  coolant: { x: 462, y: 246 },
  pipe: { x: 404, y: 282 },
  engine: { x: 340, y: 326 },
};

/** Where a finger finds them: fields of 100, which touch the part and not each other. */
export const fingersOnBike: Spots = {
  seat: { x: 236, y: 104 },
  tank: { x: 358, y: 120 },
  "side-panel": { x: 254, y: 214 },
  silencer: { x: 142, y: 196 },
  coolant: { x: 474, y: 184 },
  pipe: { x: 420, y: 300 },
  engine: { x: 304, y: 330 },
};
