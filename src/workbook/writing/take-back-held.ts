/** Takes back what was written to cells that somebody may have moved since, where they stand by now. */
import type { RequestContext } from "../host";
import { codeOf } from "../host";
import { holds } from "./content";
import type { HeldSince, Written } from "./put-back";
import { neverHeld, putBack } from "./put-back";
import type { CellChange } from "./where-stands";

/** Ranges of cells that are written, which go along with them. */
export interface Kept extends Written {
  /** From before they were written: by then they may have moved already. */
  readonly isEarlier?: true;
}

const reversed = ({ before, after, ...place }: CellChange): CellChange => ({
  ...place,
  before: after,
  after: before,
});

/** So many cells are looked at in one request. */
export const cellsAtOnce = 500;

/** Those that the host holds, told where they are: of a request that failed it never came to hold some. */
async function heldAmong(context: RequestContext, kept: readonly Kept[]): Promise<readonly Kept[]> {
  try {
    for (const { range, isEarlier } of kept)
      range.load(`rowIndex,columnIndex,rowCount,columnCount${isEarlier === true ? ",formulas,values" : ""}`);
    await context.sync();
    return kept;
  } catch (error) {
    if (codeOf(error) !== neverHeld) throw error;
    if (kept.length < 2) return [];
    const middle = Math.ceil(kept.length / 2);
    return [
      ...(await heldAmong(context, kept.slice(0, middle))),
      ...(await heldAmong(context, kept.slice(middle))),
    ];
  }
}

type Place = Pick<CellChange, "sheet" | "row" | "column">;

export const placeOf = ({ sheet, row, column }: Place): string => `${sheet} ${row} ${column}`;

interface TakeBack {
  /** What stands in a table is found by its places alone, since the host fills its columns by itself. */
  readonly isInTable: boolean;
  /** What somebody typed as it was written over: that is what those cells are given. */
  readonly owed: readonly CellChange[];
}

/** Whether cells stand elsewhere than where they were written. */
export const isMoved = ({ run, range }: HeldSince): boolean =>
  range.rowIndex !== run.row || range.columnIndex !== run.column || range.rowCount !== run.cells.length;

/** Whether it tells of what was written: of what was held before that, only where all of it stands there. */
const isTelling = ({ run, range, isEarlier }: Kept): boolean =>
  isEarlier !== true ||
  (range.rowCount === run.cells.length &&
    run.cells.every(({ after }, i) => holds(after, range.formulas[i]?.[0], range.values[i]?.[0])));

/**
 * What was written is taken back through the ranges that went along with it, since the place of what has moved tells
 * nothing any more. Answers with what was taken back; the rest is found by its places.
 */
export async function takeBackHeld(
  context: RequestContext,
  kept: readonly Kept[],
  { isInTable, owed }: TakeBack,
): Promise<readonly CellChange[]> {
  const held = await heldAmong(context, kept);
  const told = new Map<string, { readonly cell: CellChange; readonly by: Kept }>();
  for (const by of held)
    for (const cell of by.run.cells) if (!told.has(placeOf(cell))) told.set(placeOf(cell), { cell, by });
  // What has not moved yet may still do so before it is taken back by its place; of many that takes long.
  const isWorthIt = (told.size <= cellsAtOnce && !isInTable) || held.some(isMoved);
  const back = isWorthIt ? [...told.values()].filter(({ by }) => isTelling(by)) : [];
  const theirs = new Map(owed.map((one) => [placeOf(one), one]));
  const left = new Set<string>();
  for (let from = 0; from < back.length; from += cellsAtOnce) {
    const part = back.slice(from, from + cellsAtOnce);
    const changes = part.map(({ cell }) => theirs.get(placeOf(cell)) ?? reversed(cell));
    const written = [...new Set(part.map(({ by }) => by))];
    const rest = await putBack(context, changes, { written, owes: undefined });
    for (const one of rest) left.add(placeOf(one));
  }
  return back.flatMap(({ cell }) => (left.has(placeOf(cell)) ? [] : [cell]));
}
