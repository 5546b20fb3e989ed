/** What is told of a formula, with where it stands. */
export interface CellNote {
  readonly sheet: string;
  readonly address: string;
  readonly formula: string;
  readonly note: string;
}
