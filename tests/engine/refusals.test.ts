import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { givesOneValue } from "../../src/engine/formula";
import type { Parameter } from "../../src/engine/parameters";
import { Refusal } from "../../src/engine/refusal";

/** The arguments of the worked example, one for each parameter, as the host hands them over. */
function example({ parameters, example: { given } }: WorksheetFunction): unknown[] {
  const handed = asHandedOver(parameters, given);
  return parameters.map((_parameter, i) => handed[i] ?? null);
}

function outcome(definition: WorksheetFunction, given: readonly unknown[]): unknown {
  try {
    return anyCalculator(definition)(...given);
  } catch (refusal) {
    if (refusal instanceof Refusal) return refusal;
    throw refusal;
  }
}

const changed = (definition: WorksheetFunction, place: number, value: unknown): unknown =>
  outcome(
    definition,
    example(definition).map((one, i) => (i === place ? value : one)),
  );

/** One clear sentence: begins with what is wrong, says what to enter, ends once. */
function expectSentence(value: unknown, definition: WorksheetFunction, about: string): void {
  expect(value, about).toBeInstanceOf(Refusal);
  const { sentence, argument } = value as Refusal;
  expect(sentence, about).toMatch(/^(The result|[a-z_]+ )/);
  expect(sentence, about).toMatch(/: (enter|check|round|put) .+[^.]\.$/);
  expect(sentence, about).not.toMatch(/undefined|NaN|object|null|\bin in\b| {2}|\.\./);
  const known = [...definition.parameters.map(({ id }) => id), "result"];
  expect(known, about).toContain(argument);
}

type Cell = readonly [id: string, parameter: Parameter, definition: WorksheetFunction, place: number];
const every: readonly Cell[] = catalogue.flatMap((definition) =>
  definition.parameters.map((parameter, place): Cell => [
    `${definition.id} ${parameter.id}`,
    parameter,
    definition,
    place,
  ]),
);
const taking = (...takes: Parameter["takes"][]) =>
  every.filter(([, parameter]) => takes.includes(parameter.takes));
const scalars = taking("number");

describe("a blank", () => {
  const blanks = [null, undefined, "", [[null]], [[""]]];

  test.each(taking("number", "text"))(
    "%s gets one answer however the host says it",
    (about, _p, definition, place) => {
      const answers = [...blanks, 0].map((blank) => {
        const answer = changed(definition, place, blank);
        // The words may say that it is blank or that it is 0; whether it is refused may not differ.
        return answer instanceof Refusal ? `refused: ${answer.argument}` : answer;
      });
      expect(new Set(answers.map((answer) => JSON.stringify(answer))).size, about).toBe(1);
    },
  );

  test.each(scalars)("%s means what the vocabulary says", (about, parameter, definition, place) => {
    const answer = changed(definition, place, null);
    if (parameter.blank === "refused") expectSentence(answer, definition, about);
    else if (parameter.blank === "nothing to cover") {
      expect(
        (givesOneValue(definition) ? [answer] : (answer as unknown[][]).flat()).every((cell) => cell === 0),
      ).toBe(true);
    } else if (parameter.blank === "zero") expect(answer, about).toEqual(changed(definition, place, 0));
    else
      expect(answer, about).toEqual(
        changed(definition, place, parameter.takes === "number" ? (parameter.default ?? 0) : 0),
      );
  });

  test.each(
    catalogue
      .filter(({ parameters }) => parameters.some(({ blank }) => blank === "nothing to cover"))
      .map((definition) => [definition.id, definition] as const),
  )("row of %s costs nothing", (_id, definition) => {
    for (const blank of [null, undefined, 0]) {
      const given = definition.parameters.map((parameter) => {
        if (parameter.takes === "range") return [[null], [null]];
        return blank;
      });
      const covers = definition.parameters.find((parameter) => parameter.blank === "nothing to cover");
      const answer = outcome(definition, given);
      // Where the divisor is an area, the amount alone decides.
      expect(covers).toBeDefined();
      expect(
        (Array.isArray(answer) ? (answer as unknown[][]).flat() : [answer]).every((cell) => cell === 0),
      ).toBe(true);
    }
  });
});

