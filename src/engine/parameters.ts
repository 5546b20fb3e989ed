/**
 * What a worksheet function takes: each parameter's unit, what a blank means, its default and its limits.
 * Argument checks, the description a person sees while typing, the pane's forms, the limits handed over with a
 * native formula and the tests' boundary cases are all read from here.
 */
import type { Kind, UnitSystem } from "./units";
import { unitSaid } from "./units";

/**
 * `nothing to cover` gives 0 for the whole function, so that an unfilled row of a bid costs nothing. `zero` reads a
 * blank as the number 0: on a scale of temperature 0 is a figure like any other, and a host may send a blank as 0.
 */
export type BlankPolicy = "nothing to cover" | "default" | "refused" | "zero";

interface Common {
  readonly id: string;
  readonly kind: Kind;
  /** What it is, in the words of the trade, without its unit. */
  readonly about: string;
}

export interface Limits {
  /** The value must be greater than this... */
  readonly above?: number;
  /** ...or at least this. */
  readonly least?: number;
  /** The value must be below this... */
  readonly below?: number;
  /** ...or at most this. */
  readonly most?: number;
  readonly whole?: boolean;
}

export interface NumberParameter extends Common, Limits {
  readonly takes: "number";
  readonly blank: BlankPolicy;
  readonly default?: number;
}

export interface TextParameter extends Common {
  readonly takes: "text";
  readonly blank: "default" | "refused";
  readonly choices?: readonly string[];
  readonly default?: string;
  /** What to enter, for a text that is not one of a few choices. */
  readonly enter?: string;
  readonly pattern?: RegExp;
  /** Set where the choices are the rows of a published table: any other text is a row that is not there. */
  readonly tabulated?: true;
}

/**
 * Some hosts hand a blank cell over as 0, and nothing tells the two apart. Where one 0 may well have been measured at the
 * end it counts; what can begin anywhere is told to begin with its zeros.
 */
export interface EndZeros {
  readonly most: 0 | 1;
  /** Where zeros that were measured belong, after "end the range at the last of them". */
  readonly otherwise: string;
}

/** A range of numbers, each within the limits; a blank cell in it counts as nothing, or as the default. */
export interface RangeParameter extends Common, Limits {
  readonly takes: "range";
  readonly blank: "nothing to cover" | "refused" | "default";
  readonly default?: number;
  /** Given for an outline: so many columns, and trailing blank rows are left out. */
  readonly columns?: number;
  /** Limits of each column, where they differ. */
  readonly columnLimits?: readonly Limits[];
  /** Set for figures in order, one row or one column: blanks at the end are left out. */
  readonly series?: true;
  /** So many filled rows of an outline, or figures of a series, at the least. */
  readonly leastRows?: number;
  /** At the most so many filled rows of an outline, each of which costs work. */
  readonly mostRows?: number;
  /** What ends in zeros may end in cells that nobody filled: so many are taken for figures, more are refused. */
  readonly endZeros?: EndZeros;
  /** At the most so many cells, where each of them costs work. */
  readonly mostCells?: number;
}

/** Any number of numbers or ranges, to the end of the arguments. */
export interface RepeatingParameter extends Common, Limits {
  readonly takes: "repeating";
  readonly blank: "default";
}

/** Any number of values or columns, to the end of the arguments, for another function to judge. */
export interface ColumnsParameter extends Common, Limits {
  readonly takes: "columns";
  readonly blank: "default";
}

export type Parameter =
  NumberParameter | TextParameter | RangeParameter | RepeatingParameter | ColumnsParameter;

export type Cell = number | null;
export type Matrix = readonly (readonly Cell[])[];
/** Cells as the host sends them. */
export type RawMatrix = readonly (readonly unknown[])[];
export type ParameterValue = number | string | Matrix | readonly Matrix[] | readonly RawMatrix[];

/** Whether a parameter takes all arguments that follow. */
export const isRepeating = ({ takes }: Parameter): boolean => takes === "repeating" || takes === "columns";

