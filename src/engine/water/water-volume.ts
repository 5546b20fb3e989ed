import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";

/** An inch on 1,000 ft2 is 623.4 US gallons. */
export const waterVolume = formula({
  id: "WATER_VOLUME",
  step: "water",
  sentence: "Water for a depth on an area, in US gal (metric: L).",
  equation: "area × depth",
  result: { name: "water", kind: "waterVolume" },
  parameters: [amount("area", "area", "area to water"), size("depth", "rainDepth", "depth of water")],
  conversions: { volume: conversion(["area", "rainDepth"], ["waterVolume"]) },
  sources: [
    {
      title: "General Tables of Units of Measurement, Handbook 44, appendix C",
      publisher: "NIST",
      note: "a US gallon is 231 in³",
    },
  ],
  example: { given: [5000, 0.15], gives: 467.5, story: "0.15 in on 5,000 ft²" },
  body: (m, unit, area, depth) => m.scale(m.mul(area, depth), unit.volume),
});
