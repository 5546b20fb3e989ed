/**
 * A formula is written once, over a small algebra, and read three ways: as a number (numbers.ts), as a native
 * worksheet formula (native) and as the working a person can follow (working). Everything else that is
 * known about a worksheet function - its arguments, limits, units, sources - is data beside the formula, and
 * metadata, argument checks, pane, documentation and tests are all made from it.
 */
import type { Limits, Parameter, ParameterValue } from "./parameters";
import { unitsParameter } from "./parameters";
import type { Refusal } from "./refusal";
import type { Conversion, Kind, UnitSystem } from "./units";
import { hasUnits } from "./units";

/** What a reading uses for each sort of thing: numbers are numbers in one reading and text in another. */
export interface Terms {
  readonly number: unknown;
  readonly range: unknown;
  readonly text: unknown;
  readonly condition: unknown;
  readonly factor: unknown;
}

/** A point of an outline, in the terms of a reading. */
export interface Corner<T extends Terms> {
  readonly x: T["number"];
  readonly y: T["number"];
}

/** The operations a formula may be written in. Each reading gives them its own meaning. */
export interface Algebra<T extends Terms> {
  of(value: number): T["number"];
  add(a: T["number"], b: T["number"]): T["number"];
  sub(a: T["number"], b: T["number"]): T["number"];
  mul(a: T["number"], b: T["number"]): T["number"];
  div(a: T["number"], b: T["number"]): T["number"];
  abs(a: T["number"]): T["number"];
  root(a: T["number"]): T["number"];
  square(a: T["number"]): T["number"];
  min(a: T["number"], b: T["number"]): T["number"];
  max(a: T["number"], b: T["number"]): T["number"];
  /** Angles are in radians. */
  sin(a: T["number"]): T["number"];
  cos(a: T["number"]): T["number"];
  tan(a: T["number"]): T["number"];
  arccos(a: T["number"]): T["number"];
  arctan(a: T["number"]): T["number"];
  pi(): T["number"];
  /** A change of unit: by a factor that depends on the unit system. */
  scale(a: T["number"], factor: T["factor"]): T["number"];
  /** Up to a whole number, after rounding to 9 decimals, so that 10.000000000000002 bags are 10 bags. */
  wholeUp(a: T["number"]): T["number"];
  /** Sum over ranges, a blank cell counting as nothing. */
  sum(ranges: readonly T["range"][]): T["number"];
  /** One cell of a range, counted from 0; a range of one cell is that cell everywhere. */
  cell(range: T["range"], row: number, column: number, standIn?: number): T["number"];
  /** The greatest and the least figure of a column, blanks left out; columns count from 0. */
  greatestIn(range: T["range"], column: number): T["number"];
  leastIn(range: T["range"], column: number): T["number"];
  /** How many figures a series has, the blanks at its end left out. */
  count(series: T["range"]): T["number"];
  /** A figure of a series, counted back from the last, which is 0. */
  fromLast(series: T["range"], back: number): T["number"];
  first(series: T["range"]): T["number"];
  /** Sum of a series with a weight for its first, third, fifth figure and one for those between. */
  alternating(series: T["range"], odd: number, even: number): T["number"];
  sumOfSquares(series: T["range"]): T["number"];
  /** Sum of the lowest figures, so many of them; the last may count in part. */
  lowest(series: T["range"], many: T["number"]): T["number"];
  /** Sum of a term over the sides of an outline, the side from the last corner back to the first included. */
  sumOverSides(corners: T["range"], term: (from: Corner<T>, to: Corner<T>) => T["number"]): T["number"];
  /** The part of a text between separators, counted from 0, as a number. */
  part(text: T["text"], separator: string, index: number): T["number"];
  /** The value that belongs to a text, whatever its letter case. */
  choose(text: T["text"], cases: Readonly<Record<string, T["number"]>>): T["number"];
  /** The figure of a published table in the row of the keys, in the column of that name. */
  lookUp(table: LookUpTable, keys: readonly T["text"][], column: T["text"]): T["number"];
  isEven(a: T["number"]): T["condition"];
  /** Equal to nine decimals. */
  equal(a: T["number"], b: T["number"]): T["condition"];
  /** No figure at all, where a formula that was handed over no longer holds. */
  notAvailable(): T["number"];
  when(condition: T["condition"], then: T["number"], otherwise: T["number"]): T["number"];
  /** Nearly the value: so few bits that as many of them as told add up without rounding. */
  addable(a: T["number"], many: number): T["number"];
  /** Greater by more than nine decimals can hide: shares that add up to 1 on paper are not more than 1. */
  greater(a: T["number"], b: T["number"]): T["condition"];
  /** The value, unless the condition holds: then the argument is refused with the sentence. */
  refuseWhen(condition: T["condition"], argument: string, sentence: string, value: T["number"]): T["number"];
  /** Gives an intermediate result a name and a unit, so that the working can show it on a line of its own. */
  step(name: string, kind: Kind, value: T["number"]): T["number"];
}

