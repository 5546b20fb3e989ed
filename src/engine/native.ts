/**
 * The second reading of a formula: a native worksheet formula, in functions that every spreadsheet has had for
 * twenty years, so that a sheet recalculates where the add-in is missing.
 */
import type { RangeA1, ReferenceA1 } from "@borgar/fx";
import { parseA1Ref, stringifyA1Ref } from "@borgar/fx";
import { checkArguments } from "./arguments";
import type { Extent } from "./columns";
import { commonHeight, innerFunction } from "./columns";
import type {
  Algebra,
  Computed,
  Corner,
  EachRow,
  Formula,
  SpilledValue,
  SpillPlace,
  WorksheetFunction,
} from "./formula";
import { unitsPosition } from "./formula";
import { flat, flatMap, mapValues } from "./lists";
import { ownForms } from "./native-forms";
import { numbers, sameKeys, wholeUpDecimals } from "./numbers";
import type { WrittenRange } from "./own-form";
import { approximationTold } from "./own-form";
import type { EndZeros, Limits, NumberParameter, Parameter, RangeParameter } from "./parameters";
import { isRepeating } from "./parameters";
import { Refusal } from "./refusal";
import type { Conversion } from "./units";

/** How tightly a piece of formula text holds together: brackets go round what binds more loosely than it must. */
export const binding = { comparison: 1, joined: 2, sum: 3, product: 4, power: 5, sign: 6, whole: 9 } as const;

/** An argument as it stands in the cell's formula. */
export interface NativeArgument {
  readonly text: string;
  readonly binding: number;
  /** The value of a number or text written out in the formula. */
  readonly literal?: number | string;
  /** Set where the value is worked out somewhere, so that no limit on an input cell can watch over it. */
  readonly computed?: boolean;
  /** What a computed value is known to lie within, so that no guard need ask again. */
  readonly bounds?: Limits;
}

export const leftOut: NativeArgument = { text: "", binding: binding.whole };

export interface NativeText {
  readonly text: string;
  readonly binding: number;
  /** Where the form is not the function's equal in everything: what it does instead, as a sentence. */
  readonly told?: string;
  /** Set where what it works out instead is plainer, which its cell has to say. */
  readonly isPlainer?: true;
}

interface Piece extends NativeText {
  /** A divisor that may be blank needs the function's answer for an unfilled row written out. */
  readonly mayBeBlank: boolean;
  readonly literal?: number;
}

type Table =
  | { readonly sort: "reference"; readonly at: ReferenceA1; readonly text: string }
  | { readonly sort: "written"; readonly rows: readonly (readonly string[])[]; readonly text: string }
  | { readonly sort: "expression"; readonly text: string };

interface NativeTerms {
  readonly number: Piece;
  readonly range: Table;
  readonly text: NativeArgument;
  /** Text to be asked in the cell, or an answer that is known while the formula is written. */
  readonly condition: string | boolean;
  readonly factor: { readonly operation: "times" | "over"; readonly by: Piece | 1 };
}

const piece = (text: string, tight: number, mayBeBlank = false): Piece => ({
  text,
  binding: tight,
  mayBeBlank,
});
const call = (name: string, ...given: readonly string[]): Piece =>
  piece(`${name}(${given.join(",")})`, binding.whole);
const literal = (value: number): Piece => ({
  text: String(value),
  binding: value < 0 ? binding.sign : binding.whole,
  mayBeBlank: value === 0,
  literal: value,
});

const within = ({ text, binding: tight }: NativeText, least: number): string =>
  tight < least ? `(${text})` : text;

/** Excel has no formula for it: says why. */
export class NoNativeForm extends Error {
  override readonly name = "NoNativeForm";
}

const writtenTable = /^\{([^]*)\}$/;

