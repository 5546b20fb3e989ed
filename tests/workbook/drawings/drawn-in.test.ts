import { polygonArea, polygonContains } from "d3-polygon";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { drawnIn } from "../../../src/workbook/drawings/drawn-in";
import type { Ring } from "../../../src/workbook/drawings/geometry";
import { atOnce } from "../../../src/workbook/host/progress";

type Pair = [number, number];

/** How far a point is from a side, by the foot of the perpendicular or the nearer end. */
function distanceTo([x, y]: Pair, [ax, ay]: Pair, [bx, by]: Pair): number {
  const [dx, dy] = [bx - ax, by - ay];
  const part = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy);
  const at = part < 0 ? 0 : part > 1 ? 1 : part;
  return Math.hypot(x - (ax + at * dx), y - (ay + at * dy));
}

/** Whether every corner of a ring drawn in lies inside and far enough from every side, each held against all. */
function fits(ring: Ring, inner: Ring, distance: number): boolean {
  const corners = ring.map(([x, y]): Pair => [x, y]);
  return inner.every(([x, y]) => {
    const point: Pair = [x, y];
    return (
      polygonContains(corners, point) &&
      corners.every(
        (from, i) => distanceTo(point, from, corners[(i + 1) % corners.length] ?? from) >= distance * 0.99,
      )
    );
  });
}

/** Where sides of a ring moved in by a distance meet, each corner from its two sides by Cramer's rule. */
function movedCorners(ring: Ring, distance: number): Ring {
  const corners = ring.map(([x, y]): Pair => [x, y]);
  const inward = Math.sign(polygonArea(corners));
  const lines = corners.map(([ax, ay], i) => {
    const [bx, by] = corners[(i + 1) % corners.length] ?? [ax, ay];
    const long = Math.hypot(bx - ax, by - ay);
    const [nx, ny] = [((by - ay) / long) * inward, (-(bx - ax) / long) * inward];
    return { nx, ny, c: nx * ax + ny * ay + distance };
  });
  return lines.map((line, i) => {
    const before = lines[(i + lines.length - 1) % lines.length] ?? line;
    const turn = before.nx * line.ny - before.ny * line.nx;
    return [
      (before.c * line.ny - before.ny * line.c) / turn,
      (before.nx * line.c - before.c * line.nx) / turn,
    ] as const;
  });
}

/** Rings round a middle, whose corners lie now farther out and now nearer. */
const ring = fc
  .tuple(
    fc.array(fc.double({ min: 20, max: 100, noNaN: true }), { minLength: 3, maxLength: 40 }),
    fc.double({ min: 0, max: 6, noNaN: true }),
    fc.boolean(),
  )
  .map(([radii, turn, isBackward]): Ring => {
    const points = radii.map((radius, i) => {
      const angle = turn + (2 * Math.PI * i) / radii.length;
      return [1000 + radius * Math.cos(angle), -400 + radius * Math.sin(angle)] as const;
    });
    return isBackward ? points.reverse() : points;
  });

/** Along straight sides the corners of a ring, as a survey with a tape has them. */
const comb = fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 20 }).map((teeth): Ring => [
  [0, 0],
  [teeth.length * 10, 0],
  ...teeth
    .map((high, i): readonly Pair[] => [
      [i * 10, 20 + high],
      [i * 10 + 5, 20 + high],
      [i * 10 + 5, 20],
      [i * 10 + 10, 20],
    ])
    .reverse()
    .flatMap((tooth) => [...tooth].reverse()),
]);

describe("a ring drawn in", () => {
  let drawn = 0;
  let refused = 0;

  test.each([
    ["round a middle", ring],
    ["with teeth", comb],
  ])("%s is as it is where each corner is held against every side", (_, rings) => {
    fc.assert(
      fc.property(rings, fc.double({ min: 0.05, max: 15, noNaN: true }), (outer, distance) => {
        const inner = atOnce(drawnIn(outer, distance));
        const simple = movedCorners(outer, distance);
        if (inner === undefined) {
          refused++;
          expect(fits(outer, simple, distance * (1 + 1e-6))).toBe(false);
        } else {
          drawn++;
          expect(fits(outer, inner, distance * (1 - 1e-6))).toBe(true);
        }
      }),
      { numRuns: 1500, seed: 7 },
    );
  });

  test("both came about often", () => {
    expect(Math.min(drawn, refused)).toBeGreaterThan(100);
  });

  const circle = (corners: number): Ring =>
    Array.from({ length: corners }, (_, i) => {
      const angle = (2 * Math.PI * i) / corners;
      return [100 * Math.cos(angle), 100 * Math.sin(angle)] as const;
    });

  test("a round one is a circle again", () => {
    const inner = atOnce(drawnIn(circle(10_000), 3)) ?? [];
    expect(inner).toHaveLength(10_000);
    for (const [x, y] of inner) expect(Math.hypot(x, y)).toBeCloseTo(97, 4);
  });

  /** It gives way after so many looks at sides, so that this tells how much it had to do. */
  const pauses = (outer: Ring, distance: number): number => {
    const work = drawnIn(outer, distance);
    let count = 0;
    while (work.next().done !== true) count++;
    return count;
  };

  test.each([0.1, 3, 40])(
    "ten times the corners are little more than ten times the work: %d in",
    (distance) => {
      const [few, many] = [pauses(circle(10_000), distance), pauses(circle(100_000), distance)];
      expect(few).toBeLessThan(60);
      expect(many).toBeLessThan(15 * Math.max(few, 5));
    },
  );
});
