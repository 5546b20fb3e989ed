import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { resultBounds, unitsPosition } from "../../src/engine/formula";
import type { Kind } from "../../src/engine/units";
import { argumentsOf } from "../support/arguments";
import { converted } from "../support/quantities";

const named = (id: string): WorksheetFunction => {
  const found = functionNamed(id);
  if (found === undefined) throw new Error(`${id} is not in the catalogue`);
  return found;
};
const answer = (id: string, ...given: readonly unknown[]) => anyCalculator(named(id))(...given);
const number = (id: string, ...given: readonly unknown[]): number => Number(answer(id, ...given));

const isClose = (one: number, other: number, tolerance = 1e-12): boolean =>
  Math.abs(one - other) <= tolerance * Math.max(Math.abs(one), Math.abs(other), 1e-300);

const inMetric = (value: unknown, kind: Kind): unknown => {
  if (typeof value === "number") return converted(value, kind, "us", "metric");
  return Array.isArray(value) ? value.map((one: unknown) => inMetric(one, kind)) : value;
};

const withUnits = catalogue.filter((definition) => unitsPosition(definition) >= 0);

describe("the metric reading equals the US reading through a units library, to twelve figures", () => {
  // A published figure and a geodesic start from one unit and are only ever converted; the rest compute in both.
  test.each(withUnits.map((definition) => [definition.id, definition] as const))("%s", (_id, definition) => {
    const position = unitsPosition(definition);
    const { parameters, result } = definition;
    fc.assert(
      fc.property(argumentsOf(definition), (given) => {
        const us = given.map((value, i) => (i === position ? "us" : value));
        const metric = us.map((value, i) =>
          i === position ? "metric" : inMetric(value, parameters[i]?.kind ?? "any"),
        );
        const cells = (list: readonly unknown[]) => {
          try {
            const said = anyCalculator(definition)(...list);
            return Array.isArray(said) ? (said as number[][]) : [[said as number]];
          } catch {
            return [];
          }
        };
        const [inUs, other] = [cells(us), cells(metric)];
        expect(other.length).toBe(inUs.length);
        inUs.forEach((row, i) => {
          row.forEach((value, j) => {
            const { kind, counted } = result.columns?.[j] ?? result;
            const wanted = converted(value, kind, "us", "metric");
            const reading = Number(other[i]?.[j]);
            // A remainder keeps the rounding of the whole; temperatures lose a figure to the offset of their scales.
            const whole = Math.max(...inUs.map((cellsOfRow) => Math.abs(Number(cellsOfRow[j]))));
            const near = kind === "rainDepth" ? 1e-11 : 1e-12;
            const slack = near * Math.max(Math.abs(wanted), converted(whole, kind, "us", "metric"));
            // Rounding up may fall either way where the need is whole to twelve figures.
            const steps = counted === "bags" ? 1 : 0;
            expect(
              Math.abs(reading - wanted) <= slack + (steps > 0 && Math.abs(reading - wanted) === 1 ? 1 : 0),
            ).toBe(true);
          });
        });
      }),
      { numRuns: 150, seed: 7 },
    );
  });
});

describe("every answer", () => {
  test.each(catalogue.map((definition) => [definition.id, definition] as const))(
    "of %s lies within its bounds",
    (_id, definition) => {
      const { least = -Infinity, most = Infinity } = resultBounds(definition.result);
      fc.assert(
        fc.property(argumentsOf(definition), (given) => {
          let said: unknown;
          try {
            said = anyCalculator(definition)(...given);
          } catch {
            return;
          }
          for (const cell of Array.isArray(said) ? (said as unknown[][]).flat() : [said]) {
            if (typeof cell !== "number") continue;
            expect(cell).toBeGreaterThanOrEqual(least);
            expect(cell).toBeLessThanOrEqual(most);
          }
        }),
        { numRuns: 150, seed: 11 },
      );
    },
  );

  test("leaves what it was given as it was", () => {
    for (const definition of catalogue) {
      const given = asHandedOver(definition.parameters, definition.example.given);
      const before = JSON.stringify(given);
      anyCalculator(definition)(...given);
      expect(JSON.stringify(given), definition.id).toBe(before);
    }
  });
});

