/** The algebra of formulas over text: what a body is read with to become a worksheet formula. */
import type { Algebra, Corner } from "../formula";
import { flat } from "../lists";
import { numbers, sameKeys, wholeUpDecimals } from "../numbers";
import type { NativeArgument, Piece } from "./pieces";
import { NoNativeForm, binding, call, literal, piece, quotedText, within } from "./pieces";
import type { Table } from "./tables";
import {
  alternately,
  cellText,
  extentOfTable,
  firstCell,
  lastCell,
  literalCell,
  places,
  slice,
} from "./tables";
import { orDefault } from "./terms";

export interface NativeTerms {
  readonly number: Piece;
  readonly range: Table;
  readonly text: NativeArgument;
  /** Text to be asked in the cell, or an answer that is known while the formula is written. */
  readonly condition: string | boolean;
  readonly factor: { readonly operation: "times" | "over"; readonly by: Piece | 1 };
}

const cornerAt = (cell: (column: number) => string): Corner<NativeTerms> => ({
  x: piece(cell(0), binding.whole),
  y: piece(cell(1), binding.whole),
});

/** The text between two separators; one more at the end makes the last part like the others. */
function textPart(text: string, separator: string, index: number): string {
  const find = (from: string) => `FIND("${separator}",${text}&"${separator}"${from})`;
  if (index === 0) return `LEFT(${text},${find("")}-1)`;
  const before = Array.from({ length: index - 1 }).reduce<string>(
    (position) => find(`,${position}+1`),
    find(""),
  );
  return `MID(${text},${before}+1,${find(`,${before}+1`)}-${before}-1)`;
}

/** A text in which MATCH reads no pattern: none of the names that it is looked up among has such a letter. */
const patternless = (text: string): string =>
  ["~", "*", "?"].reduce((inner, letter) => `SUBSTITUTE(${inner},"${letter}","#")`, text);

/** What came to light while a formula was written: whether an unfilled row would divide by nothing. */
export interface Writing {
  dividesByBlank: boolean;
}

