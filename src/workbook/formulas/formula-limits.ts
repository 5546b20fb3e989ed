/** What a cell's formula may be at the most, so that one that is too long or too deep is told before it is written. */
import { tokenize } from "@borgar/fx";

/** The limits that Excel publishes for a formula. */
export const formulaLimits = { characters: 8192, levels: 64, arguments: 255, textCharacters: 255 } as const;

export interface FormulaSize {
  /** The equals sign included. */
  readonly characters: number;
  /** Functions inside functions, the outermost counted as one. */
  readonly levels: number;
  /** Of the function that has the most. */
  readonly arguments: number;
  /** Of the longest text written out in it. */
  readonly textCharacters: number;
}

interface Bracket {
  readonly isCall: boolean;
  commas: number;
  filled: boolean;
}

const solid = (type: string): boolean => type !== "whitespace" && type !== "newline" && type !== "fx_prefix";

/** How long and how deep a formula is. */
export function sizeOf(formula: string): FormulaSize {
  const open: Bracket[] = [];
  let [level, levels, most, textCharacters] = [0, 0, 0, 0];
  let before = "";
  for (const { type, value } of tokenize(formula)) {
    if (!solid(type)) continue;
    const around = open[open.length - 1];
    if (around !== undefined && value !== ")" && value !== "}") around.filled = true;
    if (value === "(" || value === "{") {
      open.push({ isCall: before === "func", commas: 0, filled: false });
      if (before === "func") levels = Math.max(levels, ++level);
    } else if (value === ")" || value === "}") {
      const closed = open.pop();
      if (closed?.isCall === true) level--;
      if (closed?.isCall === true && closed.filled) most = Math.max(most, closed.commas + 1);
    } else if (value === "," && around !== undefined) {
      around.commas += 1;
    } else if (type === "string") {
      textCharacters = Math.max(textCharacters, value.slice(1, -1).replaceAll('""', '"').length);
    }
    before = type;
  }
  return { characters: formula.length, levels, arguments: most, textCharacters };
}

const many = (text: string, mark: string): number => text.split(mark).length - 1;

/** A formula without so many brackets, commas and characters in quotes cannot be past a limit. */
const plainlyWithin = (formula: string): boolean =>
  many(formula, "(") <= formulaLimits.levels &&
  many(formula, ",") < formulaLimits.arguments &&
  (formula.length <= formulaLimits.textCharacters || !formula.includes('"'));

/** Whether no cell can hold a formula, for its length or its depth: it need not be looked into. */
export const noCellHolds = (formula: string): boolean =>
  formula.length > formulaLimits.characters ||
  (many(formula, "(") > formulaLimits.levels && sizeOf(formula).levels > formulaLimits.levels);

const counted = (count: number, what: string): string => `${count.toLocaleString("en-US")} ${what}`;

/** One sentence that says which limit of a cell's formula is passed and what to do; undefined where none is. */
export function beyondLimits(formula: string): string | undefined {
  const told = (has: number, most: number, what: string, mend: string) =>
    `The formula would have ${counted(has, what)} where a cell holds ${counted(most, what)} at most: ${mend}.`;
  const split = "give the calls inside it cells of their own and refer to those cells";
  if (formula.length > formulaLimits.characters) {
    return told(formula.length, formulaLimits.characters, "characters", split);
  }
  if (plainlyWithin(formula)) return undefined;
  const size = sizeOf(formula);
  if (size.levels > formulaLimits.levels) {
    return told(size.levels, formulaLimits.levels, "functions inside one another", split);
  }
  if (size.arguments > formulaLimits.arguments) {
    return told(
      size.arguments,
      formulaLimits.arguments,
      "arguments in one function",
      "put the figures into cells and give the function their range",
    );
  }
  if (size.textCharacters > formulaLimits.textCharacters) {
    return told(
      size.textCharacters,
      formulaLimits.textCharacters,
      "characters in one text",
      "put the text into a cell and refer to that cell",
    );
  }
  return undefined;
}

/** The longest formula that a cell takes, and that a validation takes. */
export const longest = { cell: formulaLimits.characters, validation: 255 } as const;

/** Each call inside another doubles what has to be written out. */
const deepestCalls = 8;

/** How many calls of ours stand inside one another; counted without reading the formula as one. */
export function callDepth(formula: string): number {
  const ours: boolean[] = [];
  let depth = 0;
  let deepest = 0;
  for (const [piece] of formula.matchAll(/"(?:[^"]|"")*"|\bSWARD\.\w+\s*\(|\(|\)/gi)) {
    if (piece === ")") {
      if (ours.pop() === true) depth--;
    } else if (piece.endsWith("(")) {
      const isOurs = piece.length > 1;
      ours.push(isOurs);
      if (isOurs) deepest = Math.max(deepest, ++depth);
    }
  }
  return deepest;
}

/** Why a formula is not even tried: none that Excel takes is as long, and none that a person wrote is as deep. */
export function tooMuch(formula: string): string | undefined {
  if (formula.length > longest.cell)
    return "The formula is longer than Excel takes: split it over several cells, then hand over.";
  if (callDepth(formula) > deepestCalls)
    return `The formula has more than ${deepestCalls} of our functions inside one another: split it over several cells, then hand over.`;
  return undefined;
}
