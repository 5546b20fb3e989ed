/**
 * Hidden names of the workbook for cells that a work writes: they go along with their cells where rows and columns are
 * put in or taken out, also while nobody of ours is there to see it. Those of a work that is done stay until the next one
 * begins, or the pane is opened again: taken away at its end, they would be what the first undo brings back.
 */
import type { NamedItem, Range, RequestContext } from "../host";

const prefix = "Sward_work_";

/** Cells one under another where they were when they were written. */
export interface HeldRun {
  readonly row: number;
  readonly column: number;
  readonly count: number;
}

/** Gives cells a name in the request that is sent next. */
export function addHeldName(
  context: RequestContext,
  id: string,
  number: number,
  { row, column, count }: HeldRun,
  range: Range,
): void {
  const name = `${prefix}${id}_${number}_${row}_${column}_${count}`;
  context.workbook.names.add(name, range).visible = false;
}

export interface HeldName extends HeldRun {
  readonly id: string;
  readonly number: number;
  readonly item: NamedItem;
}

/** Asks for the names of works; they are there once that is answered. */
export function askHeldNames(context: RequestContext): () => readonly HeldName[] {
  const { names } = context.workbook;
  names.load("items/name");
  return () =>
    names.items.flatMap((item) => {
      if (!item.name.startsWith(prefix)) return [];
      const [id, ...places] = item.name.slice(prefix.length).split("_");
      const [number, row, column, count] = places.map(Number);
      if (id === undefined || number === undefined || row === undefined) return [];
      return column === undefined || count === undefined ? [] : [{ id, number, row, column, count, item }];
    });
}

/** Takes names away that may be gone already. */
export function dropHeldNames(context: RequestContext, names: readonly HeldName[]): void {
  for (const { item } of names) context.workbook.names.getItemOrNullObject(item.name).delete();
}

/** Cells of a work where they stand by now, with the id of their sheet. */
export interface HeldCells extends HeldRun {
  readonly sheet: string;
  readonly range: Range;
}

/** What a work wrote, wherever it stands by now, those cells first that were written last; what is gone is left out. */
export async function heldCells(context: RequestContext, id: string): Promise<readonly HeldCells[]> {
  const asked = askHeldNames(context);
  await context.sync();
  const own = asked()
    .filter((one) => one.id === id)
    .sort((one, other) => other.number - one.number)
    .map(({ row, column, count, item }) => ({ row, column, count, range: item.getRangeOrNullObject() }));
  if (own.length === 0) return [];
  for (const { range } of own) range.load("rowIndex,columnIndex,rowCount");
  await context.sync();
  const there = own.filter(({ range }) => !range.isNullObject);
  for (const { range } of there) range.worksheet.load("id");
  await context.sync();
  return there.map((one) => ({ ...one, sheet: one.range.worksheet.id }));
}
