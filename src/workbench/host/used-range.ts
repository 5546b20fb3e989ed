import { intersection, union } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import type { Zone } from "./spreadsheet";

/** The smallest zone round the cells in use: those with a value, and unless asked otherwise those with a format. */
export function usedZone(book: Book, { sheetId, zone }: Area, valuesOnly: boolean): Zone | null {
  book.checkSheet(sheetId);
  let used: Zone | null = null;
  const add = (col: number, row: number) => {
    const cell = { left: col, right: col, top: row, bottom: row };
    if (!intersection(cell, zone)) return;
    used = used ? union(used, cell) : cell;
  };
  for (const position of book.filledPositions(sheetId)) add(position.col, position.row);
  if (!valuesOnly) {
    for (const cell of book.getters.getCells(sheetId)) {
      const position = book.getters.getCellPosition(cell.id);
      if (cell.format || (cell.style && Object.keys(cell.style).length)) add(position.col, position.row);
    }
  }
  return used;
}
