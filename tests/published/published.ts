/** What a publication prints, as a check on the function that should give it. */

/** How far a figure can be trusted. */
export type Provenance =
  | "read in the source"
  /** The inputs were read, the figure is their arithmetic. */
  | "inputs read, figure computed"
  | "from memory"
  | "common practice";

export interface PublishedCase {
  readonly function: string;
  /** The arguments as they stand in a formula. */
  readonly given: readonly unknown[];
  readonly printed: number;
  /** How far from the printed figure an exact answer may lie. */
  readonly within: number;
  /** Why so far: how the figure was printed or rounded. */
  readonly because: string;
  /** The cell of a spill, row and column. */
  readonly cell?: readonly [row: number, column: number];
  /** Set where this case can be trusted less, or more, than its source. */
  readonly provenance?: Provenance;
  /** Set where the source is wrong: the answer must not be this. */
  readonly not?: number;
}

export interface PublishedSource {
  readonly title: string;
  readonly publisher: string;
  readonly year?: number;
  readonly provenance: Provenance;
  readonly cases: readonly PublishedCase[];
}

/** A figure printed to so many decimals is right to half of the last. */
export const half = (decimals: number): { within: number; because: string } => ({
  within: 0.5 * 10 ** -decimals * (1 + 1e-9),
  because:
    decimals === 0 ? "printed to whole units" : `printed to ${decimals} decimal${decimals === 1 ? "" : "s"}`,
});

export const exactly = { within: 1e-9, because: "exact arithmetic" } as const;

/** A case in few words. */
export const check = (
  name: string,
  given: readonly unknown[],
  printed: number,
  how: { readonly within: number; readonly because: string },
  more: Partial<PublishedCase> = {},
): PublishedCase => ({ function: name, given, printed, ...how, ...more });
