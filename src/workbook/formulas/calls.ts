/**
 * Our functions inside a cell's formula: where they stand, what they are given, and the formula rewritten. Only the
 * calls themselves are touched; every other character of the formula stays as it was typed.
 */
import type { Token } from "@borgar/fx";
import { tokenize } from "@borgar/fx";
import { functionNamed, namespace } from "../../engine/catalogue";
import type { Spilled, WorksheetFunction } from "../../engine/formula";
import { givesOneValue, resultBounds, whyNoFormula } from "../../engine/formula";
import type { NativeArgument, NativeText } from "../../engine/native/pieces";
import { nativeCell } from "../../engine/native/spilled";
import { nativeForm } from "../../engine/native/form";
import { binding, leftOut, NoNativeForm } from "../../engine/native/pieces";
import type { Parameter } from "../../engine/parameters";
import { isRepeating } from "../../engine/parameters";
import { argumentSort } from "./argument-sort";
import { blockFilledBy } from "./filled-part";
import { beyondLimits, formulaLimits } from "./formula-limits";

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

const opening = new Set(["(", "{"]);
const closing = new Set([")", "}"]);
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

/** A token with its place in the text. */
export interface Placed {
  readonly type: string;
  readonly value: string;
  readonly start: number;
  readonly end: number;
}

export function placed(text: string): readonly Placed[] {
  const place = ({ type, value, loc }: Token): Placed => ({
    type,
    value,
    start: loc?.[0] ?? 0,
    end: loc?.[1] ?? 0,
  });
  return tokenize(text, { withLocation: true }).map(place);
}

