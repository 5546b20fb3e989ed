/**
 * A blank cell of a range arrives as null, as "" or as 0, with nothing to ask which. Whatever it arrives as, the answer is
 * the same or it is refused: never another number.
 */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import { nativeForm } from "../../src/engine/native/form";
import { binding } from "../../src/engine/native/pieces";
import type { WorksheetFunction } from "../../src/engine/formula";
import { Refusal } from "../../src/engine/refusal";
import { argumentsOf } from "../support/arguments";
import { calculated } from "../support/ironcalc";

type Rows = readonly (readonly unknown[])[];

const named = (id: string): WorksheetFunction => {
  const found = functionNamed(id);
  if (found === undefined) throw new Error(`${id} is not in the catalogue`);
  return found;
};

/** The answer, or the sentence of the refusal. */
function said(id: string, ...given: readonly unknown[]): unknown {
  const definition = named(id);
  try {
    return anyCalculator(definition)(...asHandedOver(definition.parameters, given));
  } catch (refusal) {
    if (refusal instanceof Refusal) return refusal.sentence;
    throw refusal;
  }
}

const isRefusal = (answer: unknown): answer is string => typeof answer === "string";

const padded = (rows: Rows, many: number, blank: unknown): Rows => [
  ...rows,
  ...Array.from({ length: many }, () => (rows[0] ?? []).map(() => blank)),
];

/** Twice the area by the formula of the surveyors, cross by cross. */
const shoelace = (rows: readonly (readonly number[])[]): number =>
  Math.abs(
    rows.reduce((sum, [x = 0, y = 0], i) => {
      const [nextX = 0, nextY = 0] = rows[(i + 1) % rows.length] ?? [];
      return sum + x * nextY - nextX * y;
    }, 0),
  ) / 2;

/** A front lawn whose corners all lie away from 0, 0. */
const offOrigin = [
  [20, 10],
  [80, 10],
  [80, 60],
  [40, 70],
  [20, 45],
];
const fromOrigin = offOrigin.map(([x = 0, y = 0]) => [x - 20, y - 10]);

describe("an outline in a longer range", () => {
  test.each([null, "", undefined])("ends where the blanks begin (%j)", (blank) => {
    expect(said("POLYGON_AREA", padded(offOrigin, 5, blank))).toBe(shoelace(offOrigin));
  });

  test.each(["POLYGON_AREA", "PERIMETER"])("%s: off the origin, zeros at its end are refused", (id) => {
    expect(said(id, padded(offOrigin, 5, 0))).toBe(
      "corners ends in 5 rows of zeros, as blank cells may arrive: enter the corners in order round the outline, one a row, " +
        "x and y; end the range at the last of them, and begin with the corner at 0, 0.",
    );
    expect(said(id, padded(offOrigin, 2, 0))).toContain("ends in 2 rows of zeros");
    expect(said(id, padded(offOrigin, 1, 0))).toContain("ends in a row of zeros");
    expect(said(id, padded(offOrigin, 2, -0))).toContain("ends in 2 rows of zeros");
  });

  test.each([1, 2, 5])("from the origin, %i rows of zeros at its end only close it", (many) => {
    expect(said("POLYGON_AREA", padded(fromOrigin, many, 0))).toBe(shoelace(fromOrigin));
    expect(said("PERIMETER", padded(fromOrigin, many, 0))).toBe(said("PERIMETER", fromOrigin));
  });

  test("two corners are no outline, whatever the blanks arrive as", () => {
    const two = [
      [0, 0],
      [60, 0],
    ];
    for (const blank of [null, "", 0])
      expect(said("PERIMETER", padded(two, 4, blank))).toContain("has 2 filled rows");
  });

  test("a half-filled last row is refused", () => {
    expect(said("POLYGON_AREA", [...fromOrigin, [0, null]])).toContain("has a blank in row 6");
    expect(said("POLYGON_AREA", [...fromOrigin, [null, 5]])).toContain("has a blank in row 6");
  });

  test("nothing but zeros is nothing to cover, as blanks are", () => {
    for (const id of ["POLYGON_AREA", "PERIMETER", "GEO_AREA", "GEO_PERIMETER"])
      for (const blank of [null, "", 0]) expect(said(id, padded([[blank, blank]], 5, blank))).toBe(0);
  });

  test("of latitudes and longitudes, zeros at its end are refused", () => {
    const lawn = [
      [42, -93],
      [42, -92.9997],
      [42.0003, -92.9997],
    ];
    for (const id of ["GEO_AREA", "GEO_PERIMETER"]) {
      expect(said(id, padded(lawn, 3, null))).toBe(said(id, lawn));
      expect(said(id, padded(lawn, 3, 0))).toContain("points ends in 3 rows of zeros");
    }
  });
});

