/** The algebra of formulas over named quantities: each step of a body is a line of the working. */
import type { Algebra, ToldLine } from "../formula";
import { flat } from "../lists";
import { numbers } from "../numbers";
import type { Matrix, Parameter, ParameterValue } from "../parameters";
import type { Factor, Kind, UnitSystem } from "../units";
import { exactly, quantity } from "./figures";

/** A named result: its sum, such as "2,500 ft² × 0.25 in ÷ 12", empty where there is none, and what it gives. */
export type WorkingLine = ToldLine;

const binding = { sum: 3, product: 4, whole: 9 } as const;

export interface Term {
  readonly value: number;
  readonly text: string;
  readonly binding: number;
}

export interface WorkingTerms {
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

/** A factor that a person would not write down. */
const isOne = ({ text }: Term): boolean => text === "1" || text === "100 %";

/** The square of 2 ft is not 2 ft². */
const hasUnit = ({ text, binding: tight }: Term): boolean =>
  tight === binding.whole && /^-?[\d,.]+ /.test(text);

/** A sum over more cells than this is told, not written out. */
const mostWrittenOut = 6;

export type KindOf = (range: Matrix) => Kind | undefined;

export function written(lines: WorkingLine[], system: UnitSystem, kindOf: KindOf): Algebra<WorkingTerms> {
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
      isOne(b)
        ? a
        : term(
            a.value * b.value,
            `${within(a, binding.product)} × ${within(b, binding.product)}`,
            binding.product,
          ),
    div: (a, b) =>
      isOne(b)
        ? a
        : term(
            a.value / b.value,
            `${within(a, binding.product)} ÷ ${within(b, binding.whole)}`,
            binding.product,
          ),
    abs: (a) => term(Math.abs(a.value), a.text, a.binding),
    root: (a) => term(Math.sqrt(a.value), `√(${a.text})`),
    square: (a) => term(a.value * a.value, `${hasUnit(a) ? `(${a.text})` : within(a, binding.whole)}²`),
    min: (a, b) => (a.value <= b.value ? a : b),
    max: (a, b) => (a.value >= b.value ? a : b),
    sin: (a) => term(Math.sin(a.value), `sin(${a.text})`),
    cos: (a) => term(Math.cos(a.value), `cos(${a.text})`),
    tan: (a) => term(Math.tan(a.value), `tan(${a.text})`),
    arccos: (a) => term(Math.acos(a.value), `arccos(${a.text})`),
    arctan: (a) => term(Math.atan(a.value), `arctan(${a.text})`),
    pi: () => term(Math.PI, "π"),
    scale: (a, factor) =>
      factor.by === 1 && (factor.operation === "times" || a.text !== "1")
        ? a
        : term(
            numbers.scale(a.value, factor),
            `${within(a, binding.product)} ${factor.operation === "times" ? "×" : "÷"} ${exactly(factor.by)}`,
            binding.product,
          ),
    wholeUp: (a) => term(numbers.wholeUp(a.value), `${within(a, binding.whole)}, rounded up`, binding.sum),
    sum: (ranges) => {
      const cells = flat(flat(ranges)).filter((cell): cell is number => cell !== null);
      const total = numbers.sum(ranges);
      return cells.length <= mostWrittenOut
        ? term(total, cells.map(exactly).join(" + ") || "0", binding.sum)
        : term(total, `sum of ${cells.length} figures`);
    },
    cell: (range, row, column, standIn) => {
      const value = numbers.cell(range, row, column, standIn);
      return term(
        value,
        kindOf(range) === "share" ? quantity(value, "share", system, exactly) : exactly(value),
      );
    },
    greatestIn: (range, column) => plain(numbers.greatestIn(range, column)),
    leastIn: (range, column) => plain(numbers.leastIn(range, column)),
    count: (series) => plain(numbers.count(series)),
    fromLast: (series, back) => plain(numbers.fromLast(series, back)),
    first: (series) => plain(numbers.first(series)),
    alternating: (series, odd, even) => {
      if (odd === even && odd === 1) return m.sum([series]);
      const sum = flat(series).map((cell, i) => `${i % 2 === 0 ? odd : even} × ${exactly(cell ?? 0)}`);
      const total = numbers.alternating(series, odd, even);
      return sum.length <= mostWrittenOut
        ? term(total, sum.join(" + "), binding.sum)
        : term(total, `sum of ${sum.length} figures, each ${odd} or ${even} times in turn`);
    },
    sumOfSquares: (series) => {
      const squares = flat(series).map((cell) => `${exactly(cell ?? 0)}²`);
      const total = numbers.sumOfSquares(series);
      return squares.length <= mostWrittenOut
        ? term(total, squares.join(" + "), binding.sum)
        : term(total, `sum of ${squares.length} squares`);
    },
    lowest: (series, many) =>
      term(numbers.lowest(series, many.value), `sum of the lowest ${exactly(many.value)}`),
    lookUp: (table, keys, column) => {
      const figure = numbers.lookUp(table, keys, column);
      return term(figure, `${exactly(figure)} in the table for ${[...keys, column].join(", ")}`);
    },
    equal: (a, b) => numbers.equal(a.value, b.value),
    notAvailable: () => plain(Number.NaN),
    isEven: (a) => numbers.isEven(a.value),
    when: (condition, then, otherwise) => (condition ? then : otherwise),
    addable: (a) => a,
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
      const found = Object.keys(cases).find((name) => name.toLowerCase() === wanted);
      return cases[found ?? ""] ?? plain(Number.NaN);
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

export const argumentTerm = (parameter: Parameter, value: ParameterValue, system: UnitSystem) =>
  typeof value === "number"
    ? term(value, quantity(value, parameter.kind, system, exactly))
    : (value as string | Matrix);
