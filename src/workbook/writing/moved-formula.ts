/** Formulas that are moved along with the rows and columns that they stand in and read. */
import type { Token } from "@borgar/fx";
import { fromCol, parseA1Ref, stringifyA1Ref, tokenize } from "@borgar/fx";
import type { Content } from "../host";
import { isSpeltAlike } from "./content";

/** How far a cell was moved. */
export interface Shift {
  readonly down: number;
  readonly across: number;
}

const partsOf = (cells: string): readonly string[] => cells.split(/([A-Z]+|\d+)/i);

/** A reference without its sheet, which may have another name by now. */
const cellsOf = (reference: string): string => reference.slice(reference.lastIndexOf("!") + 1);

/** Whether a reference is that of before, or the same with some of its rows or columns moved along. */
function isMovedReference(now: string, before: string, { down, across }: Shift): boolean {
  if (now.includes("!") !== before.includes("!")) return false;
  const [parts, old] = [partsOf(cellsOf(now)), partsOf(cellsOf(before))];
  return (
    parts.length === old.length &&
    parts.every((part, i) => {
      const was = old[i] ?? "";
      if (part === was) return true;
      if (/^\d+$/.test(part) && /^\d+$/.test(was)) return Number(part) === Number(was) + down;
      if (/^[A-Z]+$/i.test(part) && /^[A-Z]+$/i.test(was)) return fromCol(part) === fromCol(was) + across;
      return false;
    })
  );
}

/** What a reference turns into whose cells are gone. */
const gone = "#REF!";

/** The parts of a formula, where a reference that is gone is one part, be its sheet told of before it or its cells after. */
function tokensOf(formula: string): readonly Token[] {
  const tokens = tokenize(formula);
  const isGone = (at: number): boolean => tokens[at]?.value === gone;
  return tokens.filter(({ type, value }, i) => {
    if (type.startsWith("context")) return !isGone(i + 2);
    if (value === "!") return !isGone(i + 1);
    return !(type === "range" && isGone(i - 1));
  });
}

/** Whether a formula is another that was moved along, some of whose cells or sheets may be gone by now. */
export function isMovedFormula(now: string, before: string, shift: Shift): boolean {
  if (isSpeltAlike(now, before)) return true;
  const [parts, old] = [tokensOf(now), tokensOf(before)];
  return (
    parts.length === old.length &&
    parts.every(({ type, value }, i) => {
      const was = old[i];
      if (was?.type === "range" && value === gone) return true;
      if (was?.type !== type) return false;
      return value === was.value || (type === "range" && isMovedReference(value, was.value, shift));
    })
  );
}

/** So many rows and columns; nothing for whole ones. */
function sizeOf(reference: string): readonly [rows: number, columns: number] | undefined {
  const parsed = parseA1Ref(reference, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return undefined;
  const { top, bottom, left, right } = parsed.range;
  const count = (first: number | null | undefined, last: number | null | undefined): number =>
    typeof first === "number" ? (last ?? first) - first : 0;
  return [count(top, bottom), count(left, right)];
}

/** Whether a formula is another that reads more by now, as where rows were put in among those it reads. */
export function readsMore(now: string, before: string): boolean {
  const [parts, old] = [tokensOf(now), tokensOf(before)];
  return (
    parts.length === old.length &&
    parts.every(({ type, value }, i) => {
      const was = old[i];
      if (type !== was?.type) return false;
      if (type !== "range" && type !== "range_beam") return type.startsWith("context") || value === was.value;
      const [size, sizeThen] = [sizeOf(value), sizeOf(was.value)];
      return (
        size !== undefined && sizeThen !== undefined && size.every((one, j) => one >= (sizeThen[j] ?? 0))
      );
    })
  );
}

interface Cell {
  readonly row: number;
  readonly column: number;
}

/**
 * A reference of a formula that was read in a cell which has moved since. What stands beyond that cell has moved along;
 * of what stands before it, what is fixed with a $ is taken for a head or a rate that has not.
 */
function movedReference(reference: string, at: Cell, { down, across }: Shift): string {
  const parsed = parseA1Ref(reference, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed) || (parsed.context ?? []).length > 0) return reference;
  const { range } = parsed;
  const { top, bottom, left, right, $top = false, $bottom = false, $left = false, $right = false } = range;
  const move = (place: number | null, isFixed: boolean | null, own: number, by: number): number | null =>
    place !== null && (place >= own || isFixed !== true) ? Math.max(0, place + by) : place;
  return stringifyA1Ref({
    ...parsed,
    range: {
      ...range,
      top: move(top ?? null, $top, at.row, down),
      bottom: move(bottom ?? null, $bottom, at.row, down),
      left: move(left ?? null, $left, at.column, across),
      right: move(right ?? null, $right, at.column, across),
    },
  });
}

/** What was read in a cell, as it reads where the cell has moved to. */
export function movedContent(content: Content, at: Cell, shift: Shift): Content {
  if (typeof content !== "object" || (shift.down === 0 && shift.across === 0)) return content;
  const parts = tokenize(content.formula).map(({ type, value }) =>
    type === "range" || type === "range_beam" ? movedReference(value, at, shift) : value,
  );
  return { formula: parts.join("") };
}
