/** What a file for one reader is to hold. */

export interface PageWanted {
  readonly sheet: string;
  /** The names of the columns that the reader gets, where it is not all of them. */
  readonly columns?: readonly string[];
}

export interface ReaderOptions {
  readonly pages: readonly PageWanted[];
  readonly holds: "values" | "formulas";
  /** Drawings of ours that the reader may see. */
  readonly drawings: readonly string[];
  /** A sheet more, that lists the cells with functions of ours, with what they were given and how they come about. */
  readonly withWorking?: boolean;
  /** Formulas that are to be values for a reason of their own, as `Sheet!A1`. */
  readonly asValues?: ReadonlySet<string>;
}
