/** A ring drawn in by a distance all round, such as the strip that is walked along its edge. */
import { polygonArea } from "d3-polygon";
import type { Pieces } from "../host";
import type { Ring, Side } from "./geometry";
import { length, pairs, sidesOf } from "./geometry";
import type { Point } from "./svg";

/**
 * The sides of a ring, each run of them in a box, half of the run in a box of its own and so on: a point is held against
 * the few sides near it, however many there are.
 */
class BoxedSides {
  /** How many boxes and sides were looked at so far. */
  looks = 0;
  private readonly boxes: Float64Array;
  private readonly first: number;

  constructor(private readonly sides: readonly Side[]) {
    this.first = 2 ** Math.ceil(Math.log2(Math.max(1, sides.length)));
    this.boxes = new Float64Array(8 * this.first);
    for (let box = 2 * this.first - 1; box > 0; box--) this.enclose(box);
  }

  private enclose(box: number): void {
    const { boxes, first, sides } = this;
    const side = box < first ? undefined : sides[box - first];
    const [left, right] = [8 * box, 8 * box + 4];
    for (let i = 0; i < 4; i++) {
      // The least x and y, then the greatest; a box of nothing has them the other way round.
      const isLeast = i < 2;
      const nothing = isLeast ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
      const [a, b] =
        box < first
          ? [boxes[left + i] ?? nothing, boxes[right + i] ?? nothing]
          : [side?.[0][i % 2] ?? nothing, side?.[1][i % 2] ?? nothing];
      boxes[4 * box + i] = isLeast ? Math.min(a, b) : Math.max(a, b);
    }
  }

  private edge(box: number, which: 0 | 1 | 2 | 3): number {
    return this.boxes[4 * box + which] ?? Number.NaN;
  }

  /** Whether any side comes nearer to a point than so much. */
  isNear(point: Point, distance: number, box = 1): boolean {
    this.looks++;
    const [x, y] = point;
    const across = Math.max(0, this.edge(box, 0) - x, x - this.edge(box, 2));
    const along = Math.max(0, this.edge(box, 1) - y, y - this.edge(box, 3));
    // A hair's breadth more, since the distance from a side is rounded too.
    if (Math.hypot(across, along) > distance * 1.000001) return false;
    if (box < this.first)
      return this.isNear(point, distance, 2 * box) || this.isNear(point, distance, 2 * box + 1);
    const side = this.sides[box - this.first];
    return side !== undefined && away(point, side) < distance;
  }

  /** Whether a point lies inside: a line from it to the right meets an odd number of sides. */
  isInside(point: Point, box = 1): boolean {
    this.looks++;
    const [x, y] = point;
    if (!(y >= this.edge(box, 1) && y <= this.edge(box, 3) && x <= this.edge(box, 2))) return false;
    if (box >= this.first) return meets(point, this.sides[box - this.first]);
    // Sides one after the other that all lie to the right are met as often as a line between their ends.
    if (x < this.edge(box, 0)) return this.isPassed(y, box);
    return this.isInside(point, 2 * box) !== this.isInside(point, 2 * box + 1);
  }

  private isPassed(y: number, box: number): boolean {
    let [from, to] = [box, box];
    while (from < this.first) [from, to] = [2 * from, 2 * to + 1];
    const [begin, end] = [from - this.first, Math.min(to - this.first, this.sides.length - 1)];
    const [start, stop] = [this.sides[begin]?.[0], this.sides[end]?.[1]];
    return start !== undefined && stop !== undefined && start[1] > y !== stop[1] > y;
  }
}

const meets = ([x, y]: Point, side: Side | undefined): boolean => {
  if (side === undefined) return false;
  const [[ax, ay], [bx, by]] = side;
  return by > y !== ay > y && x < ((ax - bx) * (y - by)) / (ay - by) + bx;
};

/** How far a point is from a side. */
function away([x, y]: Point, [[ax, ay], [bx, by]]: Side): number {
  const square = (bx - ax) ** 2 + (by - ay) ** 2;
  const part = Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / square));
  return Math.hypot(x - ax - part * (bx - ax), y - ay - part * (by - ay));
}

/** Boxes that are looked at between two pauses, in a few milliseconds. */
const looksAtATime = 50_000;

/** The corners of the ring drawn in, where its sides moved inward meet. */
function movedIn(sides: readonly Side[], distance: number, inward: number): readonly Point[] {
  const shifted = sides.map(([a, b]) => {
    const long = length(a, b);
    const normal: Point = [((b[1] - a[1]) / long) * inward, (-(b[0] - a[0]) / long) * inward];
    return {
      a: [a[0] + normal[0] * distance, a[1] + normal[1] * distance] as const,
      along: [(b[0] - a[0]) / long, (b[1] - a[1]) / long] as const,
    };
  });
  return shifted.map(({ a, along }, i): Point => {
    const before = shifted[(i + shifted.length - 1) % shifted.length];
    if (before === undefined) return a;
    const turn = before.along[0] * along[1] - before.along[1] * along[0];
    if (Math.abs(turn) < 1e-9) return a;
    const [dx, dy] = [a[0] - before.a[0], a[1] - before.a[1]];
    const far = (dx * along[1] - dy * along[0]) / turn;
    return [before.a[0] + before.along[0] * far, before.a[1] + before.along[1] * far];
  });
}

/** A ring drawn in by a distance, or nothing where it is too narrow for that. */
export function* drawnIn(ring: Ring, distance: number): Pieces<Ring | undefined> {
  const inward = Math.sign(polygonArea(pairs(ring)));
  const clean = ring.filter((point, i) => length(point, ring[(i + 1) % ring.length] ?? point) > 1e-9);
  const sides = sidesOf(clean);
  const inner = movedIn(sides, distance, inward);
  if (inner.length < 3) return undefined;
  const boxed = new BoxedSides(sides);
  let told = 0;
  for (const [i, point] of inner.entries()) {
    if (boxed.looks - told >= looksAtATime) {
      told = boxed.looks;
      yield i / inner.length;
    }
    if (!boxed.isInside(point) || boxed.isNear(point, distance * 0.99)) return undefined;
  }
  return inner;
}
