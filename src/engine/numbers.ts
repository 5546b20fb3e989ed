/** The first reading of a formula: the number. */
import type { Algebra, Corner } from "./formula";
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

export const numbers: Algebra<NumberTerms> = {
  of: (value) => value,
  add: (a, b) => a + b,
  sub: (a, b) => a - b,
  mul: (a, b) => a * b,
  div: (a, b) => a / b,
  abs: Math.abs,
  root: Math.sqrt,
  square: (a) => a * a,
  scale: (a, { operation, by }) => (operation === "times" ? a * by : a / by),
  wholeUp,
  sum: (ranges) => {
    let total = 0;
    for (const range of ranges) for (const row of range) for (const cell of row) total += cell ?? 0;
    return total;
  },
  sumOverSides: (corners, term) =>
    corners.reduce((total, from, i) => {
      const to = corners[(i + 1) % corners.length] ?? from;
      return total + term(corner(from), corner(to));
    }, 0),
  part: (text, separator, index) => Number(text.split(separator)[index]),
  choose: (text, cases) => {
    const wanted = text.toUpperCase();
    const found = Object.entries(cases).find(([name]) => name.toUpperCase() === wanted);
    return found === undefined ? Number.NaN : found[1];
  },
  greater: (a, b) => Math.round((a - b) * wholeUpScale) > 0,
  refuseWhen: (condition, argument, sentence, value) => {
    if (condition) throw new Refusal(argument, sentence);
    return value;
  },
  step: (_name, _kind, value) => value,
};
