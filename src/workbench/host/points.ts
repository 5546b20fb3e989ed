/** Where rows and columns begin, in the points that the host measures in. */
import type { Book } from "./book";

/** Points, in which the host measures, for the pixels the spreadsheet measures in. */
export const POINTS_PER_PIXEL = 0.75;

/** The size of rows and columns that the sheet has not grown to yet. */
const NEW_ROW = 23;
const NEW_COLUMN = 96;

export const leftOf = (book: Book, sheetId: string, column: number): number => {
  const { right } = book.sheetZone(sheetId);
  const beyond = Math.max(0, column - 1 - right) * NEW_COLUMN;
  const { end } = book.getters.getColDimensions(sheetId, Math.min(Math.max(column - 1, 0), right));
  return column === 0 ? 0 : (end + beyond) * POINTS_PER_PIXEL;
};

export const topOf = (book: Book, sheetId: string, row: number): number => {
  const { bottom } = book.sheetZone(sheetId);
  const beyond = Math.max(0, row - 1 - bottom) * NEW_ROW;
  const { end } = book.getters.getRowDimensions(sheetId, Math.min(Math.max(row - 1, 0), bottom));
  return row === 0 ? 0 : (end + beyond) * POINTS_PER_PIXEL;
};