describe("figures in order in a longer range", () => {
  const across = (figures: readonly number[]): Rows => [figures];
  const down = (figures: readonly number[]): Rows => figures.map((figure) => [figure]);

  test.each([
    ["down", down],
    ["across", across],
  ] as const)("may end in one 0 along a line (%s)", (_way, laid) => {
    // Trapezoids 10 wide: means of 3.5, 4.5 and 2.5.
    expect(said("OFFSET_AREA", laid([3, 4, 5, 0]), 10)).toBe(35 + 45 + 25);
    expect(said("OFFSET_AREA", laid([3, 4, 5, 0, 0]), 10)).toContain("offsets ends in 2 zeros");
    expect(said("OFFSET_AREA", laid([0, 0, 3, 4]), 10)).toBe(0 + 15 + 35);
  });

  test("may not end in 0 round a centre, where they can begin with it", () => {
    expect(said("RADIAL_AREA", down([10, 12, 11, 9]))).toBeCloseTo(Math.PI * ((100 + 144 + 121 + 81) / 4), 9);
    expect(said("RADIAL_AREA", down([10, 12, 11, 9, 0]))).toContain(
      "radii ends in a 0, as blank cells may arrive",
    );
    expect(said("RADIAL_AREA", down([0, 10, 12, 11, 9]))).toBeCloseTo(
      Math.PI * ((100 + 144 + 121 + 81) / 5),
      9,
    );
  });

  test("may end in one dry can, and two belong first", () => {
    const cans = [5, 6, 7, 4, 6, 5, 7, 8];
    // The lowest quarter of nine is two cans and a quarter of the third.
    const dry = (0 + 4 + 5 / 4) / 2.25 / (48 / 9);
    expect(said("CATCH_UNIFORMITY", down([...cans, 0]))).toBeCloseTo(dry, 12);
    expect(said("CATCH_UNIFORMITY", down([...cans, 0, 0]))).toContain("and enter dry cans before the others");
    // Of ten: two dry ones and half of the 4.
    expect(said("CATCH_UNIFORMITY", down([0, 0, ...cans]))).toBeCloseTo(2 / 2.5 / 4.8, 12);
    expect(said("CATCH_UNIFORMITY", down([0, 0, 0, 0]))).toContain("no water at all");
  });

  test("nothing but zeros is nothing to cover", () => {
    for (const blank of [null, "", 0]) {
      expect(said("OFFSET_AREA", [[blank], [blank], [blank]], 10)).toBe(0);
      expect(said("RADIAL_AREA", [[blank], [blank], [blank]])).toBe(0);
    }
  });
});

test("a pack that is not on sale is none, whatever its blank arrives as", () => {
  const priced = [[30], [15], [5]];
  for (const blank of [null, "", 0]) {
    expect(said("PACK_MIX", 110, [[50], [20], [5], [blank]], [...priced, [blank]])).toEqual([
      [2],
      [0],
      [2],
      [0],
    ]);
    expect(said("PACK_MIX", 110, [[50], [blank], [5]], [[30], [blank], [5]])).toEqual([[2], [0], [2]]);
  }
});

const ranged = catalogue.filter(({ parameters }) =>
  parameters.some(({ takes }) => takes === "range" || takes === "repeating"),
);
const asBlanks = (given: unknown, blank: unknown): unknown =>
  Array.isArray(given) ? given.map((one: unknown) => asBlanks(one, blank)) : given === null ? blank : given;

