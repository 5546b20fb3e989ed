import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";
import { screenLossShare, swellFactor } from "./bags";

export const topdressDepth = formula({
  id: "TOPDRESS_DEPTH",
  step: "topdress",
  sentence: "Depth that a number of bags of topdressing really gives, in inches (metric: mm).",
  equation: "bags × bag volume × swell × (1 − screen loss) ÷ area",
  result: { name: "depth of the layer", kind: "depth" },
  parameters: [
    size("area", "area", "area to topdress"),
    amount("bags", "count", "number of bags"),
    size("bag_volume", "bagVolume", "volume printed on the bag"),
    screenLossShare,
    swellFactor,
  ],
  conversions: { depth: conversion(["bagVolume"], ["area", "depth"]) },
  sources: [
    { title: "Screening a bagged peat can reject about one bag in five", publisher: "common practice" },
  ],
  example: {
    given: [2500, 22, 3, 0.2],
    gives: 0.2534,
    story: "22 bags of 3 ft³ on 2,500 ft², one fifth left on the screen",
  },
  body: (m, unit, area, bags, bagVolume, screenLoss, swell) => {
    const opened = m.mul(m.mul(bags, bagVolume), swell);
    const spread = m.step("spread", "bagVolume", m.mul(opened, m.sub(m.of(1), screenLoss)));
    return m.scale(m.div(spread, area), unit.depth);
  },
});
