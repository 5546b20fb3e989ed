import { formula } from "../formula";
import { share, size } from "../parameters";
import { conversion } from "../units";
import { labelArithmetic } from "./sources";

/** A starter with a pre-emergent on it counts toward the same season limit as a spray of that active. */
export const granuleActiveRate = formula({
  id: "GRANULE_ACTIVE_RATE",
  step: "preemergent",
  sentence: "Active ingredient that a spread granule carries, in lb per acre (metric: g per ha).",
  equation: "product rate × active share",
  result: { name: "active ingredient", kind: "activeRate" },
  parameters: [
    size("product_rate", "spreadRate", "rate at which the granule is spread"),
    share("active_share", "share of the active ingredient on your label"),
  ],
  conversions: { active: conversion(["spreadRate"], ["activeRate"]) },
  caution: "pesticide",
  sources: [labelArithmetic],
  example: { given: [5, 0.01], gives: 2.178, story: "a granule with 1 % active spread at 5 lb per 1000 ft²" },
  body: (m, unit, productRate, activeShare) => m.scale(m.mul(productRate, activeShare), unit.active),
});
