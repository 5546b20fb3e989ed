/**
 * What an argument that is worked out gives: cells, one value, or an array that stands nowhere. A native formula can
 * point into cells, and take one value; into an array no spreadsheet of twenty years ago could point.
 */
import type { Node } from "@borgar/fx";
import {
  isBinaryNode,
  isCallNode,
  isLiteralNode,
  isReferenceNode,
  isUnaryNode,
  parse,
  parseA1Ref,
  tokenize,
} from "@borgar/fx";
import { functionNamed } from "../../engine/catalogue";
import { givesOneValue } from "../../engine/formula";

export type ArgumentSort = "cells" | "one value" | "array";

/** Functions that answer with the cells that they find; the reference that they find them in stands at a place. */
const findCells: Readonly<Record<string, (given: readonly (Node | null)[]) => boolean>> = {
  OFFSET: ([from]) => sortOf(from) !== "array",
  INDIRECT: () => true,
  INDEX: ([from]) => isCells(from),
  CHOOSE: ([, ...choices]) => choices.every(isCells),
  IF: ([condition, ...choices]) => sortOf(condition) === "one value" && choices.every(isCells),
};

/** Functions that give one value whatever they are given. */
const giveOneValue = new Set(
  "SUM SUMIF SUMIFS SUMSQ SUMPRODUCT PRODUCT MIN MAX AVERAGE AVERAGEIF MEDIAN MODE STDEV VAR COUNT COUNTA COUNTBLANK COUNTIF COUNTIFS LARGE SMALL MATCH VLOOKUP HLOOKUP LOOKUP ROWS COLUMNS AND OR CONCAT TEXTJOIN SUBTOTAL AGGREGATE NPV IRR".split(
    " ",
  ),
);

/** Functions that give several values whatever they are given. */
const giveArrays = new Set(
  "TRANSPOSE FILTER SORT SORTBY UNIQUE SEQUENCE RANDARRAY MMULT MINVERSE MUNIT FREQUENCY LINEST LOGEST TREND GROWTH VSTACK HSTACK TOCOL TOROW WRAPROWS WRAPCOLS TAKE DROP CHOOSEROWS CHOOSECOLS EXPAND MAP BYROW BYCOL MAKEARRAY SCAN TEXTSPLIT".split(
    " ",
  ),
);

function isOneCell(reference: string): boolean {
  const parsed = parseA1Ref(reference, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return false;
  const { top, left, bottom, right } = parsed.range;
  return top !== null && left !== null && (bottom ?? top) === top && (right ?? left) === left;
}

const isName = (reference: string): boolean => {
  const parsed = parseA1Ref(reference);
  return parsed !== undefined && "name" in parsed;
};

const isCells = (node: Node | null | undefined): boolean =>
  node !== null && node !== undefined && (isReferenceNode(node) || sortOf(node) === "cells");

function sortOfCall(name: string, given: readonly (Node | null)[]): ArgumentSort {
  const ours = functionNamed(name);
  if (ours !== undefined) return givesOneValue(ours) ? "one value" : "array";
  if (findCells[name]?.(given) === true) return "cells";
  if (giveOneValue.has(name)) return "one value";
  return !giveArrays.has(name) && given.every((one) => sortOf(one) === "one value") ? "one value" : "array";
}

function sortOf(node: Node | null | undefined): ArgumentSort {
  if (node === null || node === undefined || isLiteralNode(node)) return "one value";
  // A name in a sum is taken for one cell, as most are.
  if (isReferenceNode(node)) return isOneCell(node.value) || isName(node.value) ? "one value" : "array";
  if (isCallNode(node) && "name" in node.callee)
    return sortOfCall(node.callee.name.toUpperCase().replace(/^_XLFN\.(_XLWS\.)?/, ""), node.arguments);
  if (isBinaryNode(node) && node.operator === ":") return node.arguments.every(isCells) ? "cells" : "array";
  if (isUnaryNode(node) && node.operator === "#") return "array";
  if (isUnaryNode(node) || isBinaryNode(node))
    return node.arguments.every((one) => sortOf(one) === "one value") ? "one value" : "array";
  return "array";
}

/** What an expression gives, without its equals sign; one that cannot be read is taken for an array. */
export function argumentSort(text: string): ArgumentSort {
  try {
    return sortOf(parse(tokenize(`=${text}`)));
  } catch {
    return "array";
  }
}
