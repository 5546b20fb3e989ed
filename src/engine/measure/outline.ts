import type { Matrix } from "../parameters";
import { Refusal } from "../refusal";
import type { Pair, Point } from "./meeting-sides";
import { meet, meetingSides } from "./meeting-sides";

/** No site has as many; an outline of so many is worked out in under a second. */
export const mostCorners = 50_000;

const same = (a: Point, b: Point): boolean => a.x === b.x && a.y === b.y;

/** Corners with their row numbers as the sheet shows them, repeats of the one before left out. */
function distinctCorners(corners: Matrix): readonly (Point & { row: number })[] {
  const points = corners.map(([x, y], i) => ({ x: x ?? 0, y: y ?? 0, row: i + 1 }));
  return points.filter((point, i) => {
    const next = points[(i + 1) % points.length];
    return next === undefined || !same(point, next);
  });
}

/** Pairs of sides that are looked at for a better one to name. */
const mostLooks = 250_000;

/** The pair that comes first round the outline, as a person would find it; of a long outline the one that is known. */
function firstPair(corners: readonly Point[], known: Pair): Pair {
  let looks = 0;
  for (let one = 0; one <= known[0]; one++) {
    const end = one === 0 ? corners.length - 1 : corners.length;
    for (let other = one + 2; other < end; other++) {
      if (meet(corners, one, other)) return [one, other];
      if (++looks > mostLooks) return known;
    }
  }
  return known;
}

/** An outline that crosses or touches itself encloses no one area: refused, naming the corners of the two sides. */
export function refuseCrossing(argument: string, corners: Matrix): void {
  const points = distinctCorners(corners);
  const known = meetingSides(points);
  if (known === undefined) return;
  const row = (corner: number) => points[corner % points.length]?.row ?? 0;
  const name = (side: number) => `the side from corner ${row(side)} to corner ${row(side + 1)}`;
  const [one, other] = firstPair(points, known);
  throw new Refusal(
    argument,
    `${argument} cross: ${name(one)} meets ${name(other)}; enter them in order round the outline.`,
  );
}
