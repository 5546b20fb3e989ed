/** The number reading behind the argument checks: what a worksheet function answers for what its cells hold. */
import { checkArguments, coversNothing } from "./arguments";
import { heightOf, innerFunction, rowByRow } from "./columns";
import type {
  Answer,
  Computed,
  EachRow,
  Formula,
  Spilled,
  SpilledCell,
  SpilledFormula,
  SpilledValue,
  SpillPlace,
  SpillShape,
  WorksheetFunction,
} from "./formula";
import { givesOneValue, unitsPosition } from "./formula";
import { mapValues } from "./lists";
import { numbers } from "./numbers";
import type { NumberParameter, Parameter, ParameterValue, RawMatrix } from "./parameters";
import { Refusal } from "./refusal";
import type { Factor, UnitSystem } from "./units";

export type { Answer, Spilled, SpilledCell } from "./formula";
export type Calculator = (...raw: readonly unknown[]) => number | string;
export type AnyCalculator = (...raw: readonly unknown[]) => Answer;

type Factors = Readonly<Record<string, Factor>>;

const factorsOf = (
  { conversions }: Pick<Formula | SpilledFormula, "conversions">,
  system: UnitSystem,
): Factors => mapValues(conversions, (factor) => factor[system]);

const bothFactors = (
  definition: Pick<Formula | SpilledFormula, "conversions">,
): Record<UnitSystem, Factors> => ({
  us: factorsOf(definition, "us"),
  metric: factorsOf(definition, "metric"),
});

function finite<A extends number | string>(answer: A): A {
  if (typeof answer === "number" && !Number.isFinite(answer)) {
    throw new Refusal(
      "result",
      "The result is not a finite number: check the arguments for a figure that is far too large or too small.",
    );
  }
  return answer;
}

const systemOf = (definition: WorksheetFunction, given: readonly ParameterValue[]): UnitSystem =>
  given[unitsPosition(definition)] === "metric" ? "metric" : "us";

/** The same for arguments as a list, which is not kept. */
type ListCalculator = (raw: readonly unknown[]) => number | string;

/** Every case: ranges, texts, blanks and refusals, straight from the definition. */
function carefully(definition: Formula | Computed): ListCalculator {
  const { parameters } = definition;
  if (definition.form === "computed") {
    return (raw) => {
      const given = checkArguments(parameters, raw);
      return coversNothing(parameters, raw) ? 0 : finite(definition.compute(given));
    };
  }
  const factors = bothFactors(definition);
  return (raw) => {
    const given = checkArguments(parameters, raw);
    if (coversNothing(parameters, raw)) return 0;
    definition.inspect?.(given);
    return finite(definition.body(numbers, factors[systemOf(definition, given)], ...bodyArguments(given)));
  };
}

/** The number reading takes its arguments as they are: numbers, texts, matrices. */
const bodyArguments = (given: readonly ParameterValue[]) =>
  given as readonly (number | string | readonly (readonly (number | null)[])[])[];

/** Every cell of a spill, row by row. */
export const spilledCells = <C>({ rows, columns }: SpillShape, cell: (at: SpillPlace) => C): C[][] =>
  Array.from({ length: rows }, (_row, row) =>
    Array.from({ length: columns }, (_column, column) => cell({ rows, columns, row, column })),
  );

type Cells = (given: readonly ParameterValue[], system: UnitSystem) => Spilled;

function formulaCells(definition: SpilledFormula): Cells {
  const { body } = definition;
  const factors = bothFactors(definition);
  return (given, system) => {
    definition.inspect?.(given);
    return spilledCells(definition.shape(given, system), (at) =>
      finite(body(numbers, factors[system], at, ...bodyArguments(given))),
    );
  };
}

function spilling(definition: SpilledFormula | SpilledValue): (...raw: readonly unknown[]) => Spilled {
  const { parameters } = definition;
  const cells: Cells = definition.form === "spilled value" ? definition.compute : formulaCells(definition);
  return (...raw) => {
    const given = checkArguments(parameters, raw);
    const system = systemOf(definition, given);
    return coversNothing(parameters, raw)
      ? spilledCells(definition.shape(given, system), () => 0)
      : cells(given, system);
  };
}

function down(definition: EachRow): (...raw: readonly unknown[]) => Spilled {
  const calculators = new Map<string, ListCalculator>();
  return (...raw) => {
    const [name, columns] = checkArguments(definition.parameters, raw) as [string, readonly RawMatrix[]];
    const inner = innerFunction(definition, name);
    const calculate = calculators.get(inner.id) ?? listCalculator(inner);
    calculators.set(inner.id, calculate);
    const height = heightOf(inner, columns);
    const given = rowByRow(inner, columns);
    const answers: (readonly SpilledCell[])[] = [];
    for (let row = 0; row < height; row++) answers.push([answerOrRefusal(calculate, given(row))]);
    return answers;
  };
}

function answerOrRefusal(calculate: ListCalculator, given: readonly unknown[]): SpilledCell {
  try {
    return calculate(given);
  } catch (refusal) {
    if (refusal instanceof Refusal) return refusal;
    throw refusal;
  }
}

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
function listCalculator(definition: Formula | Computed): ListCalculator {
  const careful = carefully(definition);
  if (definition.form === "computed" || definition.inspect !== undefined) return careful;
  const position = unitsPosition(definition);
  const parameters = position < 0 ? definition.parameters : definition.parameters.slice(0, position);
  if (parameters.length > mostPlain || !parameters.every(plainNumber)) return careful;

  const { body } = definition;
  const us = factorsOf(definition, "us");
  const [p0, p1, p2, p3, p4] = parameters.map(plainLimits);
  return (raw) => {
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
    return careful(raw);
  };
}

function oneValueCalculator(definition: Formula | Computed): Calculator {
  const calculate = listCalculator(definition);
  return (...raw) => calculate(raw);
}

/** What a function answers for what its cells hold, a spill included; throws a Refusal where it has no answer. */
export function anyCalculator(definition: WorksheetFunction): AnyCalculator {
  switch (definition.form) {
    case "formula":
    case "computed":
      return oneValueCalculator(definition);
    case "spilled formula":
    case "spilled value":
      return spilling(definition);
    case "each row":
      return down(definition);
  }
}

/** The same for where one value belongs: a function that spills is refused there. */
export function calculator(definition: WorksheetFunction): Calculator {
  if (givesOneValue(definition)) return oneValueCalculator(definition);
  return () => {
    const trouble = `${definition.id} spills over several cells where one value belongs`;
    throw new Refusal(
      "function",
      `${trouble}: put it in a cell of its own and refer to the cell of its spill that you need.`,
    );
  };
}
