import { formula } from "../formula";
import { size } from "../parameters";
import { conversion } from "../units";

export const deliveredRate = formula({
  id: "DELIVERED_RATE",
  step: "crew",
  sentence:
    "Spread rate that a catch test over width by distance shows, in lb per 1000 ft² (metric: g per m²).",
  equation: "caught ÷ (width × distance)",
  result: { name: "spread rate", kind: "spreadRate" },
  parameters: [
    size("caught", "caughtWeight", "weight caught in the test"),
    size("width", "length", "width of the pass"),
    size("distance", "length", "distance of the test"),
  ],
  conversions: { rate: conversion(["caughtWeight"], ["length", "length", "spreadRate"]) },
  sources: [
    {
      title: "Broadcast spreader calibration steps",
      publisher: "LSU AgCenter",
      note: "weight over the width of the throw times the course",
    },
  ],
  example: { given: [5, 10, 100], gives: 5, story: "5 lb over a 10 ft swath and a 100 ft course" },
  body: (m, unit, caught, width, distance) =>
    m.scale(m.div(caught, m.step("area of the test", "area", m.mul(width, distance))), unit.rate),
});
