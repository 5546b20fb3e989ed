/**
 * The third reading of a formula: the working, as an estimator would write it on the back of the tag. One named
 * result a line, quantities with their units, rounded for reading only and never in the sum.
 */
import { asHandedOver, checkArguments, coversNothing } from "./arguments";
import { anyCalculator, spilledCells } from "./calculate";
import { innerFunction, rowArguments } from "./columns";
import type {
  Algebra,
  EachRow,
  Formula,
  Result,
  Spilled,
  SpilledFormula,
  SpillPlace,
  ToldLine,
  WorksheetFunction,
} from "./formula";
import { unitsPosition } from "./formula";
import { flat, mapValues } from "./lists";
import { numbers } from "./numbers";
import type { Matrix, Parameter, ParameterValue, RawMatrix } from "./parameters";
import { Refusal } from "./refusal";
import type { Factor, Kind, UnitSystem } from "./units";
import { unitText } from "./units";

/** A named result: its sum, such as "2,500 ft² × 0.25 in ÷ 12", empty where there is none, and what it gives. */
export type WorkingLine = ToldLine;

export interface Working {
  readonly lines: readonly WorkingLine[];
  readonly answer: string;
}

/** The figures of a number and the power of ten of the first of them. */
const powerOfTen = (value: number): number => Number(value.toExponential().split("e")[1]);

/** Decimals that a number is written with at the most. */
const mostDecimals = 20;

/** Decimals without the zeros at their end. */
function withoutZeros(digits: string): string {
  let end = digits.length;
  while (digits.charAt(end - 1) === "0") end--;
  return digits.slice(0, end);
}

function inThrees(digits: string): string {
  const groups: string[] = [];
  for (let end = digits.length; end > 0; end -= 3) groups.unshift(digits.slice(Math.max(0, end - 3), end));
  return groups.join(",");
}

/**
 * A number to so many decimals, in groups of three digits. Written out here, since not every engine that functions run
 * in knows of languages; rounded as a person rounds the figures they see, so 0.15 to one decimal is 0.2.
 */
function grouped(value: number, decimals: number): string {
  const kept = Math.min(decimals, mostDecimals);
  const [digits, power = "0"] = Math.abs(value).toExponential().split("e");
  const scaled = Math.round(Number(`${digits}e${Number(power) + kept}`));
  const [before = "", after = ""] = Number(`${scaled}e${-kept}`).toFixed(Math.max(0, kept)).split(".");
  const fraction = withoutZeros(after);
  const whole = inThrees(before);
  return `${value < 0 ? "-" : ""}${whole}${fraction === "" ? "" : `.${fraction}`}`;
}

const toFigures = (value: number, figures: number): string => grouped(value, figures - 1 - powerOfTen(value));
export const exactly = (value: number): string => toFigures(value, 12);

/** A number rounded for reading: four figures, or one decimal from a thousand up. */
export const readable = (value: number): string =>
  Math.abs(value) >= 1000 ? grouped(value, 1) : toFigures(value, 4);

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

/** A factor that a person would not write down. */
const isOne = ({ text }: Term): boolean => text === "1" || text === "100 %";

/** A sum over more cells than this is told, not written out. */
const mostWrittenOut = 6;

type KindOf = (range: Matrix) => Kind | undefined;

