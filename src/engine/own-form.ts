/** What a native form is made of for a function that no algebra expresses, or not exactly. */
import type { AnyBody, Body, Conversions, SpillPlace } from "./formula";
import type { Parameter } from "./parameters";
import type { Conversion } from "./units";

/** A range as it stands in a formula: as a whole, and cell by cell. */
export interface WrittenRange {
  readonly text: string;
  readonly cells: readonly (readonly string[])[];
}

/** A form written for each cell of its own, from the arguments as text; a left-out one is undefined. */
export interface CellForm {
  readonly text: string;
  /** What it does not do as the function does. */
  readonly told?: string;
  /** Set where it works out something plainer, which its cell has to say. */
  readonly isPlainer?: true;
}

export interface CellByCell {
  readonly form: "cell by cell";
  /** What the form holds for and what it is beyond that, after "for". */
  readonly limits: string;
  readonly write: (given: readonly (string | WrittenRange | undefined)[], at: SpillPlace) => CellForm;
}

/** A form in the algebra that comes near the function, and is #N/A where it does not. */
export interface Approximation {
  readonly form: "approximation";
  readonly conversions: Conversions;
  readonly body: AnyBody;
  /** The relative difference at the most. */
  readonly tolerance: number;
  /** What it holds for, after "for". */
  readonly limits: string;
}

export const approximation = <P extends readonly Parameter[], C extends string>(
  form: Omit<Approximation, "form" | "conversions" | "body"> & {
    readonly conversions: Readonly<Record<C, Conversion>>;
    readonly body: Body<P, Readonly<Record<C, Conversion>>>;
  },
): Approximation => ({
  ...form,
  form: "approximation",
  // The arguments' types are forgotten here, as in the catalogue.
  body: form.body as unknown as AnyBody,
});

export const approximationTold = ({ tolerance, limits }: Approximation): string =>
  `Handed over, it is within ${tolerance * 1e6} millionths of the function for ${limits}, and #N/A elsewhere.`;
