import type { Matrix } from "../parameters";
import { Refusal } from "../refusal";

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Which side of the line from a to b the point c lies on: above 0 on the left, below 0 on the right, 0 on it. */
const side = (a: Point, b: Point, c: Point): number => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);

const between = (a: Point, b: Point, c: Point): boolean =>
  Math.min(a.x, b.x) <= c.x &&
  c.x <= Math.max(a.x, b.x) &&
  Math.min(a.y, b.y) <= c.y &&
  c.y <= Math.max(a.y, b.y);

const same = (a: Point, b: Point): boolean => a.x === b.x && a.y === b.y;

/** Whether two sides cross or touch anywhere. */
function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  const [abc, abd, cda, cdb] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (
    (abc === 0 && between(a, b, c)) ||
    (abd === 0 && between(a, b, d)) ||
    (cda === 0 && between(c, d, a)) ||
    (cdb === 0 && between(c, d, b))
  );
}

/** Corners with their row numbers as the sheet shows them, repeats of the one before left out. */
function distinctCorners(corners: Matrix): readonly (Point & { row: number })[] {
  const points = corners.map(([x, y], i) => ({ x: x ?? 0, y: y ?? 0, row: i + 1 }));
  return points.filter((point, i) => {
    const next = points[(i + 1) % points.length];
    return next === undefined || !same(point, next);
  });
}

/** An outline that crosses or touches itself encloses no one area: refused, naming the corners of the two sides. */
export function refuseCrossing(argument: string, corners: Matrix): void {
  const points = distinctCorners(corners);
  const sides = points.map((from, i) => ({ from, to: points[(i + 1) % points.length] ?? from }));
  for (const [i, one] of sides.entries()) {
    for (const other of sides.slice(i + 2)) {
      const neighbours = i === 0 && other === sides[sides.length - 1];
      if (!neighbours && meet(one.from, one.to, other.from, other.to)) {
        const name = ({ from, to }: typeof one) => `the side from corner ${from.row} to corner ${to.row}`;
        throw new Refusal(
          argument,
          `${argument} cross: ${name(one)} meets ${name(other)}; enter them in order round the outline.`,
        );
      }
    }
  }
}
