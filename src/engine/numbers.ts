/** The first reading of a formula: the number. */
import type { Algebra, Corner, LookUpTable } from "./formula";
import { flat, greatest, least } from "./lists";
import type { Matrix } from "./parameters";
import { Refusal } from "./refusal";
import type { Factor } from "./units";

export interface NumberTerms {
  readonly number: number;
  readonly range: Matrix;
  readonly text: string;
  readonly condition: boolean;
  readonly factor: Factor;
}

/** Decimals kept before rounding up to whole packs; the native form rounds to the same. */
export const wholeUpDecimals = 9;
const wholeUpScale = 10 ** wholeUpDecimals;

export function wholeUp(value: number): number {
  const scaled = value * wholeUpScale;
  // Past 2^53 a double holds no ninth decimal, and the product could overflow.
  return Math.ceil(Math.abs(scaled) < Number.MAX_SAFE_INTEGER ? Math.round(scaled) / wholeUpScale : value);
}

const corner = ([x, y]: readonly (number | null)[]): Corner<NumberTerms> => ({ x: x ?? 0, y: y ?? 0 });

const filled = (series: Matrix): readonly number[] =>
  flat(series).filter((cell): cell is number => cell !== null);

/** The keys of a row are told apart whatever their letter case. */
export const sameKeys = (one: readonly string[], other: readonly string[]): boolean =>
  one.every((key, i) => key.toLowerCase() === other[i]?.toLowerCase());

function figureOf({ columns, rows }: LookUpTable, keys: readonly string[], column: string): number {
  const row = rows.find((candidate) => sameKeys(candidate.keys, keys));
  return row?.figures[columns.findIndex((name) => sameKeys([name], [column]))] ?? Number.NaN;
}

function lowest(series: Matrix, many: number): number {
  const upwards = [...filled(series)].sort((a, b) => a - b);
  const whole = Math.floor(many);
  const sum = upwards.slice(0, whole).reduce((total, value) => total + value, 0);
  return sum + (many - whole) * (upwards[whole] ?? 0);
}

/** A double holds 53 bits; what so many equal terms need to add up without rounding is left free. */
function addable(value: number, many: number): number {
  if (value === 0 || !Number.isFinite(value)) return value;
  const bits = 52 - Math.floor(Math.log2(Math.abs(value))) - Math.ceil(Math.log2(many + 1));
  const grid = 2 ** bits;
  return Number.isFinite(grid) && grid > 0 ? Math.round(value * grid) / grid : value;
}

export const numbers: Algebra<NumberTerms> = {
  of: (value) => value,
  add: (a, b) => a + b,
  sub: (a, b) => a - b,
  mul: (a, b) => a * b,
  div: (a, b) => a / b,
  abs: Math.abs,
  root: Math.sqrt,
  square: (a) => a * a,
  min: Math.min,
  max: Math.max,
  sin: Math.sin,
  cos: Math.cos,
  tan: Math.tan,
  arccos: Math.acos,
  arctan: Math.atan,
  pi: () => Math.PI,
  scale: (a, { operation, by }) => (operation === "times" ? a * by : a / by),
  wholeUp,
  sum: (ranges) => {
    let total = 0;
    for (const range of ranges) for (const row of range) for (const cell of row) total += cell ?? 0;
    return total;
  },
  cell: (range, row, column, standIn = 0) =>
    (range.length === 1 && range[0]?.length === 1 ? range[0][0] : range[row]?.[column]) ?? standIn,
  greatestIn: (range, column) => greatest(filled(range.map((row) => [row[column] ?? null]))),
  leastIn: (range, column) => least(filled(range.map((row) => [row[column] ?? null]))),
  count: (series) => filled(series).length,
  fromLast: (series, back) => filled(series)[filled(series).length - 1 - back] ?? 0,
  first: (series) => filled(series)[0] ?? 0,
  alternating: (series, odd, even) =>
    filled(series).reduce((total, value, i) => total + value * (i % 2 === 0 ? odd : even), 0),
  sumOfSquares: (series) => filled(series).reduce((total, value) => total + value * value, 0),
  lowest,
  sumOverSides: (corners, term) =>
    corners.reduce((total, from, i) => {
      const to = corners[(i + 1) % corners.length] ?? from;
      return total + term(corner(from), corner(to));
    }, 0),
  part: (text, separator, index) => Number(text.split(separator)[index]),
  choose: (text, cases) => {
    const wanted = text.toUpperCase();
    const found = Object.keys(cases).find((name) => name.toUpperCase() === wanted);
    return cases[found ?? ""] ?? Number.NaN;
  },
  lookUp: figureOf,
  equal: (a, b) => Math.round((a - b) * wholeUpScale) === 0,
  notAvailable: () => Number.NaN,
  isEven: (a) => a % 2 === 0,
  when: (condition, then, otherwise) => (condition ? then : otherwise),
  addable,
  greater: (a, b) => Math.round((a - b) * wholeUpScale) > 0,
  refuseWhen: (condition, argument, sentence, value) => {
    if (condition) throw new Refusal(argument, sentence);
    return value;
  },
  step: (_name, _kind, value) => value,
};
