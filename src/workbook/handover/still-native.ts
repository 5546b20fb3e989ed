/** Whether a cell still is what its original was handed over as. */
import type { Spilled } from "../../engine/formula";
import type { LimitedInput, Surroundings } from "../formulas";
import { attempt, rewriteNatively, rewriteSpill, spillingCall, tooMuch } from "../formulas";
import type { Carried } from "./carrier";
import { anyValue, sameContent } from "./same-content";

/** Takes the place of a reference whose cells were deleted while the native form is written anew. */
const lostName = "Reference_that_was_lost";
const lost = "#REF!";

/** An original, with those of its references that were typed figures when it was handed over. */
type Asked = Pick<Carried, "original" | "typed">;

export interface SpillSize {
  readonly rows: number;
  readonly columns: number;
}

/** The formulas that an original is handed over as, cell by cell, and the inputs that they take on trust. */
export interface Expected {
  readonly cells: readonly (readonly string[])[];
  readonly inputs: readonly LimitedInput[];
}

/** As it was at the hand-over, when the cell's own marks told which references a formula filled. */
function surroundingsThen({ typed }: Asked, { rows, columns }: SpillSize): Surroundings {
  const inputs = new Set(typed.map((reference) => reference.replaceAll(lost, lostName)));
  const shown: Spilled = Array.from({ length: rows }, () => Array.from({ length: columns }, () => anyValue));
  return {
    isComputed: (reference) => !inputs.has(reference),
    valueOf: () => anyValue,
    spillOf: () => shown,
  };
}

const asFormula = (native: string | number): string => {
  const text = String(native);
  return (text.startsWith("=") ? text : `="${text}"`).replaceAll(lostName, lost);
};

/** What the cells of an original would hold if it were handed over now; undefined where it has no native form. */
export function expectedFor(carrier: Asked, size: SpillSize): Expected | undefined {
  if (tooMuch(carrier.original) !== undefined) return undefined;
  const original = carrier.original.replaceAll(lost, lostName);
  const then = surroundingsThen(carrier, size);
  const written = attempt((): Expected => {
    const spilling = spillingCall(original);
    if (spilling === undefined) {
      const { text, inputs } = rewriteNatively(original, then);
      return { cells: [[asFormula(text)]], inputs };
    }
    const { cells, inputs } = rewriteSpill(spilling, then);
    return { cells: cells.map((row) => row.map(asFormula)), inputs };
  });
  return "why" in written ? undefined : written;
}

/** What the cells of a spill may hold, asked many times over. */
export class ExpectedCells {
  private readonly all: readonly string[];
  private readonly known: ReadonlySet<string>;

  constructor(private readonly cells: readonly (readonly string[])[]) {
    this.all = cells.flat();
    this.known = new Set(this.all);
  }

  /** The cell that carries the original. */
  isFirst(formula: string): boolean {
    const [expected] = this.all;
    return expected !== undefined && sameContent(expected, formula);
  }

  /** Another one, so many rows and columns on; where rows were put in between, it may be one of the others. */
  hasAt(row: number, column: number, formula: string): boolean {
    if (this.known.has(formula)) return true;
    const there = this.cells[row]?.[column];
    if (there !== undefined && sameContent(there, formula)) return true;
    return this.all.some((one) => sameContent(one, formula));
  }
}
