import type { Corner } from "./outline";

export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}

/** Mean radius of WGS84, (2a + b) / 3, in metres: near enough for distances across one property. */
const earthRadius = 6_371_008.8;
const radians = Math.PI / 180;

/** The shorter way from one longitude to the next, so that the date line is a line like any other. */
const turn = (from: number, to: number): number => ((((to - from + 180) % 360) + 360) % 360) - 180;

/** Corners as metres east and north of the first, for distances only: areas are taken on the ellipsoid. */
export function onPlane(corners: readonly Corner[]): PlanePoint[] {
  const [first] = corners;
  if (first === undefined) return [];
  const eastward = Math.cos(first[0] * radians) * earthRadius * radians;
  let [, longitude] = first;
  let degreesEast = 0;
  return corners.map(([latitude, next]) => {
    degreesEast += turn(longitude, next);
    longitude = next;
    return { x: degreesEast * eastward, y: (latitude - first[0]) * earthRadius * radians };
  });
}

export const distance = (a: PlanePoint, b: PlanePoint): number => Math.hypot(a.x - b.x, a.y - b.y);
