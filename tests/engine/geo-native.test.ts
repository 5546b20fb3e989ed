import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { geoArea } from "../../src/engine/measure/geo-area";
import { geoAreaByFormula, geoPerimeterByFormula } from "../../src/engine/measure/geo-native";
import { geoPerimeter } from "../../src/engine/measure/geo-perimeter";
import type { NativeArgument } from "../../src/engine/native/pieces";
import { nativeForm } from "../../src/engine/native/form";
import { binding, leftOut } from "../../src/engine/native/pieces";
import { numbers } from "../../src/engine/numbers";
import type { Matrix } from "../../src/engine/parameters";
import { beyondLimits } from "../../src/workbook/formulas/formula-limits";
import { recalculateInIronCalc } from "../support/ironcalc";
import type { CellContent, CellValue } from "../support/libreoffice";
import { recalculateFormulas } from "../support/libreoffice";

const both = [
  { definition: geoArea, form: geoAreaByFormula },
  { definition: geoPerimeter, form: geoPerimeterByFormula },
];
const metric = { result: { operation: "over", by: 1 } } as const;
/** The form's own number, without a spreadsheet. */
const plainly = (form: (typeof both)[number]["form"], points: Matrix): number =>
  form.body(numbers, metric, points);
const geodesic = (
  definition: (typeof both)[number]["definition"],
  points: Matrix,
  units = "metric",
): number => Number(anyCalculator(definition)(points, units));

/** A star never crosses itself; so many metres from side to side at the most, either way round. */
const outlines = (least: number, most: number, furthest = 65): fc.Arbitrary<Matrix> =>
  fc
    .tuple(
      fc.double({ min: -furthest + 0.05, max: furthest - 0.05, noNaN: true }),
      fc.double({ min: -179, max: 179, noNaN: true }),
      fc.double({ min: Math.log(least), max: Math.log(most), noNaN: true }),
      fc.array(fc.double({ min: 0.4, max: 1, noNaN: true }), { minLength: 3, maxLength: 40 }),
      fc.double({ min: 0, max: 6, noNaN: true }),
      fc.boolean(),
    )
    .map(([lat, lon, size, radii, turn, backwards]) => {
      const degrees = Math.exp(size) / 2 / 111_320;
      const points = radii.map((radius, i) => {
        const angle = turn + (2 * Math.PI * i) / radii.length;
        return [
          lat + degrees * radius * Math.sin(angle),
          lon + (degrees * radius * Math.cos(angle)) / Math.cos((lat * Math.PI) / 180),
        ].map((value) => Number(value.toFixed(9)));
      });
      return backwards ? points.reverse() : points;
    });

describe("the approximations", () => {
  test.each([
    ["a lawn of 20 to 200 m", 20, 200],
    ["ground of 200 m to 2 km", 200, 2000],
    ["ground of 2 to 4.9 km", 2000, 4900],
  ])("stay within their tolerance on 2,000 outlines: %s", (_story, least, most) => {
    const largest = both.map(() => 0);
    fc.assert(
      fc.property(outlines(least, most), (points) => {
        both.forEach(({ definition, form }, i) => {
          const wanted = geodesic(definition, points);
          const difference = Math.abs(plainly(form, points) - wanted) / wanted;
          largest[i] = Math.max(largest[i] ?? 0, difference);
          expect(difference).toBeLessThan(form.tolerance);
        });
      }),
      { numRuns: 2000, seed: 31 },
    );
    console.log(`area within ${largest[0]?.toExponential(1)}, length within ${largest[1]?.toExponential(1)}`);
  });

  test("are no figure on wider ground", () => {
    fc.assert(
      fc.property(outlines(12_600, 60_000), (points) => {
        for (const { form } of both) expect(plainly(form, points)).toBeNaN();
      }),
      { numRuns: 500, seed: 32 },
    );
  });
});

/** Outlines one beside another, two columns each, and below them both native forms. */
const rows = 50;
const reference = (text: string): NativeArgument => ({ text, binding: binding.whole });
const letters = (n: number): string =>
  (n < 26 ? "" : letters(Math.floor(n / 26) - 1)) + String.fromCharCode(65 + (n % 26));

interface Laid {
  readonly points: Matrix | readonly (readonly unknown[])[];
  readonly units?: string;
}

const cellsOf = (laid: readonly Laid[]): readonly CellContent[] =>
  laid.flatMap(({ points, units }, i) => {
    const [left, right] = [letters(2 * i), letters(2 * i + 1)];
    const range = reference(`${left}1:${right}${rows - 2}`);
    const given = [range, units === undefined ? leftOut : { ...reference(`"${units}"`), literal: units }];
    const forms = both.map(({ definition }, j) => ({
      sheet: "S",
      address: `${left}${rows + j}`,
      content: `=${nativeForm(definition, given).text}`,
    }));
    const cells = points.flatMap((row, r) =>
      row.flatMap((content, c) =>
        content === null
          ? []
          : [{ sheet: "S", address: `${c === 0 ? left : right}${r + 1}`, content: content as number }],
      ),
    );
    return [...cells, ...forms];
  });

