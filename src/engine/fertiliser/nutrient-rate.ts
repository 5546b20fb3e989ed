import { formula } from "../formula";
import { amount, share, size } from "../parameters";
import { conversion } from "../units";

export const nutrientRate = formula({
  id: "NUTRIENT_RATE",
  step: "fertiliser",
  sentence:
    "Nutrient that a weight of fertilizer delivers on an area, in lb per 1000 ft² (metric: g per m²).",
  equation: "weight × nutrient share ÷ area",
  result: { name: "nutrient delivered", kind: "spreadRate" },
  parameters: [
    amount("weight", "weight", "weight of fertilizer"),
    size("area", "area", "area that it is spread on"),
    share("nutrient_share", "share of the nutrient in the bag"),
  ],
  conversions: { rate: conversion(["weight"], ["area", "spreadRate"]) },
  caution: "fertiliser",
  sources: [
    {
      title: "Getting What You Paid For, Tables 7.2 to 7.4",
      publisher: "University of Minnesota Extension",
      note: "nutrient in a bag is its weight times the figure of the grade in hundredths",
    },
  ],
  example: { given: [20, 5000, 0.24], gives: 0.96, story: "20 lb of a 24-6-6 on 5,000 ft²" },
  body: (m, unit, weight, area, nutrientShare) => {
    const nutrient = m.step("nutrient", "weight", m.mul(weight, nutrientShare));
    return m.scale(m.div(nutrient, area), unit.rate);
  },
});
