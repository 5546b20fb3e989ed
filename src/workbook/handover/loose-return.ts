/** What comes back where no cell is: a name or the rule of a conditional format that carries its original. */
import { readCarrier } from "./carrier";
import type { CellNote } from "../host";
import { ExpectedCells, expectedFor } from "./still-native";
import type { Trust } from "./trusted";

/** What a return does to formulas that are no cell's, of one kind. */
export interface ReturningLoose<Change> {
  readonly restored: readonly Change[];
  /** Edited since the hand-over, and left as they are. */
  readonly stays: readonly CellNote[];
}

export interface LooseReturn {
  readonly original: string;
  /** Whether it still is what the original was handed over as. */
  readonly isUnchanged: boolean;
}

/** The original of a formula outside the cells; undefined for one that carries none that may be put back. */
export function looseReturn(formula: string, trust: Trust, home: string): LooseReturn | undefined {
  const carrier = readCarrier(formula);
  if (carrier === undefined || !("original" in carrier)) return undefined;
  const { original, first } = carrier;
  if (trust.whyNot(original, home) !== undefined) return undefined;
  const expected = expectedFor(carrier, { rows: 1, columns: 1 });
  return { original, isUnchanged: new ExpectedCells(expected?.cells ?? []).isFirst(first) };
}
