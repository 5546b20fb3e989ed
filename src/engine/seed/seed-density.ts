import { formula } from "../formula";
import { size } from "../parameters";
import { conversion } from "../units";
import { pureLiveSeedShare } from "./pure-live-seed";

export const seedDensity = formula({
  id: "SEED_DENSITY",
  step: "seed",
  sentence: "Live seeds that a seeding rate puts on the ground, per in² (metric: per cm²).",
  equation: "rate × seeds per weight × pure live seed",
  result: { name: "live seeds", kind: "seedDensity" },
  parameters: [
    size("rate", "spreadRate", "seeding rate"),
    size("seeds_per_weight", "seedCount", "count of seeds"),
    pureLiveSeedShare,
  ],
  conversions: { density: conversion(["spreadRate", "seedCount"], ["seedDensity"]) },
  sources: [
    {
      title: "Lawn Establishment, Bulletin 546",
      publisher: "Ohio State University Extension",
      note: "15 to 20 seeds per in² are normally enough",
    },
  ],
  example: {
    given: [1, 2_200_000],
    gives: 15.28,
    story: "1 lb per 1000 ft² of a bluegrass with 2.2 million seeds a pound",
  },
  body: (m, unit, rate, seedsPerWeight, pureLiveSeed) =>
    m.mul(m.step("seeds", "seedDensity", m.scale(m.mul(rate, seedsPerWeight), unit.density)), pureLiveSeed),
});
