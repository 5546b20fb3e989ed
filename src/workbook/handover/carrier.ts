/**
 * A handed-over cell carries its own original: `=CHOOSE(1,<native form>,"=SWARD.PACKS({1},{2})",B2,C2)`. Only the first
 * value is ever worked out; the text says what stood here, and the references that it names by number follow it, so
 * that whatever program the sheet is edited in keeps the original true under insert, delete, sort, copy and rename.
 */
import type { Placed } from "../formulas";
import {
  argumentsFrom,
  isReference,
  literalOf,
  noCellHolds,
  placed,
  quoted,
  referenceTypes,
} from "../formulas";
import { readsLikeError } from "../host";
import { namespace } from "../../engine/catalogue";

/** What a cell was handed over from, where the cell tells it whole. */
export interface Carried {
  /** What the cell works out now, as a formula. */
  readonly first: string;
  /** The formula that stood here, with its references where they are now. */
  readonly original: string;
  /** Its references, those among them last that a formula filled: their limits stand in the native form. */
  readonly typed: readonly string[];
  readonly computed: readonly string[];
}

/** A cell that another cell's formula filled. */
export interface CarriedPart {
  readonly first: string;
  /** Where the formula stood that filled it; no reference any more where that cell was deleted. */
  readonly anchor: string;
}

/** A cell that looks like one of ours and cannot be one: nothing of what it says is used. */
export interface Damaged {
  readonly first: string;
  readonly damaged: true;
}

/** A worksheet's text in a formula is at most so long. */
const longestText = 255;

const filledFrom = "filled from {1}";

/** What stands in the text for what must not stand there itself; a program may change a line end in a file. */
const escapes: Readonly<Record<string, string>> = {
  "{": "{{",
  "}": "}}",
  "\n": "{n}",
  "\r": "{r}",
  "\t": "{t}",
};
const meant: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(escapes).map(([letter, escape]) => [escape, letter]),
);

const escaped = (text: string): string => text.replace(/[{}\n\r\t]/g, (letter) => escapes[letter] ?? letter);

/** The text in pieces that a formula takes, no letter that takes two places cut in half. */
function inPieces(text: string): readonly string[] {
  const pieces = [""];
  let length = 0;
  for (const letter of text) {
    const takes = letter === '"' ? 2 : letter.length;
    if (length + takes > longestText) {
      pieces.push("");
      length = 0;
    }
    pieces[pieces.length - 1] += letter;
    length += takes;
  }
  return pieces;
}

interface Span {
  readonly start: number;
  readonly end: number;
}

const isBlank = ({ type }: Placed): boolean => type === "whitespace" || type === "newline";

/** The places of the arguments at which a call names steps of its own; the last argument never does. */
const namesSteps = (callee: string): ((at: number) => boolean) | undefined =>
  ({ LET: (at: number) => at % 2 === 0, LAMBDA: () => true })[callee.toUpperCase().replace(/^_XLFN\./, "")];

/** The names in capitals that a formula gives to its own steps: they belong to its text, and are no cells. */
export function stepsOf(formula: string): ReadonlySet<string> {
  const tokens = placed(formula);
  const steps = new Set<string>();
  for (const [i, { type, value }] of tokens.entries()) {
    const names = type === "func" ? namesSteps(value) : undefined;
    if (names === undefined) continue;
    const { given } = argumentsFrom(formula, tokens, i + 1);
    for (const [at, name] of given.slice(0, -1).entries()) if (names(at)) steps.add(name.toUpperCase());
  }
  return steps;
}

/** The same for a formula that may be none. */
function stepsIfAny(formula: string): ReadonlySet<string> {
  try {
    return stepsOf(formula);
  } catch (error) {
    if (error instanceof SyntaxError) return new Set();
    throw error;
  }
}

/** Where the references of a formula stand, in order. */
function referenceSpans(formula: string): readonly Span[] {
  const steps = stepsIfAny(formula);
  return placed(formula).filter(
    ({ type, value }) =>
      referenceTypes.has(type) && !(type === "range_named" && steps.has(value.toUpperCase())),
  );
}

/** The references of a formula as typed, each once, those left out that are steps of its own. */
export const referencesOf = (formula: string): readonly string[] => [
  ...new Set(referenceSpans(formula).map(({ start, end }) => formula.slice(start, end))),
];

/** A value as a formula spells it. */
function spelt(value: string | number): string {
  if (typeof value === "number") return String(value);
  if (readsLikeError(value)) return value;
  return inPieces(value).map(quoted).join("&");
}

const asFirst = (native: string | number): string =>
  typeof native === "string" && native.startsWith("=") ? native.slice(1) : spelt(native);

/** The formula that works out the native form, or shows the value, and carries the original. */
export function carried(
  original: string,
  native: string | number,
  isComputed: (reference: string) => boolean,
): string {
  const numbers = new Map<string, number>();
  let text = "";
  let from = 0;
  for (const { start, end } of referenceSpans(original)) {
    const reference = original.slice(start, end);
    const number = numbers.get(reference) ?? numbers.size + 1;
    numbers.set(reference, number);
    text += `${escaped(original.slice(from, start))}{${isComputed(reference) ? "=" : ""}${number}}`;
    from = end;
  }
  text += escaped(original.slice(from));
  return chosen(native, text, [...numbers.keys()]);
}