/** The tokens from an opening bracket to the one that closes it, cut at the commas between. */
export function argumentsFrom(
  text: string,
  tokens: readonly Placed[],
  open: number,
): { given: string[]; close: number } {
  const given: string[] = [];
  let depth = 0;
  let from = tokens[open]?.end ?? 0;
  for (let i = open; i < tokens.length; i++) {
    const { value, start, end } = tokens[i] ?? { value: "", start: 0, end: 0 };
    if (opening.has(value)) depth++;
    if (closing.has(value)) depth--;
    if ((value === "," && depth === 1) || depth === 0) {
      given.push(text.slice(from, start).trim());
      from = end;
    }
    if (depth === 0) return { given: given.length === 1 && given[0] === "" ? [] : given, close: i };
  }
  throw new SyntaxError(`A bracket is not closed in ${text}`);
}

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
function callsAmong(
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

/** How tightly each operator of the worksheet language binds. */
const operatorBinding: Readonly<Record<string, number>> = {
  "=": binding.comparison,
  "<": binding.comparison,
  ">": binding.comparison,
  "<=": binding.comparison,
  ">=": binding.comparison,
  "<>": binding.comparison,
  "&": binding.joined,
  "+": binding.sum,
  "-": binding.sum,
  "*": binding.product,
  "/": binding.product,
  "^": binding.power,
};

/** Operators whose right side must bind more tightly than they do, for the sum to stay the same. */
const ordered = new Set(["-", "/", "^", "=", "<", ">", "<=", ">=", "<>"]);

/** The binding of a whole expression: that of its loosest operator outside brackets. */
function bindingOf(tokens: readonly Placed[]): number {
  let depth = 0;
  let loosest: number = binding.whole;
  tokens.forEach(({ value, type }, i) => {
    if (opening.has(value)) depth++;
    if (closing.has(value)) depth--;
    if (depth > 0 || type !== "operator") return;
    const sign = (value === "-" || value === "+") && !endsOperand(tokens, i);
    loosest = Math.min(loosest, sign ? binding.sign : (operatorBinding[value] ?? binding.whole));
  });
  return loosest;
}

const isBetween = ({ type }: Placed): boolean => type === "whitespace" || type === "newline";

/** The nearest token in a direction that says something; a formula has thousands, so none are copied. */
function nearest(tokens: readonly Placed[], place: number, step: 1 | -1): number {
  for (let at = place + step; ; at += step) {
    const token = tokens[at];
    if (token === undefined || !isBetween(token)) return at;
  }
}

/** Whether what stands before a token can be the left side of an operator. */
function endsOperand(tokens: readonly Placed[], place: number): boolean {
  const last = tokens[nearest(tokens, place, -1)];
  if (last === undefined || last.type === "fx_prefix") return false;
  return last.type !== "operator" || closing.has(last.value) || last.value === "%";
}

/** How tightly a rewritten call must bind where it stands, from the operators on either side. */
function neededBinding(tokens: readonly Placed[], first: number, last: number): number {
  const before = nearest(tokens, first, -1);
  const left = tokens[before];
  const right = tokens[nearest(tokens, last, 1)];
  const sign =
    left !== undefined && (left.value === "-" || left.value === "+") && !endsOperand(tokens, before);
  const leftBinding = sign ? binding.sign : (operatorBinding[left?.value ?? ""] ?? 0);
  const fromLeft = leftBinding === 0 || !ordered.has(left?.value ?? "") ? leftBinding : leftBinding + 1;
  const fromRight = right?.value === "%" ? binding.whole : (operatorBinding[right?.value ?? ""] ?? 0);
  return Math.max(fromLeft, fromRight);
}

/** What the workbook knows that a formula's text does not say. */
export interface Surroundings {
  /** Whether any cell behind a reference is worked out by a formula, so that no limit on an input can watch it. */
  isComputed(reference: string): boolean;
  /** The value of a call that has no native form, as a number or text. */
  valueOf(call: Call): number | string;
  /** What a call shows in its cell and those beside it. */
  spillOf(call: Call): Spilled;
}

/** A reference that an argument consists of, with the argument's place: where the limits of the input go. */
export interface LimitedInput {
  readonly call: Call;
  readonly position: number;
  readonly reference: string;
}

export interface Rewritten {
  readonly text: string;
  /** Inputs that the native formula takes on trust. */
  readonly inputs: readonly LimitedInput[];
  /** Calls that became their value. */
  readonly asValues: readonly Call[];
  /** Where a native form is not its function's equal in everything. */
  readonly told: readonly Told[];
}

/** What the native form of a call does not do, or does instead, as a sentence for who opens the sheet. */
export interface Told {
  readonly call: Call;
  readonly sentence: string;
  /** Whether the cell works out something plainer than the function, and has to say so itself. */
  readonly isPlainer: boolean;
}

export const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

export const referenceTypes = new Set(["range", "range_beam", "range_ternary", "range_named", "structured"]);

const numberPatterns: readonly (readonly [pattern: RegExp, value: (text: string) => number])[] = [
  [/^[-+]?(?:\d+(?:\.\d+)?|\.\d+)(?:e[-+]?\d+)?$/i, Number],
  [/^[-+]?(?:\d+(?:\.\d+)?|\.\d+)%$/, (text) => Number(text.slice(0, -1)) / 100],
  // No function takes TRUE or FALSE for a number.
  [/^(true|false)$/i, () => Number.NaN],
];

/** The parameters of a call, those of the function that goes down the rows in the place of what EACH_ROW says of them. */
export function parametersOf({ definition, given }: Call): readonly Parameter[] {
  if (definition?.form !== "each row") return definition?.parameters ?? [];
  const name = String(literalOf(given[0] ?? "")).toUpperCase();
  const inner = definition.functions.find(({ id }) => id === name.split(".").pop());
  return inner === undefined
    ? definition.parameters
    : [...definition.parameters.slice(0, 1), ...inner.parameters];
}

/** What an argument is for, counted from 0; the last parameter may take all that follow. */
export function parameterAt(call: Call, position: number): Parameter | undefined {
  const parameters = parametersOf(call);
  const last = parameters[parameters.length - 1];
  return parameters[position] ?? (last !== undefined && isRepeating(last) ? last : undefined);
}

const takesCells = (parameter: Parameter | undefined): boolean =>
  parameter !== undefined && parameter.takes !== "number" && parameter.takes !== "text";

/** Figures in order and corners are asked for one by one. */
const needsCells = (parameter: Parameter | undefined): boolean =>
  parameter?.takes === "range" && (parameter.columns !== undefined || parameter.series === true);

/** Refuses an argument that no native formula could point into; an array written out is none of these. */
function refuseArray(call: Call, text: string, position: number): void {
  const parameter = parameterAt(call, position);
  // Down the rows of EACH_ROW an argument of any kind may be a column.
  if (call.definition?.form !== "each row" && !takesCells(parameter)) return;
  const sort = argumentSort(text);
  if (sort === "cells" || (sort === "one value" && !needsCells(parameter))) return;
  throw new NoNativeForm(
    `${text} is worked out inside ${call.name} and stands in no cells that a native formula could point to: put it into cells of its own and give ${call.name} their range.`,
  );
}

/** A number or text written out in a formula, or undefined for anything else. */
export function literalOf(text: string): number | string | undefined {
  const number = numberPatterns.find(([pattern]) => pattern.test(text));
  if (number !== undefined) return number[1](text);
  const string = /^"((?:[^"]|"")*)"$/.exec(text);
  return string?.[1]?.replaceAll('""', '"');
}

/** Whether a text is one reference, with or without a sheet. */
export function isReference(text: string): boolean {
  const tokens = placed(text);
  const last = tokens[tokens.length - 1];
  return (
    last !== undefined &&
    referenceTypes.has(last.type) &&
    tokens.slice(0, -1).every(({ type, value }) => type.startsWith("context") || value === "!")
  );
}

/** Each call inside another is written out as often as the outer form needs it, so nothing longer is put together. */
function refuseLonger(text: string): void {
  if (text.length > formulaLimits.characters) throw new NoNativeForm(beyondLimits(text));
}

/** Cells that one formula may be written out over: each of them is a formula of its own. */
const mostSpilled = 20_000;

function refuseWider({ name }: Call, shown: Spilled): void {
  const cells = shown.length * (shown[0]?.length ?? 0);
  if (cells <= mostSpilled) return;
  const [has, most] = [cells, mostSpilled].map((count) => count.toLocaleString("en-US"));
  throw new NoNativeForm(
    `${name} fills ${has} cells, and each would need a formula of its own, ${most} at most: give it fewer rows, or hand over as values.`,
  );
}

