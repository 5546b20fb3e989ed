import type { Check, Finds } from "../check";
import type { Concept } from "../../tables";
import type { Reading } from "../reading";
import type { SeenCall, SeenCell, SeenRow } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { perCent } from "../told";

const inLot = ["purity", "inert", "weed", "otherCrop"] as const;
const inGermination = ["germination", "dormant"] as const;
/** Tags round to a hundredth of a per cent. */
const rounding = 0.0006;

/** A tag prints per cent, a cell may hold the share or the per cent. */
const asShare = (value: number): number => (value > 1.5 ? value / 100 : value);

function* tooMuch(at: SeenCell | undefined, shares: readonly number[], what: string): Finds {
  const sum = shares.map(asShare).reduce((total, share) => total + share, 0);
  if (at === undefined || sum <= 1 + rounding) return;
  yield {
    at,
    sentence: `${what} add up to ${perCent(sum)}.`,
    todo: "Read the tag again and enter each figure as it is printed.",
  };
}

function* inRow(row: SeenRow, reading: Reading): Finds {
  const sumOf = (concepts: readonly Concept[]) => {
    const cells = concepts.flatMap((concept) => reading.inRow(row, concept)?.cell ?? []);
    return { at: cells[0], shares: cells.map((cell) => numberIn(cell) ?? 0) };
  };
  const [lot, germination] = [sumOf(inLot), sumOf(inGermination)];
  yield* tooMuch(lot.at, lot.shares, "Pure seed, other crop, weed seed and inert matter");
  yield* tooMuch(germination.at, germination.shares, "Germination and hard or dormant seed");
}

function* inCall({ cell, given: [, germination, dormant] }: SeenCall): Finds {
  if (germination === undefined || dormant === undefined) return;
  const shares = [numberGiven(germination) ?? 0, numberGiven(dormant) ?? 0];
  yield* tooMuch(germination.cell ?? cell, shares, "Germination and hard or dormant seed");
}

export const seedTagSum: Check = {
  id: "seed tag over 100 per cent",
  title: "The seed tag adds up to more than 100 %",
  weight: "wrong",
  source: "The parts of a seed tag are shares of one lot.",
  calls: { of: ["PURE_LIVE_SEED"], look: inCall },
  rows: { having: ["purity"], look: inRow },
};