test("LibreOffice and the second engine give them the same, from ranges that end in blanks", async () => {
  const laid = fc
    .sample(fc.tuple(outlines(20, 4900), fc.constantFrom("us", "metric")), { numRuns: 120, seed: 33 })
    .map(([points, units]) => ({ points, units }));
  const cells = cellsOf(laid);
  const engines = { LibreOffice: await recalculateFormulas(cells), IronCalc: recalculateInIronCalc(cells) };
  for (const [engine, values] of Object.entries(engines)) {
    const largest = both.map(() => 0);
    laid.forEach(({ points, units }, i) =>
      both.forEach(({ definition, form }, j) => {
        const wanted = geodesic(definition, points, units);
        const difference = Math.abs(Number(values.get("S")?.[rows - 1 + j]?.[2 * i]) - wanted) / wanted;
        largest[j] = Math.max(largest[j] ?? 0, difference);
        const told =
          difference < form.tolerance
            ? ""
            : `${definition.id} ${JSON.stringify(points)} ${String(values.get("S")?.[rows - 1 + j]?.[2 * i])} not ${wanted}`;
        expect([engine, told]).toEqual([engine, ""]);
      }),
    );
    console.log(
      `${engine}: area within ${largest[0]?.toExponential(1)}, length within ${largest[1]?.toExponential(1)}`,
    );
  }
}, 60_000);

const square = (lat: number, lon: number, side = 0.001): Matrix => [
  [lat, lon],
  [lat, lon + side],
  [lat + side, lon + side],
  [lat + side, lon],
];

const hostile: readonly (readonly [story: string, points: Laid["points"], gives: "figure" | "none" | 0])[] = [
  ["the first point repeated at the end", [...square(42, -93), [42, -93]], "figure"],
  ["points of no length between them", [...square(42, -93), [42.001, -93], [42.001, -93]], "figure"],
  ["on the equator and the meridian of Greenwich", square(-0.0005, -0.0005), "figure"],
  ["south and east", square(-37.8, 144.9), "figure"],
  ["beyond 180 degrees counted on", square(51.9, 180.2), "figure"],
  [
    "across the date line, its longitudes of both signs",
    [
      [51, 179.9995],
      [51, -179.9995],
      [51.001, -179.9995],
      [51.001, 179.9995],
    ],
    "none",
  ],
  ["across the date line, counted on", square(51, 179.9995), "figure"],
  [
    "six kilometres from south to north",
    [
      [42, -93],
      [42, -92.99],
      [42.054, -92.99],
    ],
    "none",
  ],
  [
    "six kilometres from west to east",
    [
      [42, -93],
      [42, -92.927],
      [42.01, -92.99],
    ],
    "none",
  ],
  ["latitude and longitude changed about", square(-93, 42), "none"],
  ["near the pole", square(66, 20), "none"],
  ["near the other pole", square(-66, 20), "none"],
  ["a longitude of no globe", square(42, 400), "none"],
  ["a text among the points", [...square(42, -93), ["north", -93]], "none"],
  ["a gap among the points", [[42, -93], [null, null], ...square(42.001, -93)], "none"],
  ["half a point", [...square(42, -93), [42.0005, null]], "none"],
  [
    "two points",
    [
      [42, -93],
      [42.001, -93],
    ],
    "none",
  ],
  ["no points", [], 0],
];

test("hostile outlines are the function's figure, no figure, or nothing to cover", async () => {
  const cells = cellsOf(hostile.map(([, points]) => ({ points, units: "metric" })));
  const engines = { LibreOffice: await recalculateFormulas(cells), IronCalc: recalculateInIronCalc(cells) };
  for (const [engine, values] of Object.entries(engines)) {
    hostile.forEach(([story, points, gives], i) => {
      both.forEach(({ definition, form }, j) => {
        const shown: CellValue = values.get("S")?.[rows - 1 + j]?.[2 * i] ?? null;
        if (gives === "none")
          return expect([engine, story, String(shown).charAt(0)]).toEqual([engine, story, "#"]);
        if (gives === 0) return expect([story, shown]).toEqual([story, 0]);
        const wanted = geodesic(definition, points as Matrix);
        return expect([story, Math.abs(Number(shown) - wanted) / wanted < form.tolerance]).toEqual([
          story,
          true,
        ]);
      });
    });
  }
}, 60_000);

describe("their text", () => {
  test.each(both)("of $definition.id has room in a cell, and says how near it is", ({ definition }) => {
    const { text, told } = nativeForm(definition, [
      reference("'Site and its outlines'!$A$10:$B$400"),
      leftOut,
    ]);
    expect(beyondLimits(`=${text}`)).toBeUndefined();
    expect(text.length).toBeLessThan(4000);
    expect(told).toMatch(/within (2|0\.04) millionths .* 5 km each way/);
  });

  test("takes the unit system from a cell", () => {
    const { text } = nativeForm(geoArea, [reference("A1:B9"), reference("C1")]);
    expect(text).toContain('IF(C1="metric",1,');
  });
});
