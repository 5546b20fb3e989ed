import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { fromUs, quantityTold } from "../told";

/** In inches. */
const deepest = 0.25;
const rounding = 1.01;

function* inCall({ cell, given: [, depth], system }: SeenCall, reading: Reading): Finds {
  const layer = depth === undefined ? undefined : numberGiven(depth);
  const most = fromUs(deepest, "depth", system);
  if (layer === undefined || layer <= most * rounding || (numberIn(cell) ?? 0) <= 0) return;
  if (!reading.seedIsSown(cell)) return;
  yield {
    at: depth?.cell ?? cell,
    sentence: `A layer of ${quantityTold(layer, "depth", system)} over seed: lawn seed comes up through ${quantityTold(most, "depth", system)} at the most.`,
    todo: "Spread it before seeding or in two thinner layers.",
  };
}

export const topdressingDepth: Check = {
  id: "topdressing too deep over seed",
  title: "The topdressing is deeper than seed should be covered",
  weight: "doubtful",
  source: "Common practice: cool-season lawn seed is covered by 1/8 to 1/4 in.",
  calls: { of: ["TOPDRESS_VOLUME", "TOPDRESS_BAGS"], look: inCall },
};