/** A published table with a text key for each row, joined from several, and named columns of figures. */
export interface LookUpTable {
  readonly columns: readonly string[];
  readonly rows: readonly { readonly keys: readonly string[]; readonly figures: readonly number[] }[];
}

/** The steps of the job, in order: the folders of the engine and the groups of the pane. */
export const jobSteps = {
  measure: "Measuring the site",
  seed: "Seed",
  fertiliser: "Starter fertilizer",
  preemergent: "Pre-emergent, per label",
  topdress: "Topdressing",
  order: "Order",
  crew: "Crew",
  water: "Water",
  price: "Price",
  edition: "About",
} as const;

export type JobStep = keyof typeof jobSteps;

/** The caution that is shown wherever a function's result is used. */
export type Caution = "pesticide" | "fertiliser";

export interface Source {
  readonly title: string;
  readonly publisher: string;
  readonly year?: number;
  readonly note?: string;
}

/** One worked example: what stands in the formula, argument by argument, and what comes out. */
export interface Example {
  readonly given: readonly (number | string | readonly (readonly number[])[])[];
  /** For a spill, its first cell. */
  readonly gives: number | string;
  readonly spills?: readonly (readonly number[])[];
  readonly story: string;
}

/** What a function that spills shows in one of its cells; a refusal spoils its own cell only. */
export type SpilledCell = number | string | Refusal;
/** Always rectangular. */
export type Spilled = readonly (readonly SpilledCell[])[];
export type Answer = number | string | Spilled;

export interface SpillShape {
  readonly rows: number;
  readonly columns: number;
}

/** A cell of a spill that has so many rows and columns, counted from 0. */
export interface SpillPlace extends SpillShape {
  readonly row: number;
  readonly column: number;
}

export interface Result {
  readonly name: string;
  readonly kind: Kind;
  /** Shown after a count, such as "bags". */
  readonly counted?: string;
  /** Set where the result can fall below 0; every other result is 0 or more. */
  readonly mayBeNegative?: true;
  /** Given where the columns of a spill differ. */
  readonly columns?: readonly { readonly name: string; readonly kind: Kind; readonly counted?: string }[];
}

/** What a result is known to lie within, whatever the function is given. */
export const resultBounds = ({ kind, mayBeNegative }: Result): Limits =>
  mayBeNegative === true ? {} : kind === "share" ? { least: 0, most: 1 } : { least: 0 };

/** All that is known about a worksheet function, but for how it is worked out. */
export interface Description {
  readonly id: string;
  readonly step: JobStep;
  /** One sentence with the unit in it. */
  readonly sentence: string;
  readonly equation: string;
  readonly result: Result;
  readonly sources: readonly Source[];
  readonly example: Example;
  readonly caution?: Caution;
  /** What the native form cannot check, for the person who hands a sheet over. */
  readonly unchecked?: string;
}

export type Conversions = Readonly<Record<string, Conversion>>;

/** A line of the working of a function that no algebra expresses. */
export interface ToldLine {
  readonly name: string;
  readonly sum: string;
  readonly gives: string;
}

type ParameterTerm<P extends Parameter, T extends Terms> = P["takes"] extends "number"
  ? T["number"]
  : P["takes"] extends "text"
    ? T["text"]
    : P["takes"] extends "range"
      ? T["range"]
      : readonly T["range"][];

type ParameterTerms<P extends readonly Parameter[], T extends Terms> = {
  [I in keyof P]: ParameterTerm<P[I], T>;
};

export type Body<P extends readonly Parameter[], C extends Conversions> = <T extends Terms>(
  m: Algebra<T>,
  unit: { readonly [N in keyof C]: T["factor"] },
  ...given: ParameterTerms<P, T>
) => T["number"];

/** The body with its arguments' types forgotten, for code that reads every formula alike. */
export type AnyBody = <T extends Terms>(
  m: Algebra<T>,
  unit: Readonly<Record<string, T["factor"]>>,
  ...given: readonly (T["number"] | T["text"] | T["range"] | readonly T["range"][])[]
) => T["number"];

/** A worksheet function whose formula is written in the algebra. */
export interface Formula extends Description {
  readonly form: "formula";
  readonly parameters: readonly Parameter[];
  readonly conversions: Conversions;
  readonly body: AnyBody;
  /** A look at the arguments that no algebra expresses; throws a Refusal. */
  readonly inspect?: (given: readonly ParameterValue[]) => void;
}

