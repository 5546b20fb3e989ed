/** Random arguments for every function, made from the definitions of its parameters. */
import fc from "fast-check";
import { catalogue } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { givesOneValue } from "../../src/engine/formula";
import type { Limits, Parameter } from "../../src/engine/parameters";
import { knownGrasses } from "../../src/engine/seed/seed-rates";

export type Given = readonly unknown[];

const rounded = (value: number): number => Number(value.toPrecision(6));

/** A number within limits, of a size that a job has. */
function numberWithin({ above, least, below, most, whole }: Limits): fc.Arbitrary<number> {
  const floor = least ?? above ?? -1e5;
  const ceiling = most ?? below ?? 1e5;
  if (whole === true) return fc.integer({ min: Math.max(floor, -1000), max: Math.min(ceiling, 40) });
  const bounded = (most ?? below) !== undefined;
  const share = fc.integer({ min: 1, max: 999 }).map((part) => part / 1000);
  if (bounded) return share.map((part) => rounded(floor + part * (ceiling - floor)));
  return fc.integer({ min: -200, max: 450 }).map((power) => rounded(10 ** (power / 100)));
}

const figures = (limits: Limits, least: number, most: number) =>
  fc.array(numberWithin(limits), { minLength: least, maxLength: most });

const column = (values: readonly unknown[]): unknown[][] => values.map((value) => [value]);
const trailing = fc.integer({ min: 0, max: 2 }).map((many) => Array.from({ length: many }, () => null));

const mostlyGiven = (parameter: Parameter, value: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> =>
  parameter.blank === "default" ? fc.oneof({ weight: 3, arbitrary: value }, fc.constant(null)) : value;

/** A value that a parameter accepts by itself. */
export function acceptable(parameter: Parameter): fc.Arbitrary<unknown> {
  switch (parameter.takes) {
    case "number":
      return mostlyGiven(parameter, numberWithin(parameter));
    case "text":
      return mostlyGiven(
        parameter,
        fc.constantFrom(...(parameter.choices ?? ["10-18-22", "24-6-6", "0-46-0", "12-4-8"])),
      );
    case "range":
      return fc
        .tuple(figures(parameter, Math.max(2, parameter.leastRows ?? 1), 9), trailing)
        .map(([values, blanks]) => column([...values, ...blanks]));
    case "repeating":
      return fc.array(figures(parameter, 1, 4).map(column), { minLength: 0, maxLength: 3 });
    case "columns":
      return fc.constant([]);
  }
}

/** A star round a centre never crosses itself. */
const outline = (reach: number, centre: fc.Arbitrary<readonly [number, number]>) =>
  fc
    .tuple(
      centre,
      fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 9 }),
      trailing,
      fc.boolean(),
    )
    .map(([[x, y], radii, blanks, backwards]) => {
      const corners = radii.map((radius, i) => {
        const angle = (2 * Math.PI * i) / radii.length;
        return [x + reach * radius * Math.cos(angle), y + reach * radius * Math.sin(angle)].map((value) =>
          Number(value.toFixed(6)),
        );
      });
      return [...(backwards ? corners.reverse() : corners), ...blanks.map(() => [null, null])];
    });

const anywhere = (most: number): fc.Arbitrary<readonly [number, number]> =>
  fc.tuple(fc.integer({ min: -most, max: most }), fc.integer({ min: -most, max: most }));

const units = fc.constantFrom<unknown>(null, "us", "metric", "Metric");

