import { invalidArgument } from "../protocol/host-error";

export type CellValue = string | number | boolean;

/** The spreadsheet's own error words that the host spells otherwise. */
const ERROR_WORDS: Readonly<Record<string, CellValue>> = {
  "#REF": "#REF!",
  "#ERROR": "#VALUE!",
  "#BAD_EXPR": "#NAME?",
  // The host shows 0 in a cell that refers to itself.
  "#CYCLE": 0,
};

/** An evaluated value as the host hands it out: a blank is an empty string. */
export function outward(value: CellValue | null | undefined, isError: boolean): CellValue {
  if (value === null || value === undefined) return "";
  return isError && typeof value === "string" ? (ERROR_WORDS[value] ?? value) : value;
}

export const TEXT_FORMAT = "@";

/** Text that a cell formatted as text keeps after a mark, since the spreadsheet would read a formula in it. */
const NEEDS_MARK = /^'*=/;

/** What a text in a cell formatted as text is, without the mark. */
export const withoutMark = (content: string): string =>
  content.startsWith("'") && NEEDS_MARK.test(content) ? content.slice(1) : content;

/**
 * What has to be typed into a cell to give it a value. Text in a cell formatted as text stays text, even
 * where it begins with an equals sign.
 */
export function typed(value: unknown, format: string | undefined): string {
  if (typeof value === "number" || typeof value === "boolean") return String(value).toUpperCase();
  if (typeof value !== "string") throw invalidArgument(`a cell cannot hold ${JSON.stringify(value)}`);
  return format === TEXT_FORMAT && NEEDS_MARK.test(value) ? `'${value}` : value;
}

export type ValueType = "Empty" | "String" | "Double" | "Boolean" | "Error";

export function valueType(value: unknown, isError: boolean): ValueType {
  if (isError) return "Error";
  if (value === null || value === undefined || value === "") return "Empty";
  if (typeof value === "number") return "Double";
  return typeof value === "boolean" ? "Boolean" : "String";
}