function table(argument: NativeArgument): Table {
  const { text } = argument;
  const rows = writtenTable.exec(text)?.[1];
  if (rows !== undefined)
    return { sort: "written", text, rows: rows.split(";").map((row) => row.split(",")) };
  const reference = parseA1Ref(text, { allowNamed: false });
  if (reference !== undefined && "range" in reference && reference.range.top !== null) {
    return { sort: "reference", at: reference, text };
  }
  if (argument.literal !== undefined) return { sort: "written", text, rows: [[text]] };
  return { sort: "expression", text };
}

const rowsOf = (from: Table): number | undefined => extentOfTable(from)?.rows;

/** How many rows and columns a table has, where its text says so. */
function extentOfTable(from: Table): Extent | undefined {
  if (from.sort === "written") return { rows: from.rows.length, columns: from.rows[0]?.length ?? 0 };
  if (from.sort === "expression") return undefined;
  const { top, bottom, left, right } = from.at.range;
  return {
    rows: (bottom ?? top ?? 0) - (top ?? 0) + 1,
    columns: (right ?? left ?? 0) - (left ?? 0) + 1,
  };
}

/** A block of a table as a reference; rows and columns count from 0, the last ones included. */
function block(from: Table & { sort: "reference" }, first: Spot, last: Spot): string {
  const { range } = from.at;
  const [top, left] = [range.top ?? 0, range.left ?? 0];
  const part: RangeA1 = {
    ...range,
    top: top + first.row,
    bottom: top + last.row,
    left: left + first.column,
    right: left + last.column,
    ...(range.$top === undefined ? {} : { $bottom: range.$top }),
    ...(range.$left === undefined ? {} : { $right: range.$left }),
  };
  return stringifyA1Ref({ ...from.at, range: part });
}

interface Spot {
  readonly row: number;
  readonly column: number;
}

/** One column of some rows of a table, as a reference. Rows and columns count from 0; the last `dropLast` are left out. */
function slice(from: Table, column: number, start: number, dropLast: number): string {
  if (from.sort === "written") {
    const rows = from.rows.slice(start, from.rows.length - dropLast);
    return `{${rows.map((row) => row[column] ?? "0").join(";")}}`;
  }
  if (from.sort === "reference") {
    const rows = rowsOf(from) ?? 1;
    return block(from, { row: start, column }, { row: rows - 1 - dropLast, column });
  }
  const cell = (row: string) => `INDEX(${from.text},${row},${column + 1})`;
  return `${cell(String(start + 1))}:${cell(`ROWS(${from.text})${dropLast === 0 ? "" : `-${dropLast}`}`)}`;
}

/** A series without its first or its last cell, whichever way it lies. */
function sliceOfSeries(from: Table, start: number, dropLast: number): string {
  const extent = extentOfTable(from);
  if (from.sort === "reference" && extent !== undefined && extent.rows === 1) {
    return block(from, { row: 0, column: start }, { row: 0, column: extent.columns - 1 - dropLast });
  }
  if (from.sort !== "expression") return slice(from, 0, start, dropLast);
  const cell = (place: string) => `INDEX(${from.text},${place})`;
  const size = `ROWS(${from.text})*COLUMNS(${from.text})`;
  return `${cell(String(start + 1))}:${cell(dropLast === 0 ? size : `${size}-${dropLast}`)}`;
}

/** One cell of a table as text. */
function cellText(from: Table, row: number, column: number): string {
  if (from.sort === "written") return from.rows[row]?.[column] ?? "0";
  if (from.sort === "reference") return block(from, { row, column }, { row, column });
  return `INDEX(${from.text},${row + 1},${column + 1})`;
}

const firstCell = (from: Table, column: number): string => cellText(from, 0, column);

/** The last filled cell of a column: trailing blank rows of an outline are left out. */
function lastCell(from: Table, column: number): string {
  if (from.sort === "written") return from.rows[from.rows.length - 1]?.[column] ?? "0";
  const counted = slice(from, 0, 0, 0);
  return `INDEX(${slice(from, column, 0, 0)},COUNT(${counted}))`;
}