function written(lines: WorkingLine[], system: UnitSystem, kindOf: KindOf): Algebra<WorkingTerms> {
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
    square: (a) => term(a.value * a.value, `${within(a, binding.whole)}²`),
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

const argumentTerm = (parameter: Parameter, value: ParameterValue, system: UnitSystem) =>
  typeof value === "number"
    ? term(value, quantity(value, parameter.kind, system, exactly))
    : (value as string | Matrix);

/** Lines of a spill beyond these are counted, not written out. */
const mostCells = 24;

/** One number as an answer: with its unit, or with what it counts. */
function told(
  value: number,
  { kind, counted }: Pick<Result, "kind" | "counted">,
  system: UnitSystem,
): string {
  const answer = quantity(value, kind, system);
  return counted === undefined ? answer : `${answer} ${counted}`;
}

type Writer = (
  m: Algebra<WorkingTerms>,
  factors: Readonly<Record<string, Factor>>,
  terms: readonly (Term | string | Matrix)[],
) => Term;

/** The lines that lead to one value, the value itself last. */
function linesOf(
  definition: Formula | SpilledFormula,
  given: readonly ParameterValue[],
  system: UnitSystem,
  result: Pick<Result, "name" | "kind" | "counted">,
  write: Writer,
): WorkingLine[] {
  const lines: WorkingLine[] = [];
  const { parameters, conversions } = definition;
  const factors = mapValues(conversions, (factor) => factor[system]);
  const kindOf: KindOf = (range) => parameters[given.indexOf(range)]?.kind;
  const terms = parameters.map((parameter, i) => argumentTerm(parameter, given[i] ?? 0, system));
  const answer = write(written(lines, system, kindOf), factors, terms);
  const gives = told(answer.value, result, system);
  const last = lines[lines.length - 1];
  if (definition.form === "formula" && last?.gives === gives && answer.text === gives) {
    // The last step is the result: one line under the result's name is enough.
    return [...lines.slice(0, -1), { ...last, name: result.name }];
  }
  return [...lines, { name: result.name, sum: answer.text === gives ? "" : answer.text, gives }];
}

/** How a spill is called in a line: every answer while they are few, else how many rows. */
function spillAnswer(cells: Spilled, say: (at: SpillPlace) => string): string {
  const [rows, columns] = [cells.length, cells[0]?.length ?? 0];
  if (rows * columns > 6) return `${rows} rows`;
  return flat(spilledCells({ rows, columns }, say)).join(", ");
}

/** One row: the last line of its function's working; nothing where that refuses. */
function rowLine(
  definition: EachRow,
  given: readonly ParameterValue[],
  { row }: SpillPlace,
): Partial<WorkingLine> {
  const [name, columns] = given as readonly [string, readonly RawMatrix[]];
  const inner = innerFunction(definition, name);
  try {
    const { lines } = workingOf(inner, asHandedOver(inner.parameters, rowArguments(inner, columns, row)));
    const last = lines[lines.length - 1];
    return last === undefined ? {} : { sum: last.sum, gives: last.gives };
  } catch (refusal) {
    if (refusal instanceof Refusal) return {};
    throw refusal;
  }
}

function workingOfSpill(definition: WorksheetFunction, raw: readonly unknown[]): Working {
  const cells = anyCalculator(definition)(...raw) as Spilled;
  const given = checkArguments(definition.parameters, raw);
  const system: UnitSystem = given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  const { result } = definition;
  const columnOf = (column: number) => result.columns?.[column] ?? result;
  const say = ({ row, column }: SpillPlace): string => {
    const cell = cells[row]?.[column] ?? "";
    if (cell instanceof Refusal) return cell.sentence;
    return typeof cell === "number" ? told(cell, columnOf(column), system) : cell;
  };
  const shape = { rows: cells.length, columns: cells[0]?.length ?? 0 };
  const answer = spillAnswer(cells, say);
  if (coversNothing(definition.parameters, raw)) {
    return { lines: [{ name: result.name, sum: "nothing to cover", gives: answer }], answer };
  }
  if (definition.form === "spilled value") return { lines: definition.tell(given), answer };
  const lines = spilledCells(shape, (at): readonly WorkingLine[] => {
    if (at.row * shape.columns + at.column >= mostCells) return [];
    if (definition.form !== "spilled formula") {
      const line = { name: `row ${at.row + 1}`, sum: "", gives: say(at) };
      return [definition.form === "each row" ? { ...line, ...rowLine(definition, given, at) } : line];
    }
    if (definition.cellName(at) === "") return [];
    const { kind, counted } = columnOf(at.column);
    const named = { name: definition.cellName(at), kind, ...(counted === undefined ? {} : { counted }) };
    return linesOf(definition, given, system, named, (m, factors, terms) =>
      definition.body(m, factors, at, ...terms),
    );
  });
  return { lines: withoutRepeats(flat(flat(lines))), answer };
}

/** A step that several cells share is shown once. */
const withoutRepeats = (lines: readonly WorkingLine[]): WorkingLine[] =>
  lines.filter(
    ({ name, sum, gives }, i) =>
      lines.findIndex((line) => line.name === name && line.sum === sum && line.gives === gives) === i,
  );

/** The working of one call, step by step. Throws the Refusal where the function would refuse. */
export function workingOf(definition: WorksheetFunction, raw: readonly unknown[]): Working {
  if (definition.form !== "formula" && definition.form !== "computed") return workingOfSpill(definition, raw);
  const { parameters, result } = definition;
  const given = checkArguments(parameters, raw);
  const system: UnitSystem = given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  if (coversNothing(parameters, raw)) {
    const nothing = told(0, result, system);
    return { lines: [{ name: result.name, sum: "nothing to cover", gives: nothing }], answer: nothing };
  }
  if (definition.form === "computed") {
    const answer = definition.compute(given);
    const gives = typeof answer === "number" ? told(answer, result, system) : answer;
    return { lines: [{ name: result.name, sum: definition.equation, gives }], answer: gives };
  }
  definition.inspect?.(given);
  const lines = linesOf(definition, given, system, result, (m, factors, terms) =>
    definition.body(m, factors, ...terms),
  );
  return { lines, answer: lines[lines.length - 1]?.gives ?? "" };
}
