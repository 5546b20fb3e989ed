/**
 * The second reading of a formula: a native worksheet formula, in functions that every spreadsheet has had for
 * twenty years, so that a sheet recalculates where the add-in is missing.
 */
import type { RangeA1, ReferenceA1 } from "@borgar/fx";
import { parseA1Ref, stringifyA1Ref } from "@borgar/fx";
import { checkArguments } from "./arguments";
import type { Algebra, Corner, Formula, WorksheetFunction } from "./formula";
import { unitsPosition } from "./formula";
import { numbers, wholeUpDecimals } from "./numbers";
import type { Limits, NumberParameter, Parameter } from "./parameters";
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

const writtenTable = /^\{(.*)\}$/s;

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

/** One column of some rows of a table, as a reference. Rows and columns count from 0; `end` is left out. */
function slice(from: Table, column: number, start: number, dropLast: number): string {
  if (from.sort === "written") {
    const rows = from.rows.slice(start, from.rows.length - dropLast);
    return `{${rows.map((row) => row[column] ?? "0").join(";")}}`;
  }
  if (from.sort === "reference") {
    const { range } = from.at;
    const left = (range.left ?? 0) + column;
    const part: RangeA1 = {
      ...range,
      left,
      right: left,
      top: (range.top ?? 0) + start,
      bottom: (range.bottom ?? range.top ?? 0) - dropLast,
      ...(range.$left === undefined ? {} : { $right: range.$left }),
    };
    return stringifyA1Ref({ ...from.at, range: part });
  }
  const cell = (row: string) => `INDEX(${from.text},${row},${column + 1})`;
  return `${cell(String(start + 1))}:${cell(`ROWS(${from.text})${dropLast === 0 ? "" : `-${dropLast}`}`)}`;
}

function rowCount(from: Table): number | undefined {
  if (from.sort === "written") return from.rows.length;
  if (from.sort === "reference") {
    const { top, bottom } = from.at.range;
    return (bottom ?? top ?? 0) - (top ?? 0) + 1;
  }
  return undefined;
}

function firstCell(from: Table, column: number): string {
  const rows = rowCount(from);
  if (from.sort === "written") return from.rows[0]?.[column] ?? "0";
  if (from.sort === "reference" && rows !== undefined) return slice(from, column, 0, rows - 1);
  return `INDEX(${from.text},1,${column + 1})`;
}

/** The last filled cell of a column: trailing blank rows of an outline are left out. */
function lastCell(from: Table, column: number): string {
  if (from.sort === "written") return from.rows[from.rows.length - 1]?.[column] ?? "0";
  const counted = slice(from, 0, 0, 0);
  return `INDEX(${slice(from, column, 0, 0)},COUNT(${counted}))`;
}

const cornerAt = (cell: (column: number) => string): Corner<NativeTerms> => ({
  x: piece(cell(0), binding.whole),
  y: piece(cell(1), binding.whole),
});

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
    scale: (a, { operation, by }) =>
      by === 1
        ? a
        : piece(
            `${within(a, binding.product)}${operation === "times" ? "*" : "/"}${by.text}`,
            binding.product,
            a.mayBeBlank,
          ),
    wholeUp: (a) => call("ROUNDUP", `ROUND(${a.text},${wholeUpDecimals})`, "0"),
    sum: (ranges) => call("SUM", ...ranges.map(({ text }) => text)),
    sumOverSides: (corners, term) => {
      const rows = rowCount(corners);
      if (rows !== undefined && rows < 2) throw new NoNativeForm("The outline has too few rows.");
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
        : call(
            "VALUE",
            `TRIM(MID(SUBSTITUTE(${text.text},"${separator}",REPT(" ",99)),${index * 99 + 1},99))`,
          ),
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
  const { above, least, below, most } = limits;
  const floor = known.least ?? known.above ?? Number.NEGATIVE_INFINITY;
  const ceiling = known.most ?? known.below ?? Number.POSITIVE_INFINITY;
  return {
    ...(above !== undefined && above >= floor ? { above } : {}),
    ...(least !== undefined && least > floor ? { least } : {}),
    ...(below !== undefined && below <= ceiling ? { below } : {}),
    ...(most !== undefined && most < ceiling ? { most } : {}),
  };
}

