import type { RateRow } from "../../../engine/seed/seed-rates";
import { rateRows } from "../../../engine/seed/seed-rates";
import type { UnitSystem } from "../../../engine/units";
import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenCell, SeenRow } from "../seen";
import { isTyped, numberGiven, numberIn, textIn } from "../seen";
import { fromUs, quantityTold, told } from "../told";
import { sized } from "../sized";

/** Published figures are rounded when they are carried into another unit. */
const rounding = 0.005;

const ratesOf = (grass: string, purpose: string): RateRow | undefined =>
  rateRows.find((row) => row.grass.toLowerCase() === grass && row.purpose === purpose);

function* outside(at: SeenCell, rate: number, grass: string, given: string, system: UnitSystem): Finds {
  const purpose = given === "" ? "new" : given.toLowerCase();
  const row = ratesOf(grass.toLowerCase(), purpose);
  if (row === undefined || rate <= 0) return;
  // Every figure counts, also those from memory: a rate is doubtful only where no table has it.
  const low = fromUs(Math.min(...row.figures.map((figure) => figure.low)), "spreadRate", system);
  const high = fromUs(Math.max(...row.figures.map((figure) => figure.high)), "spreadRate", system);
  if (rate >= low * (1 - rounding) && rate <= high * (1 + rounding)) return;
  const kind = purpose === "new" ? "a new lawn" : "overseeding";
  yield {
    at,
    sentence: `${quantityTold(rate, "spreadRate", system)} of ${row.grass} for ${kind}: published rates run from ${told(low)} to ${told(high)}.`,
    todo: "Check the rate and its unit, the grass and the purpose; keep it if your supplier advises it.",
  };
}

function* inCall({ cell, given, system }: SeenCall, reading: Reading): Finds {
  const [area, rate] = given;
  const value = rate === undefined ? undefined : numberGiven(rate);
  if (value === undefined) return;
  const from = area?.cell ?? cell;
  const beside = (concept: "grass" | "purpose") =>
    textIn((reading.near(concept, from) ?? reading.near(concept, cell))?.cell);
  yield* outside(rate?.cell ?? cell, value, beside("grass"), beside("purpose"), system);
}

function* inRow(row: SeenRow, reading: Reading): Finds {
  const rates = reading.allInRow(row, "seedRate");
  const typed = rates.find(({ cell }) => isTyped(cell) && (numberIn(cell) ?? 0) > 0);
  const rate = typed ?? rates.pop();
  if (rate === undefined) return;
  const beside = (concept: "grass" | "purpose") => textIn(reading.inRow(row, concept)?.cell);
  const system = rate.system ?? "us";
  const { figure } = sized(rate, "spreadRate", system, reading) ?? { figure: 0 };
  yield* outside(rate.cell, figure, beside("grass"), beside("purpose"), system);
}

export const seedRateRange: Check = {
  id: "seed rate outside published range",
  title: "The seeding rate is outside the published range",
  weight: "doubtful",
  source: "The published seeding rates behind SEED_RATE, each with its source in the Functions room.",
  calls: { of: ["SEED_WEIGHT"], look: inCall },
  rows: { having: ["grass", "seedRate"], look: inRow },
};
