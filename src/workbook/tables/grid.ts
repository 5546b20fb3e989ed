/** Cells as a table is read from them. */
import type { CellContent, SheetCells } from "../host";
import { emptyCell, showsError } from "../host";

export interface At {
  readonly row: number;
  readonly column: number;
}

export interface Grid {
  at(row: number, column: number): CellContent;
  readonly lastRow: number;
}

export const cellIn = ({ top, left, rows }: SheetCells, row: number, column: number): CellContent =>
  rows[row - top]?.[column - left] ?? emptyCell;

export const isEmpty = ({ formula, value }: CellContent): boolean =>
  formula === "" && (value === null || value === "");

/** "# of bags" are words, and #N/A is none. */
export const isWords = (cell: CellContent): boolean =>
  typeof cell.value === "string" && cell.value.trim() !== "" && !showsError(cell);

export const textOf = ({ value }: CellContent): string => String(value ?? "").trim();

/** Rows that are gone through between two pauses. */
export const rowsAtATime = 20;
