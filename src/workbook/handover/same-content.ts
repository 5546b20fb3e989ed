/** Whether two contents say the same: programs that save a file spell a formula each in its own way. */
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
import type { Node } from "@borgar/fx";

/** Figures kept by the programs that save a file: fifteen. */
const figures = 15;

/** Stands in an expected formula for a value that is not known any more: whatever value is found there is right. */
export const anyValue = "\uE000";

interface Chain {
  /** Terms that are added or factors that are multiplied by, and those taken away or divided by. */
  readonly with: unknown[];
  readonly against: unknown[];
  negative: boolean;
}

/** A chain of products, or of sums, without the brackets that make no difference to it. */
function gather(
  node: Node | null,
  [forth, back]: readonly [string, string],
  inverse: boolean,
  chain: Chain,
): void {
  if (node !== null && isBinaryNode(node) && (node.operator === forth || node.operator === back)) {
    const [left = null, right = null] = node.arguments;
    gather(left, [forth, back], inverse, chain);
    gather(right, [forth, back], inverse !== (node.operator === back), chain);
  } else if (node !== null && isUnaryNode(node) && node.operator === "-" && forth === "*") {
    chain.negative = !chain.negative;
    gather(node.arguments[0] ?? null, [forth, back], inverse, chain);
  } else if (node !== null && isUnaryNode(node) && node.operator === "%" && forth === "*") {
    gather(node.arguments[0] ?? null, [forth, back], inverse, chain);
    (inverse ? chain.against : chain.with).push("%");
  } else {
    const folded = node !== null && isLiteralNode(node) && typeof node.value === "number" && node.value < 0;
    const signed = folded && forth === "*";
    if (signed) chain.negative = !chain.negative;
    (inverse ? chain.against : chain.with).push(
      signed ? numeric(String(-Number(node.value))) : meaning(node),
    );
  }
}

const chainOf = (node: Node, operators: readonly [string, string]): unknown => {
  const chain: Chain = { with: [], against: [], negative: false };
  gather(node, operators, false, chain);
  return [operators[0], chain.with, chain.against, chain.negative];
};

/** Quotes round the name of a sheet say nothing. */
const spelling = (text: string): string => text.toUpperCase().replace(/^'((?:[^']|'')*)'!/, "$1!");

/** What a formula says, whatever blanks, needless brackets, letter case and last figures a program has put in. */
function meaning(node: Node | null): unknown {
  if (node === null) return null;
  if (isLiteralNode(node) && typeof node.value === "number") {
    return node.value < 0 ? chainOf(node, ["*", "/"]) : numeric(String(node.value));
  }
  if (isLiteralNode(node)) return { text: node.value };
  if (isReferenceNode(node)) return { reference: spelling(node.value) };
  if (isArrayNode(node)) return ["{", node.elements.map((row) => row.map(meaning))];
  if (isBinaryNode(node) && "*/".includes(node.operator)) return chainOf(node, ["*", "/"]);
  if (isUnaryNode(node) && "-%".includes(node.operator)) return chainOf(node, ["*", "/"]);
  if (isBinaryNode(node) && "+-".includes(node.operator)) return chainOf(node, ["+", "-"]);
  if (isUnaryNode(node) || isBinaryNode(node)) return [node.operator, node.arguments.map(meaning)];
  if (isCallNode(node) && "name" in node.callee) {
    const name = node.callee.name.toUpperCase().replace(/^_XLFN\.(?:_XLWS\.)?/, "");
    // Some programs write the logical constants as functions.
    if (node.arguments.length === 0 && (name === "TRUE" || name === "FALSE"))
      return { text: name === "TRUE" };
    return [name, node.arguments.map(meaning)];
  }
  return { ...node, loc: undefined };
}

/** A reference whose cells were deleted may keep the name of its sheet, which the parser takes for a fault. */
export const readable = (content: string): ReturnType<typeof tokenize> => {
  const tokens = tokenize(content);
  if (!content.includes("!#REF!")) return tokens;
  return tokens.filter(({ type, value }) => !type.startsWith("context") && value !== "!");
};

function meaningOf(content: string): unknown {
  if (!content.startsWith("=")) return numeric(content);
  try {
    return meaning(parse(readable(content)));
  } catch (error) {
    // A formula that the parser does not know is compared as it stands.
    if (error instanceof Error) return content;
    throw error;
  }
}

const numeric = (text: string): string => {
  const value = Number(text);
  return text.trim() === "" || Number.isNaN(value) ? text : Number(value.toPrecision(figures)).toString();
};

const isValue = (found: unknown): boolean =>
  typeof found === "string" ||
  (typeof found === "object" && found !== null && ("text" in found || isError(found) || isNegative(found)));

/** An error written out, or the function that gives one. */
const isError = (found: object): boolean =>
  ("type" in found && found.type === "ErrorLiteral") || (Array.isArray(found) && found[0] === "NA");

const isNegative = (found: object): boolean =>
  Array.isArray(found) &&
  found[0] === "*" &&
  found[3] === true &&
  JSON.stringify(found[2]) === "[]" &&
  Array.isArray(found[1]) &&
  found[1].length === 1 &&
  typeof found[1][0] === "string";

function matches(expected: unknown, found: unknown): boolean {
  if (expected === found) return true;
  if (typeof expected !== "object" || expected === null) return false;
  if ("text" in expected && expected.text === anyValue) return isValue(found);
  if (typeof found !== "object" || found === null) return false;
  const [one, other] = [Object.entries(expected), new Map(Object.entries(found))];
  return one.length === other.size && one.every(([key, value]) => matches(value, other.get(key)));
}

/** Whether two contents say the same, whatever blanks, letter case and last figures a program has put in. */
export const sameContent = (expected: string, found: string): boolean =>
  expected === found || matches(meaningOf(expected), meaningOf(found));