class Rewriter {
  readonly inputs: LimitedInput[] = [];
  readonly asValues: Call[] = [];
  readonly told: Told[] = [];

  constructor(private readonly surroundings: Surroundings) {}

  rewrite(text: string): string {
    const tokens = placed(text);
    let from = 0;
    let out = "";
    for (const call of callsAmong(text, tokens)) {
      const native = this.native(call);
      const bare = native.binding >= neededBinding(tokens, call.first, call.last);
      out += text.slice(from, call.start) + (bare ? native.text : `(${native.text})`);
      refuseLonger(out);
      from = call.end;
    }
    return out + text.slice(from);
  }

  private native(call: Call): NativeText {
    const { definition } = call;
    if (definition === undefined) {
      throw new SyntaxError(
        `${call.name} is not a function of this edition: update the add-in, then hand over.`,
      );
    }
    if (whyNoFormula(definition) !== undefined) {
      const value = this.surroundings.valueOf(call);
      this.asValues.push(call);
      return { text: typeof value === "number" ? String(value) : quoted(value), binding: binding.whole };
    }
    const native = nativeForm(definition, this.argumentsOf(call));
    refuseLonger(native.text);
    this.tell(call, definition, native);
    return native;
  }

  private tell(call: Call, { unchecked }: WorksheetFunction, { told, isPlainer }: NativeText): void {
    const add = (sentence: string | undefined, plainer: boolean): void => {
      const known = this.told.some((one) => one.call === call && one.sentence === sentence);
      if (sentence !== undefined && !known) this.told.push({ call, sentence, isPlainer: plainer });
    };
    add(unchecked === undefined ? undefined : `Not checked any more: ${unchecked}.`, false);
    add(told, isPlainer === true);
  }

  private argumentsOf(call: Call): readonly NativeArgument[] {
    return call.given.map((text, position) => this.argument(call, text, position));
  }

  /** Each cell of a spill in a form of its own: a formula where there is one, otherwise what the cell shows. */
  spill(call: Call, definition: WorksheetFunction): readonly (readonly (string | number)[])[] {
    const shown = this.surroundings.spillOf(call);
    refuseWider(call, shown);
    const size = { rows: shown.length, columns: shown[0]?.length ?? 0 };
    const given = this.argumentsOf(call);
    return shown.map((cells, row) =>
      cells.map((_cell, column) => {
        const native = nativeCell(definition, given, { ...size, row, column });
        refuseLonger(native.text);
        this.tell(call, definition, native);
        return `=${native.text}`;
      }),
    );
  }

  private argument(call: Call, given: string, position: number): NativeArgument {
    if (given === "") return leftOut;
    // A native formula finds the end of what is filled by itself.
    const text = blockFilledBy(given) ?? given;
    const literal = literalOf(text);
    if (literal !== undefined) return { text, binding: bindingOf(placed(text)), literal };
    if (isReference(text)) {
      if (this.surroundings.isComputed(text)) return { text, binding: binding.whole, computed: true };
      this.inputs.push({ call, position, reference: text });
      return { text, binding: binding.whole };
    }
    if (!/^\{[^]*\}$/.test(text)) refuseArray(call, text, position);
    const rewritten = this.rewrite(text);
    const table = /^\{.*\}$/s.test(rewritten);
    const [whole] = callsAmong(text, placed(text));
    const bounds =
      whole?.text === text && whole.definition !== undefined ? resultBounds(whole.definition.result) : {};
    return { text: rewritten, binding: bindingOf(placed(rewritten)), computed: !table, bounds };
  }
}

/** The call that a formula consists of, if it is one that spills over the cells beside it. */
export function spillingCall(formula: string): Call | undefined {
  const call = firstCall(formula);
  const { definition } = call ?? {};
  if (call === undefined || definition === undefined || givesOneValue(definition)) return undefined;
  return `=${call.text}` === formula.trim() ? call : undefined;
}

export interface RewrittenSpill extends Omit<Rewritten, "text"> {
  /** What each cell of the spill holds instead. */
  readonly cells: readonly (readonly (string | number)[])[];
}

/** A spilling call with each of its cells in a form of its own. Throws where one has none. */
export function rewriteSpill(call: Call, surroundings: Surroundings): RewrittenSpill {
  const { definition } = call;
  if (definition === undefined) throw new SyntaxError(`${call.name} is not a function of this edition.`);
  const rewriter = new Rewriter(surroundings);
  const cells = rewriter.spill(call, definition);
  const { inputs, asValues, told } = rewriter;
  return { cells, inputs, asValues, told };
}

/** The formula with every call of ours in its native form. Throws where a call has none. */
export function rewriteNatively(formula: string, surroundings: Surroundings): Rewritten {
  const rewriter = new Rewriter(surroundings);
  const text = rewriter.rewrite(formula);
  const { inputs, asValues, told } = rewriter;
  return { text, inputs, asValues, told };
}
