/** What a check is: which parts of a workbook it looks at, what it finds there, how much that matters. */
import type { Concept } from "../tables";
import type { Reading } from "./reading";
import type { SeenCall, SeenCell, SeenRow } from "./seen";

/** Worst first. */
export const weights = {
  rule: "A label or a rule may be broken",
  wrong: "A quantity or a price is likely to be wrong",
  doubtful: "Worth a second look",
} as const;
export type Weight = keyof typeof weights;

export interface Found {
  readonly at: SeenCell;
  readonly sentence: string;
  readonly todo: string;
}

export type Finds = Iterable<Found>;

export interface Check {
  /** Permanent: what was set aside is kept under it. */
  readonly id: string;
  readonly title: string;
  readonly weight: Weight;
  readonly source: string;
  /** Looks at each call of these functions, or of any of ours. */
  readonly calls?: {
    readonly of: readonly string[] | "any";
    readonly look: (call: SeenCall, reading: Reading) => Finds;
  };
  /** Looks at each row of every table that has columns for all of these. */
  readonly rows?: {
    readonly having: readonly Concept[];
    readonly look: (row: SeenRow, reading: Reading) => Finds;
  };
  /** Looks at each figure that stands beside a label about one of these. */
  readonly figures?: {
    readonly about: readonly Concept[];
    readonly look: (figure: SeenCell, reading: Reading) => Finds;
  };
  /** Looks at each cell whose formula names our functions, whether it works or not. */
  readonly cells?: (cell: SeenCell, reading: Reading) => Finds;
  /** Looks down each column that holds formulas. */
  readonly columns?: (cells: readonly SeenCell[], reading: Reading) => Finds;
  /** Looks at each sheet of a bid as a whole. */
  readonly bidSheets?: (sheet: string, reading: Reading) => Finds;
}

export interface Finding {
  readonly check: Check;
  readonly sheet: string;
  readonly address: string;
  readonly sentence: string;
  readonly todo: string;
}
