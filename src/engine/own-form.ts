/** What a native form is made of for a function that no algebra expresses, or not exactly. */
import type { AnyBody, Conversions, SpillPlace } from "./formula";

/** A range as it stands in a formula: as a whole, and cell by cell. */
export interface WrittenRange {
  readonly text: string;
  readonly cells: readonly (readonly string[])[];
}

/** A form written for each cell of its own, from the arguments as text; a left-out one is undefined. */
export interface CellByCell {
  readonly form: "cell by cell";
  /** What the form holds for and what it is beyond that, after "for". */
  readonly limits: string;
  readonly write: (
    given: readonly (string | WrittenRange | undefined)[],
    at: SpillPlace,
  ) => { readonly text: string; readonly told?: string };
}

/** A form in the algebra that comes near the function, where it is no error. */
export interface Approximation {
  readonly form: "approximation";
  readonly conversions: Conversions;
  readonly body: AnyBody;
  /** The relative difference at the most. */
  readonly tolerance: number;
  /** What it holds for, after "for"; it is an error elsewhere. */
  readonly limits: string;
  readonly told: string;
}
