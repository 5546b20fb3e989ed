/**
 * What the pane and the documentation tell as a function's equation is what it works out: the words of the equation are
 * the parameters, and mathjs works it out with their units.
 */
import fc from "fast-check";
import { evaluate } from "mathjs";
import { describe, expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { unitsPosition } from "../../src/engine/formula";
import type { Parameter } from "../../src/engine/parameters";
import type { UnitSystem } from "../../src/engine/units";
import { unitSystems } from "../../src/engine/units";
import { argumentsOf } from "../support/arguments";
import { inBaseUnits } from "../support/quantities";

const wordsOf = ({ id, about }: Parameter): readonly string[] => [id.replaceAll("_", " "), about];

interface Arithmetic {
  readonly expression: string;
  readonly isRoundedUp: boolean;
}

/** An equation in the parameters p0, p1 and so on; nothing where words are left over. */
function arithmetic({ equation, parameters }: WorksheetFunction): Arithmetic | undefined {
  const named = parameters
    .flatMap((parameter, i) => wordsOf(parameter).map((words) => ({ words, name: `p${i}` })))
    .sort((one, other) => other.words.length - one.words.length);
  const isRoundedUp = equation.endsWith(", rounded up");
  let rest = equation.replace(/, rounded up$/, "").replace(" in acres (ha)", "");
  for (const { words, name } of named) rest = rest.replaceAll(new RegExp(`\\b${words}\\b`, "g"), name);
  const expression = rest
    .replaceAll("×", "*")
    .replaceAll("÷", "/")
    .replaceAll("−", "-")
    .replaceAll("²", "^2");
  return /^[\s\d.()*/^+-]*$/.test(expression.replaceAll(/p\d+/g, ""))
    ? { expression, isRoundedUp }
    : undefined;
}

/** Told in words: of outlines and series, of published tables, of lists, and of what is chosen among many. */
const inWords = [
  ...["POLYGON_AREA", "PERIMETER", "OFFSET_AREA", "RADIAL_AREA", "GEO_AREA", "GEO_PERIMETER"],
  ...["SEED_RATE", "SEED_MIX", "GRADE", "SEASON_ROOM", "TANK_LOADS", "SCREEN_LOSS", "PACK_MIX"],
  ...["CATCH_UNIFORMITY", "REFERENCE_ET", "EACH_ROW", "EDITION"],
];

const told = catalogue.map((definition) => ({ definition, sum: arithmetic(definition) }));

test("all others are arithmetic of their parameters", () => {
  expect(told.flatMap(({ definition: { id }, sum }) => (sum === undefined ? [id] : []))).toEqual(inWords);
});

/** What a parameter stands for where it is left out. */
function valueOf(parameter: Parameter, given: unknown): number | undefined {
  if (typeof given === "number") return given;
  if (given === null && "default" in parameter && typeof parameter.default === "number")
    return parameter.default;
  return undefined;
}

describe("the equation is what is worked out", () => {
  test.each(
    told.flatMap((one) =>
      one.sum === undefined ? [] : [[one.definition.id, one.definition, one.sum] as const],
    ),
  )("%s", (_, definition, { expression, isRoundedUp }) => {
    const { parameters, result } = definition;
    const position = unitsPosition(definition);
    let compared = 0;
    fc.assert(
      fc.property(argumentsOf(definition), fc.constantFrom<UnitSystem>(...unitSystems), (given, system) => {
        const said = given.map((value, i) => (i === position ? system : value));
        let answer: unknown;
        try {
          answer = anyCalculator(definition)(...said);
        } catch {
          return;
        }
        const used = position < 0 ? "us" : system;
        const values = parameters.map((parameter, i) => {
          const value = valueOf(parameter, said[i]);
          return value === undefined ? undefined : inBaseUnits(value, parameter.kind, used);
        });
        const scope = Object.fromEntries(values.map((value, i) => [`p${i}`, value]));
        const exact: unknown = evaluate(expression, scope);
        if (typeof exact !== "number" || typeof answer !== "number" || !Number.isFinite(exact)) return;
        compared++;
        const wanted = exact / inBaseUnits(1, result.kind, used);
        if (!isRoundedUp) expect(answer / wanted).toBeCloseTo(1, 9);
        // A need that is whole to nine places is not rounded up to the next.
        else expect([Math.ceil(wanted - 1e-8), Math.ceil(wanted)]).toContain(answer);
      }),
      { numRuns: 200 },
    );
    expect(compared).toBeGreaterThan(40);
  });
});