/** Whether a number passes its limits, as a condition in a cell; empty where there is nothing to watch. */
export function limitConditions(text: string, limits: Limits): readonly string[] {
  const { above, least, below, most } = limits;
  return [
    above === undefined ? "" : `${text}>${above}`,
    least === undefined ? "" : `${text}>=${least}`,
    below === undefined ? "" : `${text}<${below}`,
    most === undefined ? "" : `${text}<=${most}`,
  ].filter((condition) => condition !== "");
}

/** The conditions under which a computed argument is one that the function accepts. */
function guards(parameter: Parameter, argument: NativeArgument): readonly string[] {
  if (argument.computed !== true) return [];
  const { text } = argument;
  if (parameter.takes === "text") {
    return parameter.choices === undefined
      ? []
      : [`OR(${[...parameter.choices, ""].map((choice) => `${text}="${choice}"`).join(",")})`];
  }
  if (parameter.takes === "number") {
    const loose = within(argument, binding.joined);
    const { above, ...others } = parameter;
    const asked = (limits: Limits) => limitConditions(loose, unknownLimits(limits, argument.bounds));
    if (above === undefined) return asked(others);
    // A computed 0 stands for a blank where the parameter has a default, as the function reads it.
    return asked(parameter.blank === "default" ? { ...others, least: above } : parameter);
  }
  return parseA1Ref(text, { allowNamed: true }) !== undefined && parameter.least === 0
    ? [`COUNTIF(${text},"<0")=0`]
    : [];
}

function numberTerm(parameter: NumberParameter, argument: NativeArgument): Piece {
  const standIn = parameter.default;
  const { text, binding: tight } = argument;
  if (standIn !== undefined) {
    if (text === "" || argument.literal === 0) return literal(standIn);
    if (argument.literal === undefined && standIn !== 0)
      return call("IF", `${text}=0`, String(standIn), text);
  }
  if (text === "") return literal(0);
  return typeof argument.literal === "number"
    ? { text, binding: tight, literal: argument.literal, mayBeBlank: argument.literal === 0 }
    : piece(text, tight, standIn === undefined);
}

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

const term = (parameter: Parameter, argument: NativeArgument): Piece | Table | NativeArgument => {
  switch (parameter.takes) {
    case "number":
      return numberTerm(parameter, argument);
    case "range":
      return table(argument);
    default:
      return argument;
  }
};

/** Arguments written out in the formula that the function refuses are refused for good: their native form is #N/A. */
function refusedForGood(parameters: readonly Parameter[], given: readonly NativeArgument[]): boolean {
  const literalOnly = parameters.filter(
    (parameter, i) =>
      parameter.takes !== "range" && parameter.takes !== "repeating" && isLiteral(given[i] ?? leftOut),
  );
  const raw = literalOnly.map((parameter) => given[parameters.indexOf(parameter)]?.literal ?? null);
  try {
    checkArguments(literalOnly, raw);
    return false;
  } catch (refusal) {
    if (refusal instanceof Refusal) return true;
    throw refusal;
  }
}

const isLiteral = ({ text, literal: value }: NativeArgument): boolean => text === "" || value !== undefined;

/** The native form of one call. Throws NoNativeForm where there is none. */
export function nativeForm(definition: WorksheetFunction, given: readonly NativeArgument[]): NativeText {
  if (definition.form === "computed") throw new NoNativeForm(definition.whyNoFormula);
  return formulaText(definition, given);
}

function formulaText(definition: Formula, given: readonly NativeArgument[]): NativeText {
  const { parameters } = definition;
  const argument = (i: number): NativeArgument => given[i] ?? leftOut;
  if (refusedForGood(parameters, given)) return call("NA");

  const units = argument(unitsPosition(definition));
  const factors = Object.fromEntries(
    Object.entries(definition.conversions).map(([name, factor]) => [name, factorTerm(factor, units)]),
  );
  const terms = parameters.map((parameter, i) =>
    parameter.takes === "repeating" ? given.slice(i).map(table) : term(parameter, argument(i)),
  );
  const notes: Writing = { dividesByBlank: false };
  const core: NativeText = definition.body(written(notes), factors, ...terms);

  const conditions = parameters.flatMap((parameter, i) => guards(parameter, argument(i)));
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
      ? `COUNT(${covered.text})=0`
      : `${within(covered, binding.joined)}=0`;
  return call("IF", empty, "0", core.text);
}