/** The formula of a cell that a spilling formula filled. */
export const carriedPart = (native: string | number, anchor: string): string =>
  chosen(native, filledFrom, [anchor]);

const chosen = (native: string | number, text: string, references: readonly string[]): string =>
  `=CHOOSE(${["1", asFirst(native), ...inPieces(text).map(quoted), ...references].join(",")})`;

/** Cheap enough to ask of every formula. */
const mayCarry = /^=\s*CHOOSE\s*\(\s*1\s*,/i;

/** How the text of a carrier begins, and what the text of one that is an original holds after that. */
const beginnings = ['"=', '"filled from'] as const;

/** Whether a formula holds one of ours, alone or with something that was built on it. */
export function mentionsCarrier(formula: string): boolean {
  const choice = formula.startsWith("=") ? formula.search(/\bCHOOSE\s*\(\s*1\s*,/i) : -1;
  if (choice < 0) return false;
  const text = formula.slice(choice).toUpperCase();
  const [original, part] = beginnings.map((begins) => text.indexOf(begins.toUpperCase()));
  return part !== -1 || (original !== undefined && original >= 0 && text.includes(`${namespace}.`, original));
}

/** What a formula carries; undefined for one that is not of our making. */
export function readCarrier(formula: string): Carried | CarriedPart | Damaged | undefined {
  if (!mayCarry.test(formula) || noCellHolds(formula)) return undefined;
  const values = valuesOf(formula);
  if (values === undefined) return undefined;
  const [native = "", ...rest] = values;
  const texts = rest.findIndex((value) => typeof literalOf(value) !== "string");
  const pieces = texts < 0 ? rest : rest.slice(0, texts);
  const references = rest.slice(pieces.length);
  const text = pieces.map((piece) => String(literalOf(piece))).join("");
  const first = `=${native}`;
  const [anchor = "", ...others] = references;
  if (text === filledFrom && others.length === 0 && isOneReference(anchor)) return { first, anchor };
  if (!text.startsWith("=") || !text.toUpperCase().includes(`${namespace}.`)) return undefined;
  return filledIn(first, text, references);
}

/** The values that a formula chooses among, if it is one choice and nothing else. */
function valuesOf(formula: string): readonly string[] | undefined {
  const tokens = placed(formula);
  const open = tokens.findIndex(({ value }) => value === "(");
  try {
    const { given, close } = argumentsFrom(formula, tokens, open);
    return tokens.slice(close + 1).every(isBlank) ? given.slice(1) : undefined;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** One reference, or what a program leaves of one whose cells were deleted. */
const isOneReference = (text: string): boolean => isReference(text) || /^(?:[^!]*!)?#REF!$/.test(text);

/** The original with its references put in; what does not fit together is damaged. */
function filledIn(first: string, text: string, references: readonly string[]): Carried | Damaged {
  const damaged: Damaged = { first, damaged: true };
  if (!references.every(isOneReference)) return damaged;
  const spans: Span[] = [];
  const typed = new Set<string>();
  const computed = new Set<string>();
  let original = "";
  let from = 0;
  for (const { 0: piece, 1: mark, 2: number, index } of text.matchAll(
    /\{\{|\}\}|\{[nrt]\}|\{(=?)(\d+)\}|[{}]/g,
  )) {
    original += text.slice(from, index);
    from = index + piece.length;
    const reference = number === undefined ? meant[piece] : references[Number(number) - 1];
    if (reference === undefined) return damaged;
    if (number !== undefined) {
      spans.push({ start: original.length, end: original.length + reference.length });
      (mark === "=" ? computed : typed).add(reference);
    }
    original += reference;
  }
  original += text.slice(from);
  return isWhole(original, spans) ? { first, original, typed: [...typed], computed: [...computed] } : damaged;
}

/** Whether the references of a formula are those put in, no more and no fewer, and its brackets close. */
function isWhole(original: string, spans: readonly Span[]): boolean {
  const tokens = placed(original);
  const depth = tokens.reduce(
    (open, { type, value }) => (type === "operator" ? open + bracket(value) : open),
    0,
  );
  const given = new Set(spans.map(({ start, end }) => `${start} ${end}`));
  const lost = (start: number): boolean => spans.some((span) => span.start <= start && start < span.end);
  const found = referenceSpans(original);
  const gone = tokens.filter(({ type, start }) => type === "error" && lost(start)).length;
  const calls = tokens.some(
    ({ type, value }) => type === "func" && value.toUpperCase().startsWith(`${namespace}.`),
  );
  return (
    calls &&
    depth === 0 &&
    found.length + gone === spans.length &&
    found.every(({ start, end }) => given.has(`${start} ${end}`))
  );
}

const bracket = (value: string): number => (value === "(" ? 1 : value === ")" ? -1 : 0);
