import { formula } from "../formula";
import { size } from "../parameters";
import { conversion } from "../units";
import { labelArithmetic } from "./sources";

export const activeRate = formula({
  id: "ACTIVE_RATE",
  step: "preemergent",
  sentence: "Active ingredient that a sprayed liquid delivers, in lb per acre (metric: g per ha).",
  equation: "label rate × concentration",
  result: { name: "active ingredient", kind: "activeRate" },
  parameters: [
    size("label_rate", "labelRate", "rate on your label"),
    size("concentration", "concentration", "concentration on your label"),
  ],
  conversions: { active: conversion(["labelRate", "concentration"], ["activeRate"]) },
  caution: "pesticide",
  sources: [labelArithmetic],
  example: { given: [16, 4], gives: 0.5, story: "16 fl oz per acre of a liquid with 4 lb active per gallon" },
  body: (m, unit, labelRate, concentration) => m.scale(m.mul(labelRate, concentration), unit.active),
});
