/** The sweep that finds crossing sides, against looking at every pair of them. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { calculator } from "../../src/engine/calculate";
import { functionNamed } from "../../src/engine/catalogue";
import type { Pair, Point, SideOf } from "../../src/engine/measure/meeting-sides";
import { meet, meetingSides, sideOf } from "../../src/engine/measure/meeting-sides";
import { refuseCrossing } from "../../src/engine/measure/outline";
import { Refusal } from "../../src/engine/refusal";

/** The first pair round the outline, by looking at all of them. */
function byPairs(corners: readonly Point[]): Pair | undefined {
  for (let one = 0; one < corners.length; one++)
    for (let other = one + 2; other < corners.length - (one === 0 ? 1 : 0); other++)
      if (meet(corners, one, other)) return [one, other];
  return undefined;
}

const distinct = (points: readonly Point[]): readonly Point[] =>
  points.filter(({ x, y }, i) => {
    const next = points[(i + 1) % points.length];
    return next === undefined || next.x !== x || next.y !== y;
  });

/** What the refusal names, as numbers of corners from 1. */
function named(corners: readonly Point[]): readonly number[] | undefined {
  try {
    refuseCrossing(
      "corners",
      corners.map(({ x, y }) => [x, y]),
    );
    return undefined;
  } catch (refusal) {
    if (!(refusal instanceof Refusal)) throw refusal;
    return Array.from(refusal.sentence.matchAll(/corner (\d+)/g), ([, number]) => Number(number));
  }
}

const sidesTold = (corners: readonly Point[], pair: Pair | undefined): readonly number[] | undefined =>
  pair === undefined ? undefined : pair.flatMap((side) => [side + 1, ((side + 1) % corners.length) + 1]);

const grid = (most: number) =>
  fc.record({ x: fc.integer({ min: 0, max: most }), y: fc.integer({ min: 0, max: most }) });

/** Corners at rising angles round a point: they cross nothing, whatever the radii. */
const round = (count: number, radius: (i: number) => number): Point[] =>
  Array.from({ length: count }, (_one, i) => {
    const angle = (2 * Math.PI * i) / count;
    return { x: radius(i) * Math.cos(angle), y: radius(i) * Math.sin(angle) };
  });

/** Long teeth side by side, turned so that every side lies over every other. */
const comb = (teeth: number): Point[] => {
  const points = Array.from({ length: 2 * teeth }, (_one, i) => ({ x: i, y: i % 2 === 0 ? 0 : 10 * teeth }));
  const closed = [...points, { x: 2 * teeth, y: -teeth }, { x: 0, y: -teeth }];
  return closed.map(({ x, y }) => ({ x: x + y, y: y - x }));
};

describe("sides that meet are found as by looking at every pair", () => {
  test.each([2, 3, 5, 12, 60])("among corners on a grid of %i", (most) => {
    let crossing = 0;
    fc.assert(
      fc.property(fc.array(grid(most), { minLength: 3, maxLength: 3 + 2 * most }), (points) => {
        const corners = distinct(points);
        const pair = byPairs(corners);
        if (pair !== undefined) crossing++;
        expect(meetingSides(corners) !== undefined).toBe(pair !== undefined);
        if (corners.length === points.length) expect(named(corners)).toEqual(sidesTold(corners, pair));
      }),
      { numRuns: 3000, seed: 5000 + most },
    );
    expect(crossing).toBeGreaterThan(100);
  });

  test("among corners round a point, one of them moved", () => {
    let [crossing, sound] = [0, 0];
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 1000 }), { minLength: 4, maxLength: 60 }),
        fc.option(fc.tuple(fc.nat(), fc.integer({ min: -700, max: 700 })), { freq: 2 }),
        fc.boolean(),
        (radii, moved, turned) => {
          const corners = round(radii.length, (i) => radii[i] ?? 1);
          if (turned) corners.reverse();
          const at = (moved?.[0] ?? 0) % corners.length;
          if (moved !== null) corners[at] = { x: moved[1], y: moved[1] / 3 };
          const pair = byPairs(corners);
          if (pair === undefined) sound++;
          else crossing++;
          expect(named(corners)).toEqual(sidesTold(corners, pair));
        },
      ),
      { numRuns: 4000, seed: 5100 },
    );
    expect(Math.min(crossing, sound)).toBeGreaterThan(500);
  });

  test("of a path that lies back upon itself", () => {
    for (const path of ["0 0,9 0,4 0,4 5", "0 0,4 0,9 0,2 0,2 5", "0 0,0 9,0 4,5 4", "0 0,5 5,2 2,2 9"]) {
      const corners = path.split(",").map((corner) => {
        const [x = 0, y = 0] = corner.split(" ").map(Number);
        return { x, y };
      });
      expect(meetingSides(corners) !== undefined, path).toBe(byPairs(corners) !== undefined);
    }
  });
});

describe("the work grows little faster than the outline", () => {
  const looksAt = (corners: readonly Point[]): number => {
    let looks = 0;
    const counting: SideOf = (a, b, c) => {
      looks++;
      return sideOf(a, b, c);
    };
    expect(meetingSides(corners, counting)).toBeUndefined();
    return looks;
  };

  test.each([
    ["a circle", (count: number) => round(count, () => 100)],
    ["a star", (count: number) => round(count, (i) => (i % 2 === 0 ? 100 : 40))],
    ["a comb", (count: number) => comb(count / 2)],
  ])("of %s", (_name, outline) => {
    for (const count of [1_000, 16_000]) {
      const looks = looksAt(outline(count));
      expect(looks).toBeLessThan(6 * count * Math.log2(count));
    }
  });

  test("of a long outline that crosses itself at its end", () => {
    const corners = round(40_000, () => 100);
    corners.push({ x: 0, y: 1 }, { x: 0, y: -200 });
    expect(named(corners)).toHaveLength(4);
  });
});

const answer = (id: string, ...given: readonly unknown[]): number | string => {
  const definition = functionNamed(id);
  if (definition === undefined) throw new Error(`${id} is not in the catalogue`);
  return calculator(definition)(...given);
};
const asRows = (corners: readonly Point[]): number[][] => corners.map(({ x, y }) => [x, y]);

test("40,000 corners round a circle have its area", () => {
  // The regular polygon of n corners: n / 2 × r² × sin(2π / n).
  const area = 20_000 * 100 ** 2 * Math.sin((2 * Math.PI) / 40_000);
  expect(answer("POLYGON_AREA", asRows(round(40_000, () => 100)))).toBeCloseTo(area, 6);
});

test.each(["POLYGON_AREA", "PERIMETER", "GEO_AREA", "GEO_PERIMETER"])(
  "%s refuses more corners than an outline has, blank rows left out",
  (id) => {
    const blank = Array.from({ length: 60_000 }, () => ["", ""]);
    expect(answer(id, [[1, 1], [1, 2], [2, 2], ...blank])).toBeGreaterThan(0);
    const many = asRows(round(50_001, () => 0.1));
    expect(() => answer(id, many)).toThrow(/has more than 50000 filled rows: .*leave out/);
  },
);