/** Functions whose arguments must fit one another. */
const fitting: Readonly<Record<string, fc.Arbitrary<Given>>> = {
  POLYGON_AREA: outline(80, anywhere(500)).map((corners) => [corners]),
  PERIMETER: outline(80, anywhere(500)).map((corners) => [corners]),
  GEO_AREA: fc.tuple(outline(0.001, anywhere(80)), units),
  GEO_PERIMETER: fc.tuple(outline(0.001, anywhere(80)), units),
  SEED_RATE: fc.tuple(
    fc.constantFrom(...knownGrasses),
    fc.constantFrom("new", "overseed", "NEW"),
    fc.constantFrom<unknown>(null, "low", "mid", "high"),
    units,
  ),
  SCREEN_LOSS: figures({ least: 0 }, 2, 6).chain((opened) =>
    fc
      .array(fc.integer({ min: 0, max: 99 }), {
        minLength: opened.length,
        maxLength: opened.length,
      })
      .map((shares) => [
        column(opened),
        column(opened.map((value, i) => rounded((value * (shares[i] ?? 0)) / 100))),
      ]),
  ),
  SEED_MIX: fc
    .tuple(
      numberWithin({ least: 0 }),
      numberWithin({ above: 0 }),
      fc.array(fc.integer({ min: 1, max: 100 }), { minLength: 2, maxLength: 5 }),
      fc.array(fc.double({ min: 0.3, max: 1, noNaN: true }), { minLength: 5, maxLength: 5 }),
      fc.integer({ min: 0, max: 2 }),
      units,
    )
    .map(([area, rate, parts, live, way, system]) => {
      const total = parts.reduce((sum, part) => sum + part, 0);
      const shares = column(parts.map((part) => rounded(part / total)));
      const lives = column(live.slice(0, parts.length).map(rounded));
      return [area, rate, shares, way === 0 ? null : way === 1 ? rounded(live[0] ?? 1) : lives, system];
    }),
  TANK_LOADS: fc
    .tuple(
      numberWithin({ above: 0 }),
      fc.double({ min: 0.2, max: 9.9, noNaN: true }),
      numberWithin({ above: 0 }),
      fc.integer({ min: 10, max: 200 }),
      units,
    )
    .map(([labelRate, loads, tank, sprayVolume, system]) => {
      const area = (loads * tank * (system === "us" || system === null ? 43_560 : 10_000)) / sprayVolume;
      return [rounded(area), labelRate, sprayVolume, tank, system];
    }),
  REFERENCE_ET: fc
    .tuple(
      fc.integer({ min: -20, max: 30 }),
      fc.integer({ min: 0, max: 25 }),
      fc.integer({ min: -890, max: 890 }).map((tenths) => tenths / 10),
      fc.integer({ min: 1, max: 366 }),
      units,
    )
    .map(([low, more, latitude, day, system]) => [low, low + more, rounded(latitude), day, system]),
  PACK_MIX: fc
    .tuple(
      numberWithin({ least: 0 }),
      fc.array(fc.integer({ min: 1, max: 60 }), { minLength: 1, maxLength: 6 }),
      fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 6, maxLength: 6 }),
      fc.boolean(),
    )
    .map(([need, sizes, prices, priced]) => [
      need,
      column(sizes),
      priced ? column(prices.slice(0, sizes.length).map((cents) => cents / 100)) : null,
    ]),
};

const eachRow = (definition: WorksheetFunction): fc.Arbitrary<Given> =>
  definition.form !== "each row"
    ? fc.constant([])
    : fc
        .constantFrom(...definition.functions.filter(({ form }) => form === "formula"))
        .chain((inner) =>
          fc
            .tuple(argumentsOf(inner), fc.integer({ min: 1, max: 5 }))
            .map(([given, height]) => [
              inner.id,
              ...given
                .flatMap((value, i) =>
                  inner.parameters[i]?.takes === "repeating" ? (value as unknown[]) : [value],
                )
                .map((value) =>
                  Array.isArray(value)
                    ? [[(value as unknown[][])[0]?.[0] ?? null]]
                    : column(Array.from({ length: height }, () => value)),
                ),
            ]),
        );

/** Arguments that a function accepts nearly always, one for each parameter. */
export function argumentsOf(definition: WorksheetFunction): fc.Arbitrary<Given> {
  if (definition.form === "each row") {
    return eachRow(definition).map(([name, ...columns]) => [name, columns]);
  }
  return fitting[definition.id] ?? fc.tuple(...definition.parameters.map(acceptable));
}

/** What nobody should enter, and some things that anybody might. */
export const strange: fc.Arbitrary<unknown> = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    undefined,
    "",
    0,
    -0,
    -1,
    95,
    1e308,
    1e-308,
    Number.NaN,
    Infinity,
    -Infinity,
    true,
  ),
  fc.constantFrom<unknown>(
    "text",
    " metric ",
    "10-18-22",
    "tall fescue",
    "SEED_WEIGHT",
    "us",
    "low",
    "simpson",
  ),
  fc.double(),
  fc.array(fc.array(fc.oneof(fc.double(), fc.constantFrom<unknown>(null, "", "x", false, 1, 2))), {
    maxLength: 4,
  }),
  fc.constantFrom<unknown>({}, [], [[]], [[null]], [[[1]]], Symbol.iterator.toString()),
);

/** Arguments of which some are strange, too few or too many. */
export const strangeArguments = (definition: WorksheetFunction): fc.Arbitrary<Given> =>
  fc.oneof(
    fc.array(strange, { maxLength: 8 }),
    fc
      .tuple(argumentsOf(definition), fc.nat({ max: 7 }), strange)
      .map(([given, place, value]) => given.map((one, i) => (i === place % given.length ? value : one))),
  );

export const oneValueFunctions = catalogue.filter(givesOneValue);
