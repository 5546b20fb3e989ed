/** What is to be changed in a sheet's part. */

/** What is to stand in a cell. */
export type Put =
  | { readonly formula: string; readonly partOfSpill: boolean; readonly losesValue: boolean }
  /** A value that is there only loses its formula. */
  | { readonly value: string | number; readonly isThere: boolean };

export interface Added {
  readonly column: number;
  readonly put: Put;
}

export interface Changes {
  readonly puts: ReadonlyMap<number, Put>;
  readonly added: readonly { readonly row: number; readonly cells: readonly Added[] }[];
  readonly loose: ReadonlyMap<number, string>;
  readonly rules: readonly string[];
  readonly inserted: readonly { readonly name: string; readonly text: string }[];
  readonly replaced: ReadonlyMap<string, string>;
  readonly dropsFormulas: boolean;
}