describe("what is no number", () => {
  test.each(scalars)("%s is refused with one sentence", (about, _parameter, definition, place) => {
    for (const value of ["seven", true, false, Number.NaN, Infinity, -Infinity, [[1, 2]], [[1], [2]]]) {
      expectSentence(changed(definition, place, value), definition, `${about} ${String(value)}`);
    }
  });
});

describe("a number outside its limits", () => {
  test.each(scalars)("%s is refused, and says its limits", (about, parameter, definition, place) => {
    if (parameter.takes !== "number") throw new Error("only numbers are listed");
    const { above, least, below, most, whole, default: standIn } = parameter;
    const outside = [
      above === undefined ? [] : [above - 1, -1e300],
      least === undefined ? [] : [least - 1, -1e300],
      below === undefined ? [] : [below, below + 1, 1e300],
      most === undefined ? [] : [most + 1, 1e300],
      whole === true ? [1.5] : [],
    ].flat();
    expect(outside.length, about).toBeGreaterThan(0);
    for (const value of outside) {
      if (value === 0 && standIn !== undefined) continue;
      expectSentence(changed(definition, place, value), definition, `${about} ${value}`);
    }
  });

  test.each(scalars.filter(([, { kind }]) => kind === "share"))(
    "%s of 95 hints at 9500 %",
    (about, _p, definition, place) => {
      const refusal = changed(definition, place, 95);
      expectSentence(refusal, definition, about);
      expect((refusal as Refusal).sentence).toContain("95 would mean 9500 %");
    },
  );

  test.each(scalars)(
    "%s enormous or tiny gives a finite number or a sentence",
    (about, _parameter, definition, place) => {
      for (const value of [1e308, 1e200, 1e15, 1e-15, 1e-200, 1e-308, 5e-324]) {
        const answer = changed(definition, place, value);
        if (answer instanceof Refusal) expectSentence(answer, definition, about);
        else {
          const cells = Array.isArray(answer) ? (answer as unknown[][]).flat() : [answer];
          expect(
            cells.every((cell) => Number.isFinite(cell)),
            `${about} ${value}`,
          ).toBe(true);
        }
      }
    },
  );
});

describe("a text", () => {
  test.each(taking("text"))(
    "%s that is not one of its choices is refused",
    (about, _parameter, definition, place) => {
      for (const value of ["furlong", 7, true, [["us", "us"]], Number.NaN]) {
        const answer = changed(definition, place, value);
        expectSentence(answer, definition, `${about} ${String(value)}`);
      }
    },
  );

  test.each(
    taking("text").filter(([, parameter]) => parameter.takes === "text" && parameter.choices !== undefined),
  )("%s is read in any letter case", (_about, parameter, definition, place) => {
    const choices = parameter.takes === "text" ? (parameter.choices ?? []) : [];
    for (const choice of choices) {
      const answer = changed(definition, place, choice);
      expect(changed(definition, place, ` ${choice.toUpperCase()} `)).toEqual(answer);
      expect(changed(definition, place, choice.toLowerCase())).toEqual(answer);
    }
  });
});

describe("a range", () => {
  const ranges = taking("range");

  test.each(ranges)(
    "%s of the wrong shape or with something else in it is refused",
    (about, parameter, definition, place) => {
      if (parameter.takes !== "range") throw new Error("only ranges are listed");
      const ordered = parameter.columns !== undefined || parameter.series === true;
      const inCell = (value: unknown) =>
        Array.from({ length: 5 }, (_row, i) =>
          Array.from({ length: parameter.columns ?? 1 }, () => (i === 2 ? value : i + 1)),
        );
      for (const value of ["seven", true, Number.NaN, Infinity]) {
        expectSentence(changed(definition, place, inCell(value)), definition, `${about} ${String(value)}`);
      }
      const wrong = ordered
        ? [
            [
              [1, 2, 3],
              [4, 5, 6],
              [7, 8, 9],
            ],
            inCell(null),
            [[1]],
          ]
        : [];
      for (const value of wrong)
        expectSentence(changed(definition, place, value), definition, `${about} ${JSON.stringify(value)}`);
      if (parameter.least === 0 || parameter.above === 0) {
        expectSentence(changed(definition, place, inCell(-1)), definition, about);
      }
    },
  );

  test.each(ranges)(
    "%s ignores blanks at its end where it is measured in order",
    (_about, parameter, definition, place) => {
      if (parameter.takes !== "range" || (parameter.columns === undefined && parameter.series !== true))
        return;
      const given = example(definition)[place] as unknown[][];
      const blanks = given[0]?.map(() => null) ?? [];
      expect(changed(definition, place, [...given, blanks, blanks])).toEqual(
        changed(definition, place, given),
      );
    },
  );
});

