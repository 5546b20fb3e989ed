/** The number reading behind the argument checks: what a worksheet function answers for what its cells hold. */
import { checkArguments, coversNothing } from "./arguments";
import type { Formula, WorksheetFunction } from "./formula";
import { unitsPosition } from "./formula";
import { numbers } from "./numbers";
import type { NumberParameter, Parameter, ParameterValue } from "./parameters";
import { Refusal } from "./refusal";
import type { Factor, UnitSystem } from "./units";

export type Answer = number | string;
export type Calculator = (...raw: readonly unknown[]) => Answer;

type Factors = Readonly<Record<string, Factor>>;

const factorsOf = ({ conversions }: Formula, system: UnitSystem): Factors =>
  Object.fromEntries(Object.entries(conversions).map(([name, factor]) => [name, factor[system]]));

function finite(answer: Answer): Answer {
  if (typeof answer === "number" && !Number.isFinite(answer)) {
    throw new Refusal(
      "result",
      "The result is not a finite number: check the arguments for a figure that is far too large or too small.",
    );
  }
  return answer;
}

/** Every case: ranges, texts, blanks and refusals, straight from the definition. */
function carefully(definition: WorksheetFunction): Calculator {
  const position = unitsPosition(definition);
  const factors: Record<UnitSystem, Factors> =
    definition.form === "formula"
      ? { us: factorsOf(definition, "us"), metric: factorsOf(definition, "metric") }
      : { us: {}, metric: {} };
  return (...raw) => {
    const given = checkArguments(definition.parameters, raw);
    if (coversNothing(definition.parameters, raw)) return 0;
    if (definition.form === "computed") return finite(definition.compute(given));
    definition.inspect?.(given);
    const system: UnitSystem = given[position] === "metric" ? "metric" : "us";
    return finite(definition.body(numbers, factors[system], ...bodyArguments(given)));
  };
}

/** The number reading takes its arguments as they are: numbers, texts, matrices. */
const bodyArguments = (given: readonly ParameterValue[]) =>
  given as readonly (number | string | readonly (readonly (number | null)[])[])[];

const plainNumber = (parameter: Parameter): parameter is NumberParameter =>
  parameter.takes === "number" && parameter.whole !== true;

/** The short way is written out for so many numbers; a longer function takes the careful way. */
const mostPlain = 5;

interface PlainLimits {
  readonly floor: number;
  readonly ceiling: number;
  readonly standIn: number;
}

const justUnder = (value: number): number => value - Math.abs(value) * Number.EPSILON;

/** Limits that a plain number is strictly above and at most; zero always takes the careful way. */
const plainLimits = ({ above, least, below, most, default: standIn }: NumberParameter): PlainLimits => ({
  floor: above ?? least ?? Number.NEGATIVE_INFINITY,
  ceiling: below !== undefined ? justUnder(below) : (most ?? Number.MAX_VALUE),
  standIn: standIn ?? Number.NaN,
});

function plainValue(limits: PlainLimits | undefined, raw: unknown): number {
  if (limits === undefined) return 0;
  if (typeof raw === "number") return raw > limits.floor && raw <= limits.ceiling ? raw : Number.NaN;
  return raw === undefined || raw === null ? limits.standIn : Number.NaN;
}

/**
 * A host pays for every call, so the common case has a short way through: US units, every argument a number
 * well inside its limits. Whatever falls outside takes the careful way, which is the only one that refuses.
 */
export function calculator(definition: WorksheetFunction): Calculator {
  const careful = carefully(definition);
  if (definition.form === "computed" || definition.inspect !== undefined) return careful;
  const position = unitsPosition(definition);
  const parameters = position < 0 ? definition.parameters : definition.parameters.slice(0, position);
  if (parameters.length > mostPlain || !parameters.every(plainNumber)) return careful;

  const { body } = definition;
  const us = factorsOf(definition, "us");
  const [p0, p1, p2, p3, p4] = parameters.map(plainLimits);
  return (...raw) => {
    const units = position < 0 ? null : raw[position];
    if (units === undefined || units === null) {
      const a = plainValue(p0, raw[0]);
      const b = plainValue(p1, raw[1]);
      const c = plainValue(p2, raw[2]);
      const d = plainValue(p3, raw[3]);
      const e = plainValue(p4, raw[4]);
      // Not-a-number stands for "not plain" and survives every sum, so one look at the answer is enough.
      const answer = body(numbers, us, a, b, c, d, e);
      if (Number.isFinite(answer)) return answer;
    }
    return careful(...raw);
  };
}