/** The place of each cell of a series, from 0 on, whichever way it lies. */
function places(from: Table): string {
  const extent = extentOfTable(from);
  const first = firstCell(from, 0);
  const along = (name: string) => `${name}(${from.text})-${name}(${first})`;
  if (extent === undefined) return `${along("ROW")}+${along("COLUMN")}`;
  return along(extent.columns > 1 ? "COLUMN" : "ROW");
}

/** Two numbers in turn, in the shape of a series that is written out. */
const alternately = (rows: readonly (readonly string[])[], odd: number, even: number): string =>
  `{${flat(rows)
    .map((_cell, i) => (i % 2 === 0 ? odd : even))
    .join(rows.length > 1 ? ";" : ",")}}`;

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
interface Writing {
  dividesByBlank: boolean;
}

const written = (notes: Writing): Algebra<NativeTerms> => {
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

/** The limits that are not already known to hold. */
function unknownLimits(limits: Limits, known: Limits = {}): Limits {
  const { above, least, below, most, whole } = limits;
  const floor = known.least ?? known.above ?? Number.NEGATIVE_INFINITY;
  const ceiling = known.most ?? known.below ?? Number.POSITIVE_INFINITY;
  return {
    ...(above !== undefined && above >= floor ? { above } : {}),
    ...(least !== undefined && least > floor ? { least } : {}),
    ...(below !== undefined && below <= ceiling ? { below } : {}),
    ...(most !== undefined && most < ceiling ? { most } : {}),
    ...(whole === true ? { whole } : {}),
  };
}

/** Whether a number passes its limits, as a condition in a cell; empty where there is nothing to watch. */
export function limitConditions(text: string, limits: Limits): readonly string[] {
  const { above, least, below, most, whole } = limits;
  return [
    above === undefined ? "" : `${text}>${above}`,
    least === undefined ? "" : `${text}>=${least}`,
    below === undefined ? "" : `${text}<${below}`,
    most === undefined ? "" : `${text}<=${most}`,
    whole === true ? `INT(${text})=${text}` : "",
  ].filter((condition) => condition !== "");
}

/** The conditions under which a computed argument is one that the function accepts. */
function guards(parameter: Parameter, argument: NativeArgument): readonly string[] {
  const gaps = parameter.takes === "range" ? gapGuards(parameter, argument) : [];
  if (argument.computed !== true) return gaps;
  const { text } = argument;
  if (parameter.takes === "text") {
    if (parameter.tabulated === true) return [];
    if (parameter.choices === undefined) return [`ISTEXT(${text})`];
    const choices = [...parameter.choices, ""].map((choice) => `${text}="${choice}"`);
    // A reference to a blank cell is worked out as 0.
    return [`OR(${[...choices, `${text}=0`].join(",")})`];
  }
  if (parameter.takes === "number") {
    const loose = within(argument, binding.joined);
    const { above, ...others } = parameter;
    const asked = (limits: Limits) => limitConditions(loose, unknownLimits(limits, argument.bounds));
    if (above === undefined) return asked(others);
    // A computed 0 stands for a blank where the parameter has a default, as the function reads it.
    return asked(parameter.blank === "default" ? { ...others, least: above } : parameter);
  }
  return [...gaps, ...rangeGuards(parameter, text)];
}

const isRange = (text: string): boolean => parseA1Ref(text, { allowNamed: true }) !== undefined;

/** No cell of a computed range may lie outside its limits. */
function rangeGuards(parameter: Parameter, text: string): readonly string[] {
  if (!isRange(text) || parameter.takes === "text") return [];
  const { above, ...others } = parameter;
  const { least, below, most } = others;
  // Zero stands for a blank where the cells have a default or nothing but more than 0 can be meant.
  const lenient = above !== undefined && (parameter.blank === "default" || above === 0);
  const floor = lenient ? { least: above } : { above, least };
  const { rows, columns } = extentOfTable(table({ text, binding: binding.whole })) ?? {};
  if (rows === 1 && columns === 1)
    return limitConditions(text, unknownLimits(lenient ? { ...others, least: above } : parameter));
  const outside = [
    floor.above === undefined ? "" : `"<=${floor.above}"`,
    floor.least === undefined ? "" : `"<${floor.least}"`,
    below === undefined ? "" : `">=${below}"`,
    most === undefined ? "" : `">${most}"`,
  ];
  return outside
    .filter((condition) => condition !== "")
    .map((condition) => `COUNTIF(${text},${condition})=0`);
}

/**
 * What is measured in order may end in blanks, but a gap in it is refused, and so is too short a list and one that ends
 * in zeros.
 */
function gapGuards(parameter: RangeParameter, argument: NativeArgument): readonly string[] {
  const from = table(argument);
  const { columns, leastRows = 1, endZeros } = parameter;
  if (from.sort === "written" || (columns === undefined && parameter.series !== true)) return [];
  const [here, next] =
    columns === undefined
      ? [sliceOfSeries(from, 0, 1), sliceOfSeries(from, 1, 0)]
      : [slice(from, 0, 0, 1), slice(from, 0, 1, 0)];
  const column = (i: number) => slice(from, i, 0, 0);
  return [
    ...(extentOfTable(from)?.rows === 1 && columns !== undefined
      ? []
      : [`SUMPRODUCT((${here}="")*(${next}<>""))=0`]),
    ...(columns === undefined ? [] : [`SUMPRODUCT(((${column(0)}="")<>(${column(1)}=""))*1)=0`]),
    `COUNT(${columns === undefined ? from.text : column(0)})>=${leastRows}`,
    ...(endZeros === undefined
      ? []
      : columns === undefined
        ? endOfSeries(from, endZeros)
        : endOfOutline(from, leastRows)),
  ];
}

/** The last of a series is no 0, or the last but one is none where one 0 may end it. */
function endOfSeries({ text }: Table, { most }: EndZeros): readonly string[] {
  const last = `INDEX(${text},COUNT(${text}))`;
  if (most === 0) return [`${last}<>0`];
  return [`OR(${last}<>0,INDEX(${text},MAX(1,COUNT(${text})-1))<>0)`];
}

/** The last corner is not at 0, 0 unless the first is, and enough others are not. */
function endOfOutline(from: Table, leastRows: number): readonly string[] {
  const size = (cell: (column: number) => string) => `ABS(${cell(0)})+ABS(${cell(1)})`;
  const atZero = [0, 1].map((column) => `(${slice(from, column, 0, 0)}=0)`).join("*");
  return [
    `OR(${size((column) => firstCell(from, column))}=0,${size((column) => lastCell(from, column))}>0)`,
    `SUMPRODUCT(1-${atZero})>=${leastRows - 1}`,
  ];
}

/** A value with what stands in for a blank or a zero. */
function orDefault(
  { text, binding: tight, literal: value }: NativeArgument,
  standIn: number | undefined,
): Piece {
  if (standIn !== undefined) {
    if (text === "" || value === 0) return literal(standIn);
    if (value === undefined && standIn !== 0) return call("IF", `${text}=0`, String(standIn), text);
  }
  if (text === "") return literal(0);
  return typeof value === "number"
    ? { text, binding: tight, literal: value, mayBeBlank: value === 0 }
    : piece(text, tight, standIn === undefined);
}

const numberTerm = (parameter: NumberParameter, argument: NativeArgument): Piece =>
  orDefault(argument, parameter.default);

/** The text, with the default where its cell is blank. */
const textTerm = (standIn: string | undefined, argument: NativeArgument): NativeArgument =>
  standIn === undefined || typeof argument.literal === "string"
    ? argument
    : argument.text === "" || argument.literal === 0
      ? { text: quotedText(standIn), binding: binding.whole, literal: standIn }
      : { ...argument, text: `IF(${blankText(argument)},${quotedText(standIn)},${argument.text})` };

/** Whether a text is blank: a cell that refers to a blank one is worked out as 0. */
const blankText = ({ text, computed }: NativeArgument): string =>
  computed === true ? `OR(${text}="",${text}=0)` : `${text}=""`;

const quotedText = (text: string): string => `"${text.replace(/"/g, '""')}"`;

const signed = (value: number): string => (value < 0 ? String(value) : `+${value}`);

const literalCell = ({ sort }: Table, text: string): { literal?: number } =>
  sort === "written" && text !== "" && Number.isFinite(Number(text)) ? { literal: Number(text) } : {};

/** The factor between units: one number, or a choice where the unit system stands in a cell. */
function factorTerm({ us, metric }: Conversion, units: NativeArgument): NativeTerms["factor"] {
  const { operation } = us;
  const system = typeof units.literal === "string" ? units.literal.toLowerCase() : undefined;
  const asUs = metric.operation === operation ? metric.by : 1 / metric.by;
  const one = (by: number): NativeTerms["factor"] => ({ operation, by: by === 1 ? 1 : literal(by) });
  if (units.text === "" || system === "us") return one(us.by);
  if (system === "metric") return one(asUs);
  return us.by === asUs
    ? one(us.by)
    : { operation, by: call("IF", `${units.text}="metric"`, String(asUs), String(us.by)) };
}

const rangeTerm = (parameter: RangeParameter, argument: NativeArgument): Table =>
  argument.text === "" && parameter.default !== undefined
    ? { sort: "written", text: String(parameter.default), rows: [[String(parameter.default)]] }
    : table(argument);

const term = (parameter: Parameter, argument: NativeArgument): Piece | Table | NativeArgument => {
  switch (parameter.takes) {
    case "number":
      return numberTerm(parameter, argument);
    case "range":
      return rangeTerm(parameter, argument);
    case "text":
      return parameter.id === "units" ? argument : textTerm(parameter.default, argument);
    default:
      return argument;
  }
};

/** The value of an argument that is written out in the formula, a table of numbers included. */
function writtenOut(parameter: Parameter, argument: NativeArgument): unknown {
  if (isLiteral(argument)) return argument.literal ?? null;
  const from = parameter.takes === "range" ? table(argument) : undefined;
  return from?.sort === "written" ? from.rows.map((row) => row.map(Number)) : undefined;
}

/** Whether it is written in the formula itself that there is nothing to cover. */
function leavesNothing(parameter: Parameter, argument: NativeArgument): boolean {
  if (parameter.blank !== "nothing to cover") return false;
  if (argument.text === "" || argument.literal === 0) return true;
  const written = writtenOut(parameter, argument);
  return Array.isArray(written) && flat(written as number[][]).every((cell) => cell === 0);
}

/** Whether a range of this shape can hold what is measured in order, or what is one value. */
function mayFit(parameter: Parameter, argument: NativeArgument): boolean {
  if (parameter.takes === "number" || parameter.takes === "text") {
    const { rows, columns } = extentOfTable(table(argument)) ?? { rows: 1, columns: 1 };
    return rows === 1 && columns === 1;
  }
  if (parameter.takes !== "range") return true;
  const { columns, series, leastRows = 1, mostCells } = parameter;
  const extent = extentOfTable(table(argument));
  if (mostCells !== undefined && extent !== undefined && extent.rows * extent.columns > mostCells)
    return false;
  if (extent === undefined || (columns === undefined && series !== true)) return true;
  if (columns !== undefined) return extent.columns === columns && extent.rows >= leastRows;
  return Math.min(extent.rows, extent.columns) === 1 && Math.max(extent.rows, extent.columns) >= leastRows;
}

/** Arguments written out in the formula that the function refuses are refused for good: their native form is #N/A. */
function refusedForGood(parameters: readonly Parameter[], given: readonly NativeArgument[]): boolean {
  const known = flatMap(parameters, (parameter, i) => {
    const value = isRepeating(parameter) ? undefined : writtenOut(parameter, given[i] ?? leftOut);
    return value === undefined ? [] : [{ parameter, value }];
  });
  try {
    checkArguments(
      known.map(({ parameter }) => parameter),
      known.map(({ value }) => value),
    );
    return false;
  } catch (refusal) {
    if (refusal instanceof Refusal) return true;
    throw refusal;
  }
}

const isLiteral = ({ text, literal: value }: NativeArgument): boolean => text === "" || value !== undefined;

/** The native form of one call. Throws NoNativeForm where there is none. */
export function nativeForm(definition: WorksheetFunction, given: readonly NativeArgument[]): NativeText {
  switch (definition.form) {
    case "formula":
      return formulaText(definition, given, (m, factors, terms) => definition.body(m, factors, ...terms));
    case "computed":
      return approximateText(definition, given);
    case "spilled value":
    case "spilled formula":
    case "each row":
      throw new NoNativeForm(
        `${definition.id} spills over several cells: each of them has a native form of its own.`,
      );
  }
}

/**
 * The native form of one cell of a spill, which has so many rows and columns as it stands in the sheet now. Throws
 * NoNativeForm where there is none.
 */
export function nativeCell(
  definition: WorksheetFunction,
  given: readonly NativeArgument[],
  at: SpillPlace,
): NativeText {
  switch (definition.form) {
    case "spilled formula":
      return formulaText(definition, given, (m, factors, terms) => definition.body(m, factors, at, ...terms));
    case "spilled value":
      return cellByCellText(definition, given, at);
    case "each row":
      return rowText(definition, given, at.row);
    default:
      return nativeForm(definition, given);
  }
}

function approximateText(definition: Computed, given: readonly NativeArgument[]): NativeText {
  const own = ownForms[definition.id];
  if (own?.form !== "approximation") {
    throw new NoNativeForm(definition.whyNoFormula ?? `${definition.id} has no worksheet formula.`);
  }
  const { parameters } = definition;
  const native = formulaText({ parameters, conversions: own.conversions }, given, (m, factors, terms) =>
    own.body(m, factors, ...terms),
  );
  return { ...native, told: approximationTold(own) };
}

function cellByCellText(
  definition: SpilledValue,
  given: readonly NativeArgument[],
  at: SpillPlace,
): NativeText {
  const own = ownForms[definition.id];
  if (own?.form !== "cell by cell") throw new NoNativeForm(`${definition.id} has no worksheet formula.`);
  const { parameters } = definition;
  let known: Pick<NativeText, "told" | "isPlainer"> = {};
  const native = formulaText({ parameters, conversions: {} }, given, (_m, _factors, _terms, notes) => {
    notes.dividesByBlank = true;
    const { text, ...others } = own.write(
      parameters.map((parameter, i) => writtenArgument(parameter, given[i] ?? leftOut, at)),
      at,
    );
    known = others;
    // The whole of it is one call of a function.
    return piece(text, binding.whole);
  });
  return { ...native, ...known };
}

/** An argument as it can be repeated anywhere in a formula. */
function writtenArgument(
  parameter: Parameter,
  argument: NativeArgument,
  { rows, columns }: SpillPlace,
): string | WrittenRange | undefined {
  if (argument.text === "") return undefined;
  if (parameter.takes !== "range") return within(argument, binding.whole);
  const from = table(argument);
  const extent = extentOfTable(from) ?? { rows, columns };
  const line = (row: number) => Array.from({ length: extent.columns }, (_cell, i) => cellText(from, row, i));
  return { text: from.text, cells: Array.from({ length: extent.rows }, (_row, i) => line(i)) };
}

/** One row of EACH_ROW; a call that is refused as a whole is refused for good. */
function rowText(definition: EachRow, given: readonly NativeArgument[], row: number): NativeText {
  try {
    return nativeForm(...rowCall(definition, given, row));
  } catch (refusal) {
    if (refusal instanceof Refusal) return call("NA");
    throw refusal;
  }
}

/** The function and the arguments that one row of EACH_ROW stands for. */
function rowCall(
  definition: EachRow,
  [name = leftOut, ...columns]: readonly NativeArgument[],
  row: number,
): [WorksheetFunction, readonly NativeArgument[]] {
  if (typeof name.literal !== "string") {
    throw new NoNativeForm(
      "The name of the function stands in a cell, so no one formula can take its place.",
    );
  }
  const inner = innerFunction(definition, name.literal);
  const tables = columns.map(table);
  const extents = tables.map((from) => extentOfTable(from) ?? { rows: 1, columns: 1 });
  if (tables.some((from) => from.sort === "expression")) {
    throw new NoNativeForm(
      "A column that is a name or is worked out has no rows that a formula could point to.",
    );
  }
  commonHeight(inner, extents);
  const cells = tables.map((from, i): NativeArgument => {
    const { rows, columns: wide } = extents[i] ?? { rows: 1, columns: 1 };
    const argument = columns[i] ?? leftOut;
    if (argument.text === "" || argument.literal !== undefined) return argument;
    const line = rows === 1 ? 0 : row;
    if (from.sort === "reference") {
      const text = block(from, { row: line, column: 0 }, { row: line, column: wide - 1 });
      return { ...argument, text };
    }
    const text = cellText(from, line, 0);
    return { text, binding: binding.whole, literal: text.startsWith('"') ? text.slice(1, -1) : Number(text) };
  });
  return [inner, cells];
}

type Writer = (
  m: Algebra<NativeTerms>,
  factors: Readonly<Record<string, NativeTerms["factor"]>>,
  terms: readonly (Piece | Table | NativeArgument | readonly Table[])[],
  notes: Writing,
) => NativeText;

function formulaText(
  definition: Pick<Formula, "parameters" | "conversions">,
  given: readonly NativeArgument[],
  write: Writer,
): NativeText {
  const { parameters } = definition;
  const argument = (i: number): NativeArgument => given[i] ?? leftOut;
  if (refusedForGood(parameters, given)) return call("NA");
  if (parameters.some((parameter, i) => leavesNothing(parameter, argument(i)))) {
    return literal(0);
  }
  if (!parameters.every((parameter, i) => mayFit(parameter, argument(i)))) {
    return unfilledRow(parameters, given, call("NA"));
  }

  const units = argument(unitsPosition(definition));
  const factors = mapValues(definition.conversions, (factor) => factorTerm(factor, units));
  const terms = parameters.map((parameter, i) =>
    isRepeating(parameter) ? given.slice(i).map(table) : term(parameter, argument(i)),
  );
  const notes: Writing = { dividesByBlank: false };
  const core = write(written(notes), factors, terms, notes);

  const conditions = flatMap(parameters, (parameter, i) =>
    isRepeating(parameter)
      ? flatMap(given.slice(i), (one) => guards(parameter, one))
      : guards(parameter, argument(i)),
  );
  const guarded =
    conditions.length === 0
      ? core
      : call(
          "IF",
          conditions.length === 1 ? (conditions[0] ?? "") : `AND(${conditions.join(",")})`,
          core.text,
          "NA()",
        );
  if (!notes.dividesByBlank && conditions.length === 0) return guarded;
  return unfilledRow(parameters, given, guarded);
}

/** An unfilled row of a bid costs nothing: with nothing to cover the answer is 0, whatever else is blank. */
function unfilledRow(
  parameters: readonly Parameter[],
  given: readonly NativeArgument[],
  core: NativeText,
): NativeText {
  const position = parameters.findIndex(({ blank }) => blank === "nothing to cover");
  const covered = given[position];
  if (position < 0 || covered === undefined || isLiteral(covered)) return core;
  const empty =
    parameters[position]?.takes === "range"
      ? `AND(MAX(${covered.text})=0,MIN(${covered.text})=0)`
      : `${within(covered, binding.joined)}=0`;
  return call("IF", empty, "0", core.text);
}
