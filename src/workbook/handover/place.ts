/** A cell of the workbook; rows and columns count from 0. */
export interface CellPlace {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
}

/** One text for the place of a cell, whatever the case of its sheet's name. */
export const placeKey = ({ sheet, row, column }: CellPlace): string =>
  `${sheet.toLowerCase()}!${row},${column}`;
