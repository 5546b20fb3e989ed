/** A function's data in the words of a person who fills in a form. */
import type { WorksheetFunction } from "../engine/formula";
import { namespace } from "../engine/catalogue";
import type { Parameter } from "../engine/parameters";
import { isRepeating, limitText } from "../engine/parameters";
import type { UnitSystem } from "../engine/units";
import { quantity } from "../engine/working/figures";

export const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const nameOf = ({ id }: WorksheetFunction): string => `${namespace}.${id}`;

/** A name with a one-letter word in it, such as t_min, says less than the description does. */
export function labelOf({ id, about }: Parameter): string {
  const words = id.split("_");
  return capitalised(words.some((word) => word.length < 2) ? about : words.join(" "));
}

/** What the field is for and what it takes, below the field. */
export function hintOf(parameter: Parameter): string {
  const about = capitalised(parameter.about);
  const parts = [
    about === labelOf(parameter) ? "" : about,
    parameter.takes === "text" ? (parameter.enter ?? "") : limitText(parameter),
    parameter.kind === "share" ? "such as 0.85 or 85 %" : "",
    parameter.takes === "range" ? "the cells that hold it" : "",
    isRepeating(parameter) ? "separated by semicolons" : "",
  ].filter((part) => part !== "");
  return parts.length === 0 ? "" : `${capitalised(parts.join("; "))}.`;
}

/** What a blank field stands for. */
export function placeholderOf(parameter: Parameter): string {
  if (!("default" in parameter) || parameter.default === undefined) return "";
  return `${parameter.default} if left blank`;
}

/** A refusal names the argument by its id; beside a form it is called as its field is. */
export function inPlainWords(sentence: string, parameters: readonly Parameter[]): string {
  const plain = parameters.reduce(
    (text, { id }) => text.replace(new RegExp(`\\b${id}\\b`, "g"), id.replaceAll("_", " ")),
    sentence,
  );
  return capitalised(plain);
}

const grouped = new Intl.NumberFormat("en-US");
/** As much of a figure as a narrow column holds: a result read from elsewhere may have any number of decimals. */
const enough = new Intl.NumberFormat("en-US", { maximumSignificantDigits: 8 });

export const countText = (count: number): string => grouped.format(count);

export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${countText(count)} ${count === 1 ? one : many}`;

const isBlank = (value: unknown): boolean => value === null || value === undefined || value === "";

/** What a cell or a range holds, in a few words. */
export function shownValue(value: unknown, parameter: Parameter, system: UnitSystem): string {
  if (Array.isArray(value)) {
    const cells = value.flat() as unknown[];
    if (cells.length === 1) return shownValue(cells[0], parameter, system);
    const filled = cells.filter((cell) => !isBlank(cell)).length;
    return filled === cells.length
      ? counted(cells.length, "cell")
      : `${counted(cells.length, "cell")}, ${countText(filled)} filled`;
  }
  if (isBlank(value)) return "blank";
  return typeof value === "number"
    ? quantity(value, parameter.kind, system, (figure) => enough.format(figure))
    : String(value);
}
