import { formula } from "../formula";
import { amount, share, size } from "../parameters";
import { conversion } from "../units";

export const fertiliserWeight = formula({
  id: "FERTILISER_WEIGHT",
  step: "fertiliser",
  sentence: "Fertilizer that delivers a nutrient rate on an area, in lb (metric: kg).",
  equation: "area × nutrient rate ÷ nutrient share",
  result: { name: "fertilizer", kind: "weight" },
  parameters: [
    amount("area", "area", "area to feed"),
    size("nutrient_rate", "spreadRate", "rate of the nutrient"),
    share("nutrient_share", "share of the nutrient in the bag"),
  ],
  conversions: { weight: conversion(["area", "spreadRate"], ["weight"]) },
  caution: "fertiliser",
  sources: [
    {
      title: "1 lb of nitrogen per 1000 ft² takes 10 lb of a 10-10-10",
      publisher: "extension worked examples, among them FE-03 to FE-09 of the published checks",
    },
  ],
  example: {
    given: [5000, 1, 0.24],
    gives: 20.83,
    story: "5,000 ft² at 1 lb of nitrogen per 1000 ft² from a 24-6-6",
  },
  body: (m, unit, area, nutrientRate, nutrientShare) =>
    m.div(
      m.step("nutrient needed", "weight", m.scale(m.mul(area, nutrientRate), unit.weight)),
      nutrientShare,
    ),
});