/** A worksheet function that no algebra expresses. */
export interface Computed extends Description {
  readonly form: "computed";
  readonly parameters: readonly Parameter[];
  /** Set where it has no native form of its own either: its native reading is its value, with a note that says why. */
  readonly whyNoFormula?: string;
  readonly compute: (given: readonly ParameterValue[]) => number | string;
}

export type SpillBody<P extends readonly Parameter[], C extends Conversions> = <T extends Terms>(
  m: Algebra<T>,
  unit: { readonly [N in keyof C]: T["factor"] },
  at: SpillPlace,
  ...given: ParameterTerms<P, T>
) => T["number"];

export type AnySpillBody = <T extends Terms>(
  m: Algebra<T>,
  unit: Readonly<Record<string, T["factor"]>>,
  at: SpillPlace,
  ...given: readonly (T["number"] | T["text"] | T["range"] | readonly T["range"][])[]
) => T["number"];

interface Spills extends Description {
  readonly parameters: readonly Parameter[];
  /** How many rows and columns the arguments spill over. */
  readonly shape: (given: readonly ParameterValue[], system: UnitSystem) => SpillShape;
  /** What a cell of the spill is called in the working, such as "load 1: water"; empty where it needs no line. */
  readonly cellName: (at: SpillPlace) => string;
}

/** A function that spills, each cell a formula of its own in the algebra. */
export interface SpilledFormula extends Spills {
  readonly form: "spilled formula";
  readonly conversions: Conversions;
  readonly body: AnySpillBody;
  readonly inspect?: (given: readonly ParameterValue[]) => void;
}

/** A function that spills what no algebra expresses. */
export interface SpilledValue extends Spills {
  readonly form: "spilled value";
  readonly compute: (given: readonly ParameterValue[]) => readonly (readonly number[])[];
  /** How the figures come about, for the working. */
  readonly tell: (given: readonly ParameterValue[]) => readonly ToldLine[];
}

/** Another function of the catalogue, one answer a row. */
export interface EachRow extends Description {
  readonly form: "each row";
  readonly parameters: readonly Parameter[];
  readonly functions: readonly (Formula | Computed)[];
}

export type WorksheetFunction = Formula | Computed | SpilledFormula | SpilledValue | EachRow;

/** Why a function has no native form at all; undefined for one that has. */
export const whyNoFormula = (definition: WorksheetFunction | undefined): string | undefined =>
  definition?.form === "computed" ? definition.whyNoFormula : undefined;

/** Whether a function answers with one value. */
export const givesOneValue = (definition: WorksheetFunction): definition is Formula | Computed =>
  definition.form === "formula" || definition.form === "computed";

/** `units` is the last parameter of every function that has units, and nobody writes it out by hand. */
const withUnits = (parameters: readonly Parameter[], result: Result): readonly Parameter[] =>
  [...parameters.map(({ kind }) => kind), result.kind].some(hasUnits)
    ? [...parameters, unitsParameter]
    : parameters;

export function formula<const P extends readonly Parameter[], const C extends Conversions>(
  definition: Description & {
    readonly parameters: P;
    readonly conversions?: C;
    readonly inspect?: (given: readonly ParameterValue[]) => void;
    readonly body: Body<P, C>;
  },
): Formula {
  return {
    ...definition,
    form: "formula",
    conversions: definition.conversions ?? {},
    parameters: withUnits(definition.parameters, definition.result),
    // The one place where the arguments' types are forgotten: the catalogue holds formulas of every signature.
    body: definition.body as unknown as AnyBody,
  };
}

export function computed(definition: Omit<Computed, "form">): Computed {
  return { ...definition, form: "computed", parameters: withUnits(definition.parameters, definition.result) };
}

export function spilledFormula<const P extends readonly Parameter[], const C extends Conversions>(
  definition: Omit<SpilledFormula, "form" | "parameters" | "conversions" | "body"> & {
    readonly parameters: P;
    readonly conversions?: C;
    readonly body: SpillBody<P, C>;
  },
): SpilledFormula {
  return {
    ...definition,
    form: "spilled formula",
    conversions: definition.conversions ?? {},
    parameters: withUnits(definition.parameters, definition.result),
    body: definition.body as unknown as AnySpillBody,
  };
}

export const spilledValue = (definition: Omit<SpilledValue, "form">): SpilledValue => ({
  ...definition,
  form: "spilled value",
  parameters: withUnits(definition.parameters, definition.result),
});

/** Where the `units` argument stands, or -1 for a function without units. */
export const unitsPosition = ({ parameters }: Pick<WorksheetFunction, "parameters">): number =>
  parameters.indexOf(unitsParameter);