/** An amount to cover: an area, a perimeter, a need, a cost. Blank or zero gives 0. */
export const amount = <const I extends string>(id: I, kind: Kind, about: string) =>
  ({ takes: "number", id, kind, about, blank: "nothing to cover", least: 0 }) as const;

/** A rate, size or divisor: above 0, and never blank. */
export const size = <const I extends string>(id: I, kind: Kind, about: string) =>
  ({ takes: "number", id, kind, about, blank: "refused", above: 0 }) as const;

/** A share that must be given: above 0, up to 1. */
export const share = <const I extends string>(id: I, about: string) =>
  ({ takes: "number", id, kind: "share", about, blank: "refused", above: 0, most: 1 }) as const;

/** A share of something lost or left out: from 0 to under 1, 0 when blank. */
export const lostShare = <const I extends string>(id: I, about: string) =>
  ({ takes: "number", id, kind: "share", about, blank: "default", default: 0, least: 0, below: 1 }) as const;

const unitChoices: readonly UnitSystem[] = ["us", "metric"];

export const unitsParameter: TextParameter = {
  takes: "text",
  id: "units",
  kind: "text",
  about: "unit system of every argument and of the result",
  blank: "default",
  default: "us",
  choices: unitChoices,
};

export const isOptional = (parameter: Parameter): boolean => parameter.blank === "default";

/** The limits as words: "above 0", "from 0 to under 1". */
export function limitText({ above, least, below, most, whole }: Limits): string {
  const start = above !== undefined ? `above ${above}` : least !== undefined ? `from ${least}` : "";
  const end = below !== undefined ? `under ${below}` : most !== undefined ? `${most}` : "";
  const limits =
    start === ""
      ? end === ""
        ? ""
        : below !== undefined
          ? end
          : `up to ${end}`
      : end === ""
        ? least !== undefined
          ? `${least} or more`
          : start
        : above !== undefined
          ? `${start}, ${below !== undefined ? end : `up to ${end}`}`
          : `${start} to ${end}`;
  return whole === true ? `a whole number${limits === "" ? "" : `, ${limits}`}` : limits;
}

/** The choices in words: `"us" or "metric"`, `"low", "mid" or "high"`. */
export function choiceText(choices: readonly string[]): string {
  const quoted = choices.map((choice) => `"${choice}"`);
  const last = quoted.pop() ?? "";
  return quoted.length === 0 ? last : `${quoted.join(", ")} or ${last}`;
}

/** The unit a parameter is entered in: one unit, or both where the unit system is not known. */
export function parameterUnit(parameter: Parameter, system?: UnitSystem): string {
  if (system !== undefined) return unitSaid(parameter.kind, system);
  const [us, metric] = [unitSaid(parameter.kind, "us"), unitSaid(parameter.kind, "metric")];
  return us === metric ? us : `${us} (metric: ${metric})`;
}

/** The sentence a person reads while typing: what it is, its unit, its limits, its default. */
export function parameterSentence(parameter: Parameter): string {
  const unit = parameterUnit(parameter);
  const limits = parameter.takes === "text" ? "" : limitText(parameter);
  const parts = [
    parameter.about.charAt(0).toUpperCase() + parameter.about.slice(1),
    unit === "" ? "" : `in ${unit}`,
    parameter.kind === "share" ? `a share ${limits} (95 % is 0.95)` : limits,
    parameter.takes === "text" && parameter.choices !== undefined && parameter.tabulated !== true
      ? choiceText(parameter.choices)
      : "",
    parameter.takes === "text" && parameter.enter !== undefined ? parameter.enter : "",
    "default" in parameter && parameter.default !== undefined
      ? `${typeof parameter.default === "string" ? `"${parameter.default}"` : parameter.default} if left out`
      : "",
  ];
  return `${parts.filter((part) => part !== "").join("; ")}.`;
}