describe("sentences about several arguments", () => {
  const refused = (id: string, ...given: readonly unknown[]): string => {
    const definition = catalogue.find((one) => one.id === id);
    const answer = definition === undefined ? undefined : outcome(definition, given);
    return answer instanceof Refusal ? answer.sentence : `answered ${JSON.stringify(answer)}`;
  };

  test.each([
    [
      "a bow tie",
      refused("POLYGON_AREA", [
        [0, 0],
        [10, 10],
        [10, 0],
        [0, 10],
      ]),
      "corners cross: the side from corner 1 to corner 2 meets the side from corner 3 to corner 4; enter them in order round the outline.",
    ],
    [
      "a strip wider than the lawn",
      refused("EDGE_AREA", 40, 300),
      "width is so wide that the strip would cover more ground than any shape of that perimeter holds: check that width is in inches (cm) and perimeter in feet (meters).",
    ],
    [
      "more lives than seeds",
      refused("PURE_LIVE_SEED", 0.9, 0.9, 0.2),
      "dormant and germination add up to more than 1: enter both as the tag prints them, dormant seed not counted in germination.",
    ],
    [
      "more rejected than opened",
      refused("SCREEN_LOSS", [[5]], [[6]]),
      "screened_out is more than was opened: enter both in the same unit, over the same jobs.",
    ],
    [
      "a mix that is not whole",
      refused("SEED_MIX", 1000, 4, [[0.6], [0.3]]),
      "shares do not add up to 1: enter the share of each component by weight, so that all of them make 1 (100 %) to within 0.005.",
    ],
    [
      "live seed of another shape",
      refused("SEED_MIX", 1000, 4, [[0.6], [0.4]], [[0.8, 0.9]]),
      "pure_live_seed has 1 by 2 cells where shares has 2 by 1: enter one share for all components, or a range of the shape of shares.",
    ],
    [
      "a grade above 100",
      refused("GRADE", "60-40-10", "N"),
      "grade 60-40-10 adds up to 110: enter the three figures on the bag, which add up to at most 100.",
    ],
    [
      "temperatures the wrong way round",
      refused("REFERENCE_ET", 80, 60, 42, 200),
      "t_max is below t_min: enter the lowest temperature of the day first, then the highest, both in °F (metric: °C).",
    ],
    [
      "a pack without a price",
      refused("PACK_MIX", 100, [[50], [20]], [[30], [null]]),
      "prices has no price for the pack of 20: enter the price of every size, or leave prices out.",
    ],
    [
      "a thimble for a tank",
      refused("TANK_LOADS", 1e6, 8, 40, 0.1),
      "tank is so small that the area takes more than 1000 loads: check that area is in ft² (m²), spray_volume in US gal per acre (L per ha) and tank in US gal (L).",
    ],
    [
      "dry cans",
      refused("CATCH_UNIFORMITY", [[0], [0], [0], [0]]),
      "catches holds no water at all: enter the depth or volume in each can of the test.",
    ],
    [
      "a gap between offsets",
      refused("OFFSET_AREA", [[1], [2], [null], [3]], 10),
      "offsets has a blank in place 3, before its last figure: enter the offsets in order along the line, the ones at both ends included, 0 or more.",
    ],
    [
      "a latitude beyond the pole",
      refused("GEO_AREA", [
        [91, 0],
        [40, 1],
        [41, 1],
      ]),
      "points row 1, column 1 is 91: enter the points in order round the outline, one a row, latitude and longitude in degrees, from -90 to 90.",
    ],
    [
      "an unknown function",
      refused("EACH_ROW", "SEED", []),
      'function is the text "SEED", which names no function that gives one value: enter the name of one as text, such as "SEED_WEIGHT".',
    ],
  ])("%s", (_story, said, wanted) => {
    expect(said).toBe(wanted);
  });
});
