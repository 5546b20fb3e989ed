/**
 * The filled part of a block of inputs, as our sheets hand it over: `B15:INDEX(C15:C54,COUNT(B15:B54))`, from its first
 * cell to the last column in the row of its last figure. A host may hand a blank cell over as 0, so a function is given no
 * more than what is filled. Unlike OFFSET it is not worked out anew with every edit of any cell.
 */
import type { Node } from "@borgar/fx";
import { isBinaryNode, isCallNode, isReferenceNode, parse, tokenize } from "@borgar/fx";

const corners = /^(\$?[A-Z]+)(\$?\d+):(\$?[A-Z]+)(\$?\d+)$/i;

/** The filled part of a block, counted down its first column; an empty block is handed over whole. */
export function filledPart(block: string): string {
  const [, left = "", top = "", right = "", bottom = ""] = corners.exec(block) ?? [];
  return `${left}${top}:INDEX(${right}${top}:${right}${bottom},COUNT(${left}${top}:${left}${bottom}))`;
}

const called = (node: Node | null | undefined, name: string): readonly (Node | null)[] =>
  node && isCallNode(node) && "name" in node.callee && node.callee.name.toUpperCase() === name
    ? node.arguments
    : [];

const referred = (node: Node | null | undefined): string => (node && isReferenceNode(node) ? node.value : "");

/** The block that an expression is the filled part of. */
export function blockOfNode(node: Node): string | undefined {
  if (!isBinaryNode(node) || node.operator !== ":") return undefined;
  const [first, last] = node.arguments;
  const [column, count] = called(last, "INDEX");
  const [counted] = called(count, "COUNT");
  const block = `${referred(first)}:${referred(column).split(":")[1] ?? ""}`;
  const text = `${referred(first)}:INDEX(${referred(column)},COUNT(${referred(counted)}))`;
  return corners.test(block) && filledPart(block) === text ? block : undefined;
}

/** Longer than any filled part, with blanks between its parts. */
const longestPart = 200;

/** The block that an argument, as it was typed, is the filled part of. */
export function blockFilledBy(text: string): string | undefined {
  if (text.length > longestPart || !/:\s*INDEX\s*\(/i.test(text)) return undefined;
  try {
    return blockOfNode(parse(tokenize(`=${text}`)));
  } catch {
    // What cannot be read as a formula is no part of a block.
    return undefined;
  }
}