export const written = (notes: Writing): Algebra<NativeTerms> => {
  const both = (a: Piece, b: Piece) => a.mayBeBlank || b.mayBeBlank;
  const m: Algebra<NativeTerms> = {
    of: literal,
    add: (a, b) =>
      b.literal === 0
        ? a
        : a.literal === 0
          ? b
          : piece(
              `${within(a, binding.sum)}+${within(b, binding.sum)}`,
              binding.sum,
              a.mayBeBlank && b.mayBeBlank,
            ),
    sub: (a, b) =>
      b.literal === 0
        ? a
        : piece(
            `${within(a, binding.sum)}-${within(b, binding.product)}`,
            binding.sum,
            a.literal === undefined,
          ),
    mul: (a, b) =>
      b.literal === 1
        ? a
        : a.literal === 1
          ? b
          : piece(`${within(a, binding.product)}*${within(b, binding.product)}`, binding.product, both(a, b)),
    div: (a, b) => {
      if (b.literal === 1) return a;
      if (b.mayBeBlank) notes.dividesByBlank = true;
      return piece(
        `${within(a, binding.product)}/${within(b, binding.power)}`,
        binding.product,
        a.mayBeBlank,
      );
    },
    square: (a) => piece(`${within(a, binding.whole)}^2`, binding.power, a.mayBeBlank),
    abs: (a) => call("ABS", a.text),
    root: (a) => call("SQRT", a.text),
    min: (a, b) => call("MIN", a.text, b.text),
    max: (a, b) => call("MAX", a.text, b.text),
    sin: (a) => call("SIN", a.text),
    cos: (a) => call("COS", a.text),
    tan: (a) => call("TAN", a.text),
    arccos: (a) => call("ACOS", a.text),
    arctan: (a) => call("ATAN", a.text),
    pi: () => call("PI"),
    scale: (a, { operation, by }) =>
      by === 1
        ? a
        : a.literal === 1 && operation === "times"
          ? by
          : piece(
              `${within(a, binding.product)}${operation === "times" ? "*" : "/"}${by.text}`,
              binding.product,
              a.mayBeBlank,
            ),
    wholeUp: (a) => call("ROUNDUP", `ROUND(${a.text},${wholeUpDecimals})`, "0"),
    sum: (ranges) => {
      const given = ranges.map(({ text }) => text).filter((text) => text !== "");
      // The sum of nothing is no formula.
      return given.length === 0 ? literal(0) : call("SUM", ...given);
    },
    cell: (range, row, column, standIn) => {
      const extent = extentOfTable(range);
      const single = extent?.rows === 1 && extent.columns === 1;
      const text = single ? cellText(range, 0, 0) : cellText(range, row, column);
      const given: NativeArgument = { text, binding: binding.whole, ...literalCell(range, text) };
      return orDefault(given, standIn);
    },
    greatestIn: (range, column) => call("MAX", slice(range, column, 0, 0)),
    leastIn: (range, column) => call("MIN", slice(range, column, 0, 0)),
    count: (series) =>
      series.sort === "written" ? literal(flat(series.rows).length) : call("COUNT", series.text),
    first: (series) => piece(firstCell(series, 0), binding.whole),
    fromLast: (series, back) => {
      const count = m.count(series);
      return call("INDEX", series.text, m.sub(count, m.of(back)).text);
    },
    alternating: (series, odd, even) => {
      // Times one, so that a text among the figures is an error and not left out.
      if (odd === even) return call("SUMPRODUCT", `${series.text}*${odd}`);
      const weights =
        series.sort === "written"
          ? alternately(series.rows, odd, even)
          : `(${odd}${signed(even - odd)}*MOD(${places(series)},2))`;
      return call("SUMPRODUCT", `${series.text}*${weights}`);
    },
    sumOfSquares: (series) => call("SUMPRODUCT", `${series.text}*${series.text}`),
    lowest: (series, many) => {
      const { text } = series;
      const bound = `SMALL(${text},ROUNDUP(${many.text},0))`;
      const below = `(${text}<${bound})`;
      const filled = series.sort === "written" ? "1" : `(${text}<>"")`;
      const inPart = `(${many.text}-SUMPRODUCT(${below}*${filled}))*${bound}`;
      return piece(`SUMPRODUCT(${below}*${text})+${inPart}`, binding.sum);
    },
    lookUp: ({ columns, rows }, keys, column) => {
      const known = keys.every(({ literal: key }) => typeof key === "string");
      const fitting = known
        ? rows.filter((row) =>
            sameKeys(
              row.keys,
              keys.map((key) => String(key.literal)),
            ),
          )
        : rows;
      const [only] = fitting;
      if (only === undefined) return call("NA");
      const which = columns.findIndex(
        (name) => typeof column.literal === "string" && sameKeys([name], [column.literal]),
      );
      const figures = fitting.map((row) => (which < 0 ? row.figures : [row.figures[which] ?? 0]));
      if (known && which >= 0) return literal(figures[0]?.[0] ?? 0);
      const array = `{${figures.map((row) => row.join(",")).join(";")}}`;
      const names = (texts: readonly string[]) => `{${texts.map(quotedText).join(",")}}`;
      const at = (text: string, all: readonly string[]) => `MATCH(${patternless(text)},${names(all)},0)`;
      const row = known
        ? "1"
        : at(
            keys.map(({ text }) => text).join(`&"|"&`),
            fitting.map((one) => one.keys.join("|")),
          );
      return call("INDEX", array, row, which < 0 ? at(column.text, columns) : "1");
    },
    equal: (a, b) =>
      a.literal !== undefined && b.literal !== undefined
        ? numbers.equal(a.literal, b.literal)
        : `${within(a, binding.joined)}=${within(b, binding.joined)}`,
    notAvailable: () => call("NA"),
    isEven: (a) => (a.literal === undefined ? `MOD(${a.text},2)=0` : numbers.isEven(a.literal)),
    when: (condition, then, otherwise) =>
      typeof condition === "boolean"
        ? condition
          ? then
          : otherwise
        : call("IF", condition, then.text, otherwise.text),
    addable: (a) => a,
    sumOverSides: (corners, term) => {
      const here = cornerAt((column) => slice(corners, column, 0, 1));
      const next = cornerAt((column) => slice(corners, column, 1, 0));
      const filled = corners.sort === "written" ? "" : `(${next.x.text}<>"")*`;
      const along = within(term(here, next), filled === "" ? binding.comparison : binding.product);
      const last = cornerAt((column) => lastCell(corners, column));
      const first = cornerAt((column) => firstCell(corners, column));
      notes.dividesByBlank = true;
      return m.add(call("SUMPRODUCT", filled + along), term(last, first));
    },
    part: (text, separator, index) =>
      typeof text.literal === "string"
        ? literal(numbers.part(text.literal, separator, index))
        : call("VALUE", textPart(text.text, separator, index)),
    choose: (text, cases) => {
      const names = Object.keys(cases);
      const literalText = text.literal;
      const one = (name: string) => cases[name] ?? literal(0);
      if (typeof literalText === "string") {
        const name = names.find((known) => known.toLowerCase() === literalText.toLowerCase());
        if (name === undefined) throw new NoNativeForm(`"${literalText}" is not one of ${names.join(", ")}.`);
        return one(name);
      }
      return names.reduceRight<Piece>(
        (otherwise, name) => call("IF", `${text.text}="${name}"`, one(name).text, otherwise.text),
        call("NA"),
      );
    },
    greater: (a, b) =>
      a.literal !== undefined && b.literal !== undefined
        ? numbers.greater(a.literal, b.literal)
        : `ROUND(${m.sub(a, b).text},${wholeUpDecimals})>0`,
    refuseWhen: (condition, _argument, _sentence, value) => {
      if (condition === false) return value;
      if (condition === true) return call("NA");
      notes.dividesByBlank = true;
      return call("IF", condition, "NA()", value.text);
    },
    step: (_name, _kind, value) => value,
  };
  return m;
};

const signed = (value: number): string => (value < 0 ? String(value) : `+${value}`);
