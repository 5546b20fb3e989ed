/**
 * The third reading of a formula: the working, as an estimator would write it on the back of the tag. One named
 * result a line, quantities with their units, rounded for reading only and never in the sum.
 */
import { checkArguments, coversNothing } from "./arguments";
import type { Algebra, WorksheetFunction } from "./formula";
import { unitsPosition } from "./formula";
import { numbers } from "./numbers";
import type { Matrix, Parameter, ParameterValue } from "./parameters";
import type { Factor, Kind, UnitSystem } from "./units";
import { unitText } from "./units";

export interface WorkingLine {
  readonly name: string;
  /** The sum, such as "2,500 ft² × 0.25 in ÷ 12"; empty for a value that was simply given. */
  readonly sum: string;
  readonly gives: string;
}

export interface Working {
  readonly lines: readonly WorkingLine[];
  readonly answer: string;
}

const grouped = (digits: Intl.NumberFormatOptions) => new Intl.NumberFormat("en-US", digits);
const asEntered = grouped({ maximumSignificantDigits: 12 });
const exactly = (value: number): string => asEntered.format(value);
const small = grouped({ maximumSignificantDigits: 4 });
const large = grouped({ maximumFractionDigits: 1 });

/** A number rounded for reading: four figures, or one decimal from a thousand up. */
export const readable = (value: number): string => (Math.abs(value) >= 1000 ? large : small).format(value);

/** A quantity with its unit: "52.08 ft³", "20 %". */
export function quantity(
  value: number,
  kind: Kind,
  system: UnitSystem,
  show: (value: number) => string = readable,
): string {
  if (kind === "share") return `${show(Number((value * 100).toPrecision(12)))} %`;
  const unit = unitText(kind, system);
  return unit === "" ? show(value) : `${show(value)} ${unit}`;
}

const binding = { sum: 3, product: 4, whole: 9 } as const;

interface Term {
  readonly value: number;
  readonly text: string;
  readonly binding: number;
}

interface WorkingTerms {
  readonly number: Term;
  readonly range: Matrix;
  readonly text: string;
  readonly condition: boolean;
  readonly factor: Factor;
}

const term = (value: number, text: string, tight: number = binding.whole): Term => ({
  value,
  text,
  binding: tight,
});
const within = (a: Term, least: number): string => (a.binding < least ? `(${a.text})` : a.text);
const plain = (value: number): Term => term(value, exactly(value));

/** A sum over more cells than this is told, not written out. */
const mostWrittenOut = 6;

function written(lines: WorkingLine[], system: UnitSystem): Algebra<WorkingTerms> {
  const m: Algebra<WorkingTerms> = {
    of: plain,
    add: (a, b) =>
      b.value === 0
        ? a
        : term(a.value + b.value, `${within(a, binding.sum)} + ${within(b, binding.sum)}`, binding.sum),
    sub: (a, b) =>
      b.value === 0
        ? a
        : term(a.value - b.value, `${within(a, binding.sum)} − ${within(b, binding.product)}`, binding.sum),
    mul: (a, b) =>
      b.text === "1"
        ? a
        : term(
            a.value * b.value,
            `${within(a, binding.product)} × ${within(b, binding.product)}`,
            binding.product,
          ),
    div: (a, b) =>
      term(a.value / b.value, `${within(a, binding.product)} ÷ ${within(b, binding.whole)}`, binding.product),
    abs: (a) => term(Math.abs(a.value), a.text, a.binding),
    root: (a) => term(Math.sqrt(a.value), `√(${a.text})`),
    square: (a) => term(a.value * a.value, `${within(a, binding.whole)}²`),
    scale: (a, factor) =>
      factor.by === 1
        ? a
        : term(
            numbers.scale(a.value, factor),
            `${within(a, binding.product)} ${factor.operation === "times" ? "×" : "÷"} ${exactly(factor.by)}`,
            binding.product,
          ),
    wholeUp: (a) => term(numbers.wholeUp(a.value), `${within(a, binding.whole)}, rounded up`, binding.sum),
    sum: (ranges) => {
      const cells = ranges.flat(2).filter((cell): cell is number => cell !== null);
      const total = numbers.sum(ranges);
      return cells.length <= mostWrittenOut
        ? term(total, cells.map(exactly).join(" + ") || "0", binding.sum)
        : term(total, `sum of ${cells.length} figures`);
    },
    sumOverSides: (corners, side) => {
      const total = numbers.sumOverSides(
        corners,
        (from, to) => side({ x: plain(from.x), y: plain(from.y) }, { x: plain(to.x), y: plain(to.y) }).value,
      );
      return term(total, `sum over the ${corners.length} sides`);
    },
    part: (text, separator, index) => plain(numbers.part(text, separator, index)),
    choose: (text, cases) => {
      const wanted = text.toLowerCase();
      const found = Object.entries(cases).find(([name]) => name.toLowerCase() === wanted);
      return found === undefined ? plain(Number.NaN) : found[1];
    },
    greater: (a, b) => numbers.greater(a.value, b.value),
    refuseWhen: (condition, argument, sentence, value) => {
      numbers.refuseWhen(condition, argument, sentence, value.value);
      return value;
    },
    step: (name, kind, a) => {
      const gives = quantity(a.value, kind, system);
      if (a.binding !== binding.whole || a.text !== gives) lines.push({ name, sum: a.text, gives });
      return term(a.value, gives);
    },
  };
  return m;
}

const argumentTerm = (parameter: Parameter, value: ParameterValue, system: UnitSystem) =>
  typeof value === "number"
    ? term(value, quantity(value, parameter.kind, system, exactly))
    : (value as string | Matrix);

/** The working of one call, step by step. Throws the Refusal where the function would refuse. */
export function workingOf(definition: WorksheetFunction, raw: readonly unknown[]): Working {
  const { parameters, result } = definition;
  const given = checkArguments(parameters, raw);
  const system: UnitSystem = given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  const told = (value: number): string => {
    const answer = quantity(value, result.kind, system);
    return result.counted === undefined ? answer : `${answer} ${result.counted}`;
  };
  if (coversNothing(parameters, raw)) {
    return { lines: [{ name: result.name, sum: "nothing to cover", gives: told(0) }], answer: told(0) };
  }
  if (definition.form === "computed") {
    const answer = definition.compute(given);
    const gives = typeof answer === "number" ? told(answer) : answer;
    return { lines: [{ name: result.name, sum: definition.equation, gives }], answer: gives };
  }
  definition.inspect?.(given);
  const lines: WorkingLine[] = [];
  const factors = Object.fromEntries(
    Object.entries(definition.conversions).map(([name, factor]) => [name, factor[system]]),
  );
  const terms = parameters.map((parameter, i) => argumentTerm(parameter, given[i] ?? 0, system));
  const answer = definition.body(written(lines, system), factors, ...terms);
  lines.push({ name: result.name, sum: answer.text, gives: told(answer.value) });
  return { lines, answer: told(answer.value) };
}
