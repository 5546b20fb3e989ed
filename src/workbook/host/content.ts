export interface Formula {
  readonly formula: string;
}

/** What a cell is to hold: words are always text, a formula says that it is one. */
export type Content = string | number | boolean | Formula;
