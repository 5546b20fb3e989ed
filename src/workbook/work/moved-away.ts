/** What a work wrote and somebody has moved since by putting in a row or a column beside it. */
import type { RequestContext, Worksheet } from "../host";
import { cellAddress, readBlocks } from "../host";
import { isSpeltAlike } from "../writing";
import type { CellStep } from "../marks";

/** As a cell answers what was sent to it. */
export const spelt = (held: CellStep["to"]): string =>
  typeof held === "object" ? held.formula : String(held);

/**
 * Where cells of a work stand by now: beside a row or a column that was put in or taken out since, they stand elsewhere,
 * and nothing at their places tells of it. Where none of them is there, they are looked for along their rows and columns.
 * What is found is told of and stays: somebody may have had the same there all along.
 */
export async function movedAway(
  context: RequestContext,
  sheet: Worksheet,
  cells: readonly CellStep[],
): Promise<readonly string[]> {
  // A single text or formula may well stand somewhere else too.
  const telling = cells.filter(({ to }) => to !== "" && (typeof to === "object" || typeof to === "string"));
  const [first] = telling;
  if (first === undefined || telling.length < 2 || cells.some(({ was }) => was !== "")) return [];
  const used = sheet.getUsedRangeOrNullObject(true);
  used.load("rowIndex,columnIndex,rowCount,columnCount");
  await context.sync();
  if (used.isNullObject) return [];
  const [top, left] = [used.rowIndex, used.columnIndex];
  const block = { top, left, bottom: top + used.rowCount - 1, right: left + used.columnCount - 1 };
  const [held] = await readBlocks(context, [{ sheet, block }]);
  const at = (row: number, column: number): string => {
    const now: unknown = held?.formulas[row - top]?.[column - left];
    return typeof now === "string" ? now : "";
  };
  const stands = ({ row, column, to }: CellStep, down: number, across: number): boolean =>
    isSpeltAlike(spelt(to), at(row + down, column + across));
  if (telling.some((one) => stands(one, 0, 0))) return [];
  const shifts = [
    ...Array.from({ length: used.columnCount }, (_, i) => [0, left + i - first.column] as const),
    ...Array.from({ length: used.rowCount }, (_, i) => [top + i - first.row, 0] as const),
  ];
  for (const [down, across] of shifts) {
    const there = telling.filter((one) => stands(one, down, across));
    // Of some alone only formulas tell: they read their own rows.
    const formulas = there.filter(({ to }) => typeof to === "object");
    if (there.length === telling.length || formulas.length > 1)
      return there.map(({ row, column }) => cellAddress(row + down, column + across));
  }
  return [];
}
