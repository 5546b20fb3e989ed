import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenRow } from "../seen";
import { numberGiven, numberIn, textIn } from "../seen";

/** Where each function is given the share of the nutrient in the bag. */
const sharePosition: Readonly<Record<string, number>> = {
  FERTILISER_WEIGHT: 2,
  NUTRIENT_RATE: 2,
  BAG_COVERAGE: 2,
};
const seeding = /new|seed|establish|renovat|repair/i;
const noRule = /^(none|no|none known|no rule|-)?$/i;
const named = /phosph|p2o5|p₂o₅/i;

function spreadsPhosphorus({ id, cell, given }: SeenCall, reading: Reading): boolean {
  const share = given[sharePosition[id] ?? 0];
  if (share === undefined || numberGiven(share) === 0) return false;
  if (share.shape.kind === "worked out" && named.test(share.shape.text)) return true;
  if (share.cell === undefined) return named.test(reading.labelOf(cell));
  return (
    reading.conceptOf(share.cell) === "phosphate" ||
    named.test(share.cell.formula) ||
    named.test(reading.labelOf(share.cell))
  );
}

function* inCall(call: SeenCall, reading: Reading): Finds {
  const { cell, given } = call;
  if ((numberIn(cell) ?? 0) <= 0 || !spreadsPhosphorus(call, reading)) return;
  const from = given[0]?.cell ?? cell;
  const at = given[1]?.cell ?? cell;
  const rule = textIn(reading.find("phosphorusRule", cell)?.cell);
  if (!noRule.test(rule)) {
    yield {
      at,
      sentence: `A starter with phosphorus is spread where you noted the local rule “${rule}”.`,
      todo: "Read the rule and the soil test; take a starter without phosphorus, or note why it is allowed here.",
    };
  }
  const purpose = textIn((reading.near("purpose", from) ?? reading.near("purpose", cell))?.cell);
  if (purpose !== "" && !seeding.test(purpose))
    yield { at: cell, ...notSeeded(`The ground is for “${purpose}”`) };
}

const notSeeded = (why: string) => ({
  sentence: `${why}, and phosphorus is spread on it though nothing is established there.`,
  todo: "Take a fertilizer without phosphorus unless a soil test asks for it.",
});

function* inRow(row: SeenRow, reading: Reading): Finds {
  const starter = reading.inRow(row, "starterWeight")?.cell;
  const seed = reading.inRow(row, "seedWeight")?.cell;
  if (starter === undefined || (numberIn(starter) ?? 0) <= 0 || numberIn(seed) !== 0) return;
  yield { at: starter, ...notSeeded("No seed goes onto this ground") };
}

export const phosphorus: Check = {
  id: "phosphorus without establishment",
  title: "Phosphorus where a rule may forbid it",
  weight: "rule",
  source:
    "Common practice: many states allow phosphorus on lawns only at establishment or where a soil test shows the need.",
  calls: { of: Object.keys(sharePosition), look: inCall },
  rows: { having: ["starterWeight", "seedWeight"], look: inRow },
};
