import { formula } from "../formula";
import { share, size } from "../parameters";
import { conversion } from "../units";

export const bagCoverage = formula({
  id: "BAG_COVERAGE",
  step: "fertiliser",
  sentence: "Area that one bag of fertilizer covers at a nutrient rate, in ft² (metric: m²).",
  equation: "bag weight × nutrient share ÷ nutrient rate",
  result: { name: "one bag covers", kind: "area" },
  parameters: [
    size("bag_weight", "weight", "weight of one bag"),
    size("nutrient_rate", "spreadRate", "rate of the nutrient"),
    share("nutrient_share", "share of the nutrient in the bag"),
  ],
  conversions: { area: conversion(["weight"], ["area", "spreadRate"]) },
  caution: "fertiliser",
  sources: [
    {
      title: "Caring for Your Lawn and the Environment",
      publisher: "NC State Extension",
      note: "nutrient in a bag is its weight times the figure of the grade in hundredths",
    },
  ],
  example: {
    given: [50, 1, 0.2],
    gives: 10_000,
    story: "a 50 lb bag of a 20-5-10 at 1 lb of nitrogen per 1000 ft²",
  },
  body: (m, unit, bagWeight, nutrientRate, nutrientShare) => {
    const nutrient = m.step("nutrient in a bag", "weight", m.mul(bagWeight, nutrientShare));
    return m.scale(m.div(nutrient, nutrientRate), unit.area);
  },
});
