import { Geodesic } from "geographiclib-geodesic";
import simplify from "simplify-js";
import type { Pieces } from "../host";
import type { Corner } from "./outline";
import { onPlane, type PlanePoint } from "./plane";

/** A ring of more corners than this fills a sheet without measuring any better. */
const cornersKept = 200;

/** How much of its area an outline may gain or lose: far less than any way of measuring it is out. */
const areaShift = 0.0005;

/** Metres that a corner may lie off the thinned line: from a careful walker's step off the edge, halved as needed. */
const coarsest = 0.25;
const finest = 0.0001;

/**
 * Douglas-Peucker slows with the square of the length in the worst case, so a long ring is thinned in pieces, and a very
 * long one in smaller ones.
 */
const pieceOf = (corners: number): number => Math.max(100, Math.min(1000, Math.floor(1e7 / corners)));

/** Corners measured between two pauses. */
const cornersAtOnce = 1000;

function* geodesicArea(corners: readonly Corner[]): Pieces<number> {
  const polygon = Geodesic.WGS84.Polygon(false);
  for (const [i, [latitude, longitude]] of corners.entries()) {
    if (i % cornersAtOnce === cornersAtOnce - 1) yield i / corners.length;
    polygon.AddPoint(latitude, longitude);
  }
  return Math.abs(polygon.Compute(false, true).area ?? 0);
}

/** The ring with corners left out that hardly matter, or the ring itself when it is short or none can go. */
export function* thinned(ring: readonly Corner[]): Pieces<readonly Corner[]> {
  const [first] = ring;
  if (first === undefined || ring.length <= cornersKept) return ring;
  const area = yield* geodesicArea(ring);
  const plane = onPlane([...ring, first]);
  const piece = pieceOf(ring.length);
  for (let tolerance = coarsest; tolerance > finest; tolerance /= 2) {
    const kept = new Set<PlanePoint | undefined>();
    for (let at = 0; at < ring.length; at += piece) {
      for (const point of simplify(plane.slice(at, at + piece + 1), tolerance, true)) kept.add(point);
      yield at / ring.length;
    }
    const shorter = ring.filter((_, i) => kept.has(plane[i]));
    if (shorter.length === ring.length) return ring;
    if (Math.abs((yield* geodesicArea(shorter)) - area) < areaShift * area) return shorter;
  }
  return ring;
}
