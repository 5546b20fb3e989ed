/**
 * What an argument amounts to, for showing the working: literals, references, plain sums and our own functions. A
 * host offers no way to ask for the value of part of a formula, so what is not understood here is said to be so.
 */
import type { Node } from "@borgar/fx";
import {
  isArrayNode,
  isBinaryNode,
  isCallNode,
  isLiteralNode,
  isReferenceNode,
  isUnaryNode,
  parse,
  tokenize,
} from "@borgar/fx";
import { anyCalculator, calculator } from "../../engine/calculate";
import { functionNamed } from "../../engine/catalogue";
import type { Spilled, WorksheetFunction } from "../../engine/formula";
import { greatest, least } from "../../engine/lists";
import { isRepeating } from "../../engine/parameters";
import type { Scalar } from "../host";
import { readsLikeError } from "../host";
import { blockOfNode } from "./filled-part";

export type Value = Scalar | readonly (readonly Scalar[])[];

/** A part of a formula that only the spreadsheet itself can work out. */
export class NotFollowed extends Error {
  override readonly name = "NotFollowed";
}

export type Lookup = (reference: string) => Value;

const isTable = (value: Value): value is readonly (readonly Scalar[])[] => Array.isArray(value);

const scalar = (value: Value): Scalar => (isTable(value) ? (value[0]?.[0] ?? null) : value);

function numeric(value: Value): number {
  const one = scalar(value);
  if (readsLikeError(one)) throw new NotFollowed(`it holds the error ${String(one)}`);
  return one === null || one === "" ? 0 : Number(one);
}

const flat = (values: readonly Value[]): readonly number[] =>
  values
    .flatMap((value) => (isTable(value) ? value.flat() : [value]))
    .filter((cell): cell is number => typeof cell === "number");

const places = (value: number, digits: number, rounding: (scaled: number) => number): number =>
  rounding(value * 10 ** digits) / 10 ** digits;

const outward = (value: number): number => Math.sign(value) * Math.ceil(Math.abs(value));

/** The sheet functions that stand most often inside an argument. */
const sheetFunctions: Readonly<Record<string, (given: readonly Value[]) => number>> = {
  SUM: (given) => flat(given).reduce((total, value) => total + value, 0),
  // Of no figure at all, both are 0 in a spreadsheet.
  MIN: (given) => (flat(given).length === 0 ? 0 : least(flat(given))),
  MAX: (given) => (flat(given).length === 0 ? 0 : greatest(flat(given))),
  AVERAGE: (given) => flat(given).reduce((total, value) => total + value, 0) / flat(given).length,
  ABS: ([value = null]) => Math.abs(numeric(value)),
  ROUND: ([value = null, digits = 0]) => places(numeric(value), numeric(digits), Math.round),
  ROUNDUP: ([value = null, digits = 0]) => places(numeric(value), numeric(digits), outward),
  ROUNDDOWN: ([value = null, digits = 0]) => places(numeric(value), numeric(digits), Math.trunc),
};

const operations: Readonly<Record<string, (a: number, b: number) => number>> = {
  "+": (a, b) => a + b,
  "-": (a, b) => a - b,
  "*": (a, b) => a * b,
  "/": (a, b) => a / b,
  "^": (a, b) => a ** b,
};

const calculators = new Map<WorksheetFunction, ReturnType<typeof calculator>>();

/** The answer of one of our functions; throws the Refusal where it refuses. */
export function answerOf(definition: WorksheetFunction, given: readonly Value[]): number | string {
  const known = calculators.get(definition) ?? calculator(definition);
  calculators.set(definition, known);
  return known(...arrangedFor(definition, given));
}

/** What one of our functions shows in its cell and those beside it; one value is a spill of one cell. */
export function spillOf(definition: WorksheetFunction, given: readonly Value[]): Spilled {
  const answer = anyCalculator(definition)(...arrangedFor(definition, given));
  return typeof answer === "object" ? answer : [[answer]];
}

/** The host hands a repeating parameter all of its arguments as one. */
export function arrangedFor({ parameters }: WorksheetFunction, given: readonly Value[]): readonly unknown[] {
  const last = parameters[parameters.length - 1];
  if (last === undefined || !isRepeating(last)) return given;
  const before = parameters.length - 1;
  return [...given.slice(0, before), given.slice(before)];
}

/** Operators and functions inside one another: more than any that a person reads. */
const deepest = 500;

function evaluateNode(node: Node | null, lookup: Lookup, depth = 0): Value {
  if (node === null) return null;
  if (depth > deepest) throw new NotFollowed("it is nested too deeply to be followed here");
  const inner = (child: Node | null) => evaluateNode(child, lookup, depth + 1);
  if (isLiteralNode(node)) return node.value;
  if (isReferenceNode(node)) return lookup(node.value);
  if (isArrayNode(node)) return node.elements.map((row) => row.map((cell) => scalar(inner(cell))));
  if (isUnaryNode(node)) {
    const [operand = null] = node.arguments;
    if (node.operator === "%") return numeric(inner(operand)) / 100;
    if (node.operator === "-") return -numeric(inner(operand));
    if (node.operator === "+") return inner(operand);
  }
  const block = blockOfNode(node);
  if (block !== undefined) return lookup(block);
  if (isBinaryNode(node)) {
    const operation = operations[node.operator];
    const [left = null, right = null] = node.arguments;
    if (operation !== undefined) return operation(numeric(inner(left)), numeric(inner(right)));
  }
  if (isCallNode(node) && "name" in node.callee) {
    const given = node.arguments.map(inner);
    const definition = functionNamed(node.callee.name);
    if (definition !== undefined) return answerOf(definition, given);
    const sheetFunction = sheetFunctions[node.callee.name.toUpperCase()];
    if (sheetFunction !== undefined) return sheetFunction(given);
    throw new NotFollowed(`${node.callee.name} is worked out by the spreadsheet`);
  }
  throw new NotFollowed("it is worked out by the spreadsheet");
}

/** The value of an argument as typed; throws NotFollowed for what only the spreadsheet can work out, or read. */
export function evaluate(text: string, lookup: Lookup): Value {
  return text === "" ? null : evaluateNode(parsed(text), lookup);
}

function parsed(text: string): Node {
  try {
    return parse(tokenize(`=${text}`));
  } catch {
    throw new NotFollowed("only the spreadsheet reads it");
  }
}

/** Every reference in a formula, as typed. */
export const referencesIn = (formula: string): readonly string[] => {
  const found: string[] = [];
  let context = "";
  for (const { type, value } of tokenize(formula)) {
    if (type.startsWith("context")) context = value;
    else if (context !== "" && value === "!") context += value;
    else {
      if (type.startsWith("range") || type === "structured") found.push(context + value);
      context = "";
    }
  }
  return [...new Set(found)];
};
