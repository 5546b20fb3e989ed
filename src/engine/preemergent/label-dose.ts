import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";
import { labelArithmetic } from "./sources";

export const labelDose = formula({
  id: "LABEL_DOSE",
  step: "preemergent",
  sentence: "Liquid product for an area at the rate on your label, in fl oz (metric: mL).",
  equation: "area in acres (ha) × label rate",
  result: { name: "product", kind: "liquidDose" },
  parameters: [
    amount("area", "area", "area to spray"),
    size("label_rate", "labelRate", "rate on your label"),
  ],
  conversions: { dose: conversion(["area", "labelRate"], ["liquidDose"]) },
  caution: "pesticide",
  sources: [labelArithmetic],
  example: { given: [43560, 8], gives: 8, story: "one acre at a label rate of 8 fl oz per acre" },
  body: (m, unit, area, labelRate) => m.scale(m.mul(area, labelRate), unit.dose),
});