describe("what must hold of the quantities", () => {
  const some = fc.integer({ min: 1, max: 1e6 }).map((value) => value / 100);
  const part = fc.integer({ min: 1, max: 100 }).map((value) => value / 100);

  test("twice the area takes twice the material", () => {
    fc.assert(
      fc.property(some, some, part, (area, rate, share) => {
        const inProportion = [
          ["SEED_WEIGHT", share],
          ["FERTILISER_WEIGHT", share],
          ["LABEL_DOSE"],
          ["TOPDRESS_VOLUME"],
          ["WATER_VOLUME"],
        ] as const;
        for (const [id, ...rest] of inProportion) {
          expect(isClose(number(id, 2 * area, rate, ...rest), 2 * number(id, area, rate, ...rest))).toBe(
            true,
          );
        }
      }),
    );
  });

  test("more loss, less live seed or a larger margin never takes less", () => {
    fc.assert(
      fc.property(some, some, part, part, (area, rate, a, b) => {
        const [low, high] = [Math.min(a, b) * 0.99, Math.max(a, b) * 0.99];
        expect(number("SEED_WEIGHT", area, rate, low)).toBeGreaterThanOrEqual(
          number("SEED_WEIGHT", area, rate, high),
        );
        expect(number("TOPDRESS_BAGS", area, rate, 3, high)).toBeGreaterThanOrEqual(
          number("TOPDRESS_BAGS", area, rate, 3, low),
        );
        expect(number("MARGIN_PRICE", area, high)).toBeGreaterThanOrEqual(number("MARGIN_PRICE", area, low));
      }),
    );
  });

  test("what goes out comes back", () => {
    fc.assert(
      fc.property(some, some, part, (area, rate, share) => {
        const weight = number("FERTILISER_WEIGHT", area, rate, share);
        expect(isClose(number("NUTRIENT_RATE", weight, area, share), rate)).toBe(true);
        expect(isClose(number("BAG_COVERAGE", weight, rate, share), area)).toBe(true);
        const bags = number("TOPDRESS_BAGS", area, rate / 1000, 3, share * 0.9);
        expect(number("TOPDRESS_DEPTH", area, bags, 3, share * 0.9)).toBeGreaterThanOrEqual(
          (rate / 1000) * (1 - 1e-9),
        );
      }),
    );
  });

  test("an outline has one area, whichever way round, wherever it begins and wherever it lies", () => {
    fc.assert(
      fc.property(
        argumentsOf(named("POLYGON_AREA")),
        fc.nat({ max: 8 }),
        fc.integer({ min: -1e6, max: 1e6 }),
        ([given], turn, shift) => {
          const corners = (given as (number | null)[][]).filter((row) => row[0] !== null) as number[][];
          const area = number("POLYGON_AREA", corners);
          const start = turn % corners.length;
          const same = (other: readonly (readonly number[])[], tolerance: number) => {
            expect(isClose(number("POLYGON_AREA", other), area, tolerance)).toBe(true);
          };
          same([...corners].reverse(), 1e-12);
          same([...corners.slice(start), ...corners.slice(0, start)], 1e-12);
          same([...corners, ...corners.slice(0, 1)], 1e-12);
          same(
            corners.map(([x = 0, y = 0]) => [x + shift, y - shift]),
            1e-4,
          );
          same(
            corners.map(([x = 0, y = 0]) => [y, x]),
            1e-12,
          );
        },
      ),
    );
  });

  test("tank loads add up to the whole to the last digit", () => {
    let several = 0;
    fc.assert(
      fc.property(argumentsOf(named("TANK_LOADS")), (given) => {
        const [area, labelRate, sprayVolume, tank, units] = given as [
          number,
          number,
          number,
          number,
          unknown,
        ];
        const loads = answer("TANK_LOADS", ...given) as number[][];
        const total = (column: number) => loads.reduce((sum, row) => sum + (row[column] ?? 0), 0);
        if (loads.length > 1) several += 1;
        expect(total(1)).toBe(area);
        expect(total(3)).toBe(number("LABEL_DOSE", area, labelRate, units));
        expect(
          isClose(
            total(2),
            (area * sprayVolume) / (units === "us" || units === null ? 43_560 : 10_000),
            1e-15,
          ),
        ).toBe(true);
        loads.forEach(([load, ground, water], i) => {
          expect(load).toBe(i + 1);
          expect(Math.min(ground ?? 0, water ?? 0)).toBeGreaterThan(0);
          expect(water).toBeLessThanOrEqual(tank * (1 + 1e-9));
        });
      }),
      { numRuns: 2000, seed: 3 },
    );
    expect(several).toBeGreaterThan(1000);
  });

  test("a seed mix of one component is the seed weight, and the parts make the whole", () => {
    fc.assert(
      fc.property(some, some, part, part, (area, rate, share, live) => {
        expect(answer("SEED_MIX", area, rate, 1, live)).toEqual([[number("SEED_WEIGHT", area, rate, live)]]);
        const [[one = 0] = [], [other = 0] = []] = answer("SEED_MIX", area, rate, [
          [share],
          [1 - share],
        ]) as number[][];
        expect(isClose(one + other, number("SEED_WEIGHT", area, rate))).toBe(true);
      }),
    );
  });

  test("the two rules for radii agree on a circle, and the mean is never above the sectors", () => {
    fc.assert(
      fc.property(fc.array(some, { minLength: 3, maxLength: 16 }), (radii) => {
        const list = [radii];
        const [sectors, mean] = [number("RADIAL_AREA", list), number("RADIAL_AREA", list, "mean")];
        expect(mean).toBeLessThanOrEqual(sectors * (1 + 1e-12));
        const circle = [radii.map(() => radii[0])];
        expect(isClose(number("RADIAL_AREA", circle), number("RADIAL_AREA", circle, "mean"))).toBe(true);
      }),
    );
  });

  test("a geodesic lawn is close to a plane one, and lies across the date line as it lies elsewhere", () => {
    const square = (latitude: number, longitude: number) => [
      [latitude, longitude],
      [latitude, longitude + 0.001],
      [latitude + 0.001, longitude + 0.001],
      [latitude + 0.001, longitude],
    ];
    fc.assert(
      fc.property(
        fc.integer({ min: -60, max: 60 }),
        fc.integer({ min: -179, max: 179 }),
        (latitude, longitude) => {
          const here = number("GEO_AREA", square(latitude, longitude), "metric");
          const across = square(latitude, 179.9995).map(([y, x = 0]) => [y, x > 180 ? x - 360 : x]);
          expect(isClose(number("GEO_AREA", across, "metric"), here, 1e-6)).toBe(true);
          const radians = ((latitude + 0.0005) * Math.PI) / 180;
          // WGS84: a degree of latitude 111,132.954 - 559.822 cos 2p m, of longitude 111,412.84 cos p - 93.5 cos 3p m.
          const north = 111_132.954 - 559.822 * Math.cos(2 * radians) + 1.175 * Math.cos(4 * radians);
          const east =
            111_412.84 * Math.cos(radians) - 93.5 * Math.cos(3 * radians) + 0.118 * Math.cos(5 * radians);
          expect(isClose(here, north * east * 1e-6, 1e-4)).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  });
});
