/** Our functions inside a cell's formula: where they stand and what they are given. */
import { functionNamed, namespace } from "../../engine/catalogue";
import type { WorksheetFunction } from "../../engine/formula";
import { givesOneValue } from "../../engine/formula";
import { callDepth } from "./formula-limits";
import type { Placed } from "./tokens";
import { argumentsFrom, placed } from "./tokens";

export interface Call {
  readonly name: string;
  /** Undefined for a function of ours that this edition does not know. */
  readonly definition: WorksheetFunction | undefined;
  /** Where the call stands in the text it was found in. */
  readonly start: number;
  readonly end: number;
  readonly text: string;
  /** The arguments as they were typed, a left-out one as empty text. */
  readonly given: readonly string[];
}

const ours = new RegExp(`^${namespace}\\.`, "i");

const mentionsOurs = (text: string): boolean => text.toUpperCase().includes(`${namespace}.`);

const textsInQuotes = /"(?:[^"]|"")*"/g;
const textsAndSheetNames = /"(?:[^"]|"")*"|'(?:[^']|'')*'/g;

/** Cheap enough to ask of every formula of a workbook. What a formula only says in a text it does not call. */
export const mayHoldCalls = (formula: unknown): formula is string =>
  typeof formula === "string" &&
  formula.startsWith("=") &&
  mentionsOurs(formula) &&
  (!formula.includes('"') || mentionsOurs(formula.replace(textsAndSheetNames, "")));

/** Whether a formula calls a function of ours; asked of those that are no cell's, of which there are few. */
export const holdsCalls = (formula: string): boolean => mayHoldCalls(formula) && callDepth(formula) > 0;

/** Whether a formula calls a function of another workbook by the name of one of ours, as typed or as a file stores it. */
export const callsElsewhere = (formula: string): boolean =>
  formula.includes("!") &&
  new RegExp(`!(?:_xldudf_)?${namespace}[._]\\w+\\(`, "i").test(
    formula.replace(textsInQuotes, "").replace(/!\s+/g, "!"),
  );

/**
 * The calls of our functions in a text, in order: the outermost ones, or those inside their arguments as well. One with
 * a sheet or workbook before it is none of ours.
 */
export function callsAmong(
  text: string,
  tokens: readonly Placed[],
  which: "outermost" | "inner too" = "outermost",
): readonly (Call & { first: number; last: number })[] {
  const calls: (Call & { first: number; last: number })[] = [];
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i];
    if (token?.type !== "func" || !ours.test(token.value) || tokens[i - 1]?.value === "!") continue;
    const { given, close } = argumentsFrom(text, tokens, i + 1);
    const end = tokens[close]?.end ?? text.length;
    const { start, value: name } = token;
    const definition = functionNamed(name);
    calls.push({ name, definition, start, end, text: text.slice(start, end), given, first: i, last: close });
    if (which === "outermost") i = close;
  }
  return calls;
}

/** Every call of our functions in a formula, a call before those inside its arguments. */
export const callsIn = (formula: string): readonly Call[] =>
  callsAmong(formula, placed(formula), "inner too");

/** The first of the outermost calls of our functions in a formula. */
export const firstCall = (formula: string): Call | undefined => callsAmong(formula, placed(formula))[0];

/** The call that a formula consists of, if it is one that spills over the cells beside it. */
export function spillingCall(formula: string): Call | undefined {
  const call = firstCall(formula);
  const { definition } = call ?? {};
  if (call === undefined || definition === undefined || givesOneValue(definition)) return undefined;
  return `=${call.text}` === formula.trim() ? call : undefined;
}
