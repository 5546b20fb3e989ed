import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";
import { pureLiveSeedShare } from "./pure-live-seed";

/** The rate is meant as pure live seed and the lot holds only a share of it. */
export const seedWeight = formula({
  id: "SEED_WEIGHT",
  step: "seed",
  sentence: "Bulk seed to buy for an area, in lb (metric: kg).",
  equation: "area × rate ÷ pure live seed",
  result: { name: "bulk seed to buy", kind: "weight" },
  parameters: [
    amount("area", "area", "area to seed"),
    size("rate", "spreadRate", "seeding rate"),
    pureLiveSeedShare,
  ],
  conversions: { weight: conversion(["area", "spreadRate"], ["weight"]) },
  sources: [
    {
      title: "Calculating the Price of Pure Live Seed",
      publisher: "Penn State Extension",
      year: 2023,
      note: "bulk seed is the pure-live-seed rate over the pure-live-seed share",
    },
  ],
  example: {
    given: [4000, 7, 0.85],
    gives: 32.94,
    story: "4,000 ft² at 7 lb per 1000 ft² from a lot with 85 % pure live seed",
  },
  body: (m, unit, area, rate, pureLiveSeed) =>
    m.div(m.step("pure live seed needed", "weight", m.scale(m.mul(area, rate), unit.weight)), pureLiveSeed),
});
