import { formula } from "../formula";
import { size } from "../parameters";
import { conversion } from "../units";

export const sprayVolume = formula({
  id: "SPRAY_VOLUME",
  step: "preemergent",
  sentence: "Spray volume from what was sprayed over a test area, in US gal per acre (metric: L per ha).",
  equation: "collected ÷ area",
  result: { name: "spray volume", kind: "sprayVolume" },
  parameters: [
    size("collected", "liquidDose", "volume collected or sprayed in the test"),
    size("area", "area", "area of the test"),
  ],
  conversions: { volume: conversion(["liquidDose"], ["area", "sprayVolume"]) },
  caution: "pesticide",
  sources: [
    {
      title: "Calibrating Turfgrass Chemical Application Equipment, Bulletin 817-00",
      publisher: "Ohio State University Extension",
      year: 2000,
      note: "ounces over 1/128 acre are gallons per acre",
    },
  ],
  example: { given: [40, 340.3125], gives: 40, story: "40 fl oz over 1/128 acre" },
  body: (m, unit, collected, area) => m.scale(m.div(collected, area), unit.volume),
});
