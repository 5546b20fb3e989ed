/** What a cell of a bid takes, declared where the cell is planned: its rule and what it says are made from one record. */
import type { DataValidationRule } from "../host";
import type { Limits, Parameter } from "../../engine/parameters";
import { choiceText, limitText } from "../../engine/parameters";
import { functionNamed } from "../../engine/catalogue";
import { mostAlert, numberRule, wholeSentences } from "../writing";

/** What stands in a cell, as its heading or label calls it, and the unit that is shown beside. */
export interface Named {
  readonly name: string;
  readonly unit?: string;
}

/** Where the figure stands, in the place of an example: no label's rate, limit or strength is ever suggested. */
export const onTheLabel = "on your label";
export const inTheRecords = "in your records";
type Whence = typeof onTheLabel | typeof inTheRecords;

interface Explained {
  /** A figure such as belongs here, a share as a number from 0 to 1; where none may be suggested, where to find it. */
  readonly example: number | Whence;
  /** What an empty cell means. */
  readonly empty?: string;
}

export type Takes =
  | (Explained & { readonly takes: "number" | "share" | "money"; readonly limits: Limits })
  | { readonly takes: "date"; readonly empty?: string }
  | { readonly takes: "choice"; readonly choices: readonly string[]; readonly empty?: string }
  /** The cells that hold the choices, where the estimator keeps them, and what those are. */
  | { readonly takes: "name"; readonly at: string; readonly of: string; readonly empty?: string };

export type Entry = Named & Takes;

export const headOf = ({ name, unit }: Named): string => (unit === undefined ? name : `${name}, ${unit}`);

export const parameterOf = (id: string, parameter: string): Parameter => {
  const found = functionNamed(id)?.parameters.find((one) => one.id === parameter);
  if (found === undefined) throw new Error(`${id} has no parameter ${parameter}`);
  return found;
};

/** The limits of the function that reads the cell. */
export function limitsOf(id: string, parameter: string): Limits {
  const found = parameterOf(id, parameter);
  if (found.takes === "text") throw new Error(`${parameter} of ${id} is a text`);
  const { above, least, below, most, whole } = found;
  return {
    ...(above === undefined ? {} : { above }),
    ...(least === undefined ? {} : { least }),
    ...(below === undefined ? {} : { below }),
    ...(most === undefined ? {} : { most }),
    ...(whole === undefined ? {} : { whole }),
  };
}

/** The same where the sheet reads a 0 as it reads an empty cell: the step or the product is left out. */
export function limitsOrNone(id: string, parameter: string): Limits {
  const { above, ...others } = limitsOf(id, parameter);
  return above === undefined ? others : { least: above, ...others };
}

export const amount: Limits = { least: 0 };
export const wholeAmount: Limits = { least: 0, whole: true };
/** A part of a whole that may be all of it. */
export const part: Limits = { least: 0, most: 1 };
/** A part that must leave something. */
export const lesserPart: Limits = { least: 0, below: 1 };

/** Days as a sheet counts them: this century, so that a year typed alone is not read as a day. */
const days: Limits = { least: 36_526, below: 73_051 };

const limitsFor = (entry: Entry): Limits | undefined =>
  "limits" in entry ? entry.limits : entry.takes === "date" ? days : undefined;

export const isNumber = (entry: Entry): boolean => limitsFor(entry) !== undefined;

/** The rule of a stretch of cells, written for the first of them. */
export function ruleFor(entry: Entry, firstCell: string): DataValidationRule {
  if (entry.takes === "choice") return { list: { inCellDropDown: true, source: entry.choices.join(",") } };
  if (entry.takes === "name") return { list: { inCellDropDown: true, source: `=${entry.at}` } };
  return numberRule(firstCell, limitsFor(entry) ?? {});
}

const perCent = (share: number): string => `${Number((share * 100).toPrecision(12))}%`;

/** A number with the commas that people write. */
const written = (figure: number): string => figure.toLocaleString("en-US", { maximumFractionDigits: 6 });

/** What to enter, with an example: "enter a number, 0 or more, such as 64". */
function toEnter(entry: Extract<Entry, Explained>): string {
  const limits = limitText(entry.limits);
  const { example } = entry;
  if (entry.takes === "share") {
    const shown = limits.replace(/\d+(\.\d+)?/g, (figure) => perCent(Number(figure)));
    return typeof example === "string"
      ? `enter the share that stands ${example}, ${shown}`
      : `enter a share, ${shown}, such as ${perCent(example)} (the same as ${example})`;
  }
  if (typeof example === "string") return `enter the figure that stands ${example}, ${limits || "a number"}`;
  const what = entry.takes === "money" ? "an amount of money" : "a number";
  const asked =
    entry.limits.whole === true
      ? limits
      : limits === ""
        ? what
        : `${what}${limits.startsWith("above") ? " " : ", "}${limits}`;
  return `enter ${asked}, such as ${entry.takes === "money" ? example.toFixed(2) : written(example)}`;
}

/** So many choices can be told at once; more of them are seen in the list. */
const choicesTold = 6;

function asked(entry: Entry): string {
  if (entry.takes === "choice")
    return `choose ${entry.choices.length > choicesTold ? "one from the list" : choiceText(entry.choices)}`;
  if (entry.takes === "name") return `choose one of the ${entry.of} on Materials, by its name`;
  return entry.takes === "date" ? "enter a date, such as 8-Sep-2026" : toEnter(entry);
}

/** What the host shows when something else is typed. */
export function sentencesOf(entry: Entry): string {
  const unit = entry.unit === undefined ? "" : `, in ${entry.unit}`;
  return wholeSentences(
    [`${entry.name}${unit} – ${asked(entry)}.`, entry.empty ?? "Or leave the cell empty."],
    mostAlert,
  );
}

/** The longest title that the host shows over such a message. */
const mostTitle = 32;

/** The name as it fits over the message: without what follows a comma where it is too long. */
export function titleOf({ name }: Named): string {
  const parts = name.split(",");
  while (parts.length > 1 && parts.join(",").length > mostTitle) parts.pop();
  const short = parts.join(",");
  return short.length <= mostTitle ? short : short.slice(0, short.lastIndexOf(" ", mostTitle));
}
