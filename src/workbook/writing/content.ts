/** What a cell is to hold and how that is sent: a text stays that text, whatever a host would read in it. */
import { tokenize } from "@borgar/fx";
import type { Content, Formula } from "../host";

/** A formula, with or without its equals sign. */
export const asFormula = (text: string): Formula => ({ formula: text.startsWith("=") ? text : `=${text}` });

export const isFormula = (content: Content): content is Formula => typeof content === "object";

/** The most characters that a cell holds. */
export const mostText = 32_767;

/** A text as long as a cell holds, for lists that tell of something which stands elsewhere in full. */
export const shortened = (text: string): string =>
  text.length <= mostText ? text : `${text.slice(0, mostText - 2)} …`;

const truths =
  /^\s*(true|false|vrai|faux|wahr|falsch|verdadero|falso|vero|verdadeiro|waar|onwaar|sant|sann|falskt?|sand|tosi|epätosi|prawda|fałsz|igaz|hamis|истина|ложь)\s*$/i;
const begins = /^['=+\-@#]/;
const words = /\p{L}+/gu;

/** Dates, times, amounts and powers have figures and few words, in any language; a name of a zone may look so too. */
const wordsOfNumber = 3;

/**
 * Whether a host may read something else in a text. What it reads differs by its language, so all that could be meant
 * is held to be: one apostrophe too many is never seen.
 */
export const couldBeRead = (text: string): boolean =>
  begins.test(text.trimStart()) ||
  truths.test(text) ||
  (/\p{Nd}/u.test(text) && (text.match(words) ?? []).length <= wordsOfNumber);

/** The number format of cells that hold text alone. */
export const textFormat = "@";

/**
 * How a content is sent. A text is kept by an apostrophe before it and not by the format of the cell: the apostrophe
 * is no part of the text, is stored as such in files, leaves the look of the cell as it was, and goes when the next
 * content comes, where a cell formatted as text makes every later formula in it dead. In a cell that is formatted as
 * text already, the text is sent as it is.
 */
export function asSent(content: Content, format?: string): string | number | boolean {
  if (typeof content === "object") return content.formula;
  if (typeof content !== "string") return content;
  return format !== textFormat && couldBeRead(content) ? `'${content}` : content;
}

/** A part of a formula without what a program may spell in its own way: capitals, blanks, quotes, corners, zeros. */
function partSpelled(type: string, value: string): string {
  if (type === "whitespace" || type === "newline") return "";
  if (type === "number") return String(Number(value));
  if (type === "string") return value;
  const plain = value.replace(/[\s'@]/g, "").toUpperCase();
  return type === "range" ? plain.split(":").sort().join(":") : plain;
}

const spelling = (text: string): string =>
  tokenize(text)
    .map(({ type, value }) => partSpelled(type, value))
    .join("");

/** Whether two formulas are one, however programs spell it. */
export const isSpeltAlike = (one: string, other: string): boolean =>
  one === other || spelling(one) === spelling(other);

const typedText = (content: unknown, value: unknown): boolean =>
  typeof value === "string" && content === value;

/** What a cell holds, as it is to be written so that it is held again. */
export function asContent(content: unknown, value: unknown): Content {
  if (typeof content === "string" && content.startsWith("=") && !typedText(content, value))
    return { formula: content };
  return typeof content === "number" || typeof content === "boolean" ? content : textOf(content);
}

const textOf = (content: unknown): string => (typeof content === "string" ? content : "");

/** Whether a cell holds that and nothing else. */
export function holds(content: Content, now: unknown, value: unknown): boolean {
  if (typeof content === "object") return isMeant(content, now, value);
  return typeof asContent(now, value) !== "object" && (now === content || value === content);
}

/** Whether a cell holds what was meant for it. */
export function isMeant(meant: Content, now: unknown, value: unknown): boolean {
  if (typeof meant === "object") {
    if (typeof now !== "string" || typedText(now, value)) return false;
    return isSpeltAlike(now, meant.formula);
  }
  return value === meant;
}
