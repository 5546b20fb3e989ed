import { formula } from "../formula";
import { size } from "../parameters";
import { conversion } from "../units";

/** In L per min, km per h and m the factor is 600, where the source has 5940. */
export const nozzleVolume = formula({
  id: "NOZZLE_VOLUME",
  step: "preemergent",
  sentence: "Spray volume from nozzle flow, speed and width, in US gal per acre (metric: L per ha).",
  equation: "flow ÷ (speed × width)",
  result: { name: "spray volume", kind: "sprayVolume" },
  parameters: [
    size("flow", "nozzleFlow", "flow of one nozzle"),
    size("speed", "speed", "speed over the ground"),
    size("width", "sprayWidth", "width that one nozzle covers"),
  ],
  conversions: { volume: conversion(["nozzleFlow"], ["speed", "sprayWidth", "sprayVolume"]) },
  caution: "pesticide",
  sources: [
    {
      title: "Stationary calibration method for boom sprayers",
      publisher: "Mesa County, Colorado, weed and pest",
      note: "5940 × gal per min over mph × inches",
    },
  ],
  example: { given: [0.4, 3, 20], gives: 39.6, story: "0.4 gallons a minute at 3 mph, nozzles 20 in apart" },
  body: (m, unit, flow, speed, width) => m.scale(m.div(flow, m.mul(speed, width)), unit.volume),
});
