/** A cell of the workbook; rows and columns count from 0. */
export interface CellPlace {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
}

/** One text for the place of a cell, whatever the case of its sheet's name. */
export const placeKey = ({ sheet, row, column }: CellPlace): string =>
  `${sheet.toLowerCase()}!${row},${column}`;

/** Sheet by sheet, and there one column after the other. */
export const downTheColumns = (a: CellPlace, b: CellPlace): number =>
  (a.sheet === b.sheet ? 0 : a.sheet < b.sheet ? -1 : 1) || a.column - b.column || a.row - b.row;
