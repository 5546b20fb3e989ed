/** What is written into the cells of one sheet of a file, once the plan has met what the file really holds. */
import { greatest } from "../../../engine/lists";
import type { CellNote, Pieces } from "../../host";
import { blockOf, cellAddress, readsLikeError } from "../../host";
import type { SheetPlan } from "../plan";
import type { CellStore, FileCell } from "./cell-store";

/** What a formula is taken to show that nothing has calculated: an error, so that no sum is made of it. */
export const notCalculated = "#N/A";

export interface CellWrite {
  readonly row: number;
  readonly column: number;
  readonly native: string | number;
  /** It is the value itself: a text is a text, be it spelt as a formula. */
  readonly isValue: boolean;
  /** The cell is one of several that a formula filled, each of which stands for itself now. */
  readonly partOfSpill: boolean;
}

export interface Settled {
  readonly plan: Pick<SheetPlan, "inputs" | "asValues" | "unchecked" | "stopped">;
  readonly writes: readonly CellWrite[];
}

const notCalculatedNote =
  "The file holds no value for it: open the file in Excel, let it calculate, save it, then hand over.";

interface Anchor {
  readonly cell: FileCell;
  readonly height: number;
  readonly width: number;
}

/** A cell whose formula is not planned at all. */
export type UnplannedCell = FileCell & { readonly why: string };

/** A sheet that is left as it was for the sake of some cells. */
export const unsettled = (sheet: string, unplanned: readonly UnplannedCell[]): Settled => ({
  plan: {
    inputs: [],
    asValues: [],
    unchecked: [],
    stopped: unplanned.map(({ row, column, formula, why }) => ({
      sheet,
      address: cellAddress(row, column),
      formula,
      note: why,
    })),
  },
  writes: [],
});

/** Formulas that are settled at a time, in a few milliseconds. */
const formulasAtATime = 500;

export function* settling(sheet: string, plan: SheetPlan, held: CellStore): Pieces<Settled> {
  const stopped: CellNote[] = plan.stopped.map((one) => {
    const place = one.note.includes(notCalculated) ? blockOf(one.address) : undefined;
    const cell = place === undefined ? undefined : held.find(place.top, place.left);
    return cell?.value === null ? { ...one, note: notCalculatedNote } : one;
  });
  const writes: CellWrite[] = [];
  const stop = ({ row, column, formula }: FileCell, note: string): void => {
    stopped.push({ sheet, address: cellAddress(row, column), formula, note });
  };
  const groups = groupedByFormula(plan, held);
  for (const [i, [cell, group]] of groups.entries()) {
    if (i % formulasAtATime === 0) yield i / groups.length;
    const anchor = anchorOf(cell, group);
    const isSpill = group.length > 1;
    if (isSpill) {
      const why = whyNoSpill(anchor, group, held);
      if (why !== undefined) {
        stop(cell, why);
        continue;
      }
    }
    for (const { row, column, native, value } of group) {
      const own = row === cell.row && column === cell.column;
      if (!own && !isFilled(anchor, row, column)) continue;
      if (own && value !== undefined && !isSpill && cell.value === null) stop(cell, notCalculatedNote);
      else if (value !== undefined && (own && !isSpill ? cell.isError : readsLikeError(value)))
        stop(cell, `It shows ${String(value)}: put that right, then hand over.`);
      else writes.push({ row, column, native, isValue: native === value, partOfSpill: isSpill });
    }
  }
  const { inputs, asValues, unchecked } = plan;
  return { plan: { inputs, asValues, unchecked, stopped }, writes };
}

/** Each cell of the plan that has a formula, with the cells that it fills. */
function groupedByFormula(
  { conversions }: SheetPlan,
  held: CellStore,
): readonly (readonly [FileCell, SheetPlan["conversions"][number][]])[] {
  const groups: [FileCell, SheetPlan["conversions"][number][]][] = [];
  for (const conversion of conversions) {
    const cell = conversion.original === "" ? undefined : held.find(conversion.row, conversion.column);
    if (cell !== undefined) groups.push([cell, [conversion]]);
    else groups[groups.length - 1]?.[1].push(conversion);
  }
  return groups;
}

function anchorOf(cell: FileCell, group: SheetPlan["conversions"]): Anchor {
  return {
    cell,
    height: greatest(group.map(({ row }) => row)) - cell.row + 1,
    width: greatest(group.map(({ column }) => column)) - cell.column + 1,
  };
}

/** Whether the formula fills a cell of its answer: one that is no array shows its first value only. */
function isFilled({ cell: { array } }: Anchor, row: number, column: number): boolean {
  if (array === undefined) return false;
  if (array.dynamic) return true;
  const { bottom, right } = array.block;
  return row <= bottom && column <= right;
}

function whyNoSpill(anchor: Anchor, group: SheetPlan["conversions"], held: CellStore): string | undefined {
  const { cell, height, width } = anchor;
  const { array } = cell;
  if (array === undefined) return undefined;
  const { top, left, bottom, right } = array.block;
  const outgrown = bottom - top + 1 > height || right - left + 1 > width;
  if (outgrown && !array.dynamic)
    return "It was entered over more cells than it fills: enter it over as many as it fills, then hand over.";
  const blocked = group.find(({ row, column }) => {
    const inBlock = row >= top && row <= bottom && column >= left && column <= right;
    const there = inBlock ? undefined : held.find(row, column);
    return !inBlock && there !== undefined && (there.formula !== "" || (there.value ?? "") !== "");
  });
  return blocked === undefined || !array.dynamic
    ? undefined
    : `${cellAddress(blocked.row, blocked.column)} stands where it would fill cells: clear that, then hand over.`;
}