describe("blanks at the end of every range", () => {
  test.each(ranged.map((definition) => [definition.id, definition] as const))("of %s", (id, definition) => {
    const repeating = definition.parameters.findIndex(({ takes }) => takes === "repeating");
    const lengthened = (given: readonly unknown[], many: number, blank: unknown) =>
      given.map((value, i) => {
        const { takes } = definition.parameters[i] ?? {};
        if (takes === "range" && Array.isArray(value))
          return padded(asBlanks(value, blank) as Rows, many, blank);
        if (i === repeating) return (value as Rows[]).map((one) => padded(one, many, blank));
        return value;
      });
    let answered = 0;
    fc.assert(
      fc.property(argumentsOf(definition), fc.integer({ min: 2, max: 6 }), (given, many) => {
        const answers = [null, "", undefined, 0].map((blank) => {
          try {
            return JSON.stringify(anyCalculator(definition)(...lengthened(given, many, blank)));
          } catch (refusal) {
            if (refusal instanceof Refusal) return `refused: ${refusal.argument}`;
            throw refusal;
          }
        });
        const [asNull, ...others] = answers;
        const asZero = others.pop();
        expect(others.every((answer) => answer === asNull)).toBe(true);
        if (asZero?.startsWith("refused") !== true) {
          expect(asZero).toBe(asNull);
          answered += 1;
        }
      }),
      { numRuns: 200, seed: 11 },
    );
    // Refusing everything would keep the promise as well; sums and mixes have no reason to.
    if (["SEASON_ROOM", "SCREEN_LOSS", "PACK_MIX", "SEED_MIX"].includes(id))
      expect(answered).toBeGreaterThan(150);
  });
});

describe("blanks in any place of a range", () => {
  test.each(ranged.map((definition) => [definition.id, definition] as const))(
    "of %s are the same as empty texts",
    (_id, definition) => {
      const holed = (value: unknown, holes: readonly number[], blank: unknown): unknown => {
        let place = 0;
        const walk = (one: unknown): unknown =>
          Array.isArray(one) ? one.map(walk) : holes.includes(place++) ? blank : one;
        return Array.isArray(value) ? walk(value) : value;
      };
      fc.assert(
        fc.property(
          argumentsOf(definition),
          fc.array(fc.nat({ max: 12 }), { maxLength: 3 }),
          (given, holes) => {
            const answers = [null, "", undefined].map((blank) => {
              try {
                return JSON.stringify(
                  anyCalculator(definition)(...given.map((value) => holed(value, holes, blank))),
                );
              } catch (refusal) {
                if (refusal instanceof Refusal) return `refused: ${refusal.argument}`;
                throw refusal;
              }
            });
            expect(new Set(answers).size).toBe(1);
          },
        ),
        { numRuns: 200, seed: 12 },
      );
    },
  );
});

describe("the native form in another engine", () => {
  const cell = (text: string) => ({ text, binding: binding.whole });
  const kinds: readonly (readonly [id: string, rows: Rows, more: readonly string[]])[] = [
    ["POLYGON_AREA", offOrigin, []],
    ["POLYGON_AREA", fromOrigin, []],
    ["POLYGON_AREA", fromOrigin.slice(0, 2), []],
    ["PERIMETER", offOrigin, []],
    ["PERIMETER", [...offOrigin].reverse(), []],
    // Only trapezoids: that engine takes MOD of an array for one number.
    ["OFFSET_AREA", [[3], [4], [5]], ["10"]],
    ["OFFSET_AREA", [[0], [3]], ["10"]],
    ["RADIAL_AREA", [[10], [12], [11]], []],
    ["RADIAL_AREA", [[10], [0], [11], [9]], []],
    ["CATCH_UNIFORMITY", [[5], [6], [7], [4], [6]], []],
    ["CATCH_UNIFORMITY", [[0], [0], [7], [4], [6]], []],
  ];
  const ends = [null, 0].flatMap((blank) => [0, 1, 2, 3].map((many) => [blank, many] as const));

  test.each(
    kinds.flatMap(([id, rows, more]) =>
      ends.map(([blank, many]) => [id, padded(rows, many, blank), more] as const),
    ),
  )("%s of %j says what the function says", (id, rows, more) => {
    const place = `A1:${rows[0]?.length === 1 ? "A" : "B"}${rows.length}`;
    const literals = more.map((text) => ({
      ...cell(text),
      literal: text.startsWith('"') ? text.slice(1, -1) : Number(text),
    }));
    const native = calculated(
      rows as (number | null)[][],
      nativeForm(named(id), [cell(place), ...literals]).text,
    );
    const ours = said(id, rows, ...literals.map(({ literal }) => literal));
    if (isRefusal(ours)) expect(native).toBe("#N/A");
    else expect(native).toBeCloseTo(ours as number, 6);
  });
});
