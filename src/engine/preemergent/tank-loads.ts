import { spilledFormula } from "../formula";
import { wholeUp } from "../numbers";
import { amount, size } from "../parameters";
import type { ParameterValue } from "../parameters";
import { Refusal } from "../refusal";
import type { UnitSystem } from "../units";
import { conversion } from "../units";
import { labelArithmetic } from "./sources";

const water = conversion(["area", "sprayVolume"], ["tank"]);
const perTank = conversion(["tank"], ["area", "sprayVolume"]);

/** More loads than this is a tank in the wrong unit, not a job. */
const mostLoads = 1000;

/** How many loads the tank takes; a load that is over by less than nine decimals show is no load. */
function loadsOf([area, , sprayVolume, tank]: readonly ParameterValue[], system: UnitSystem): number {
  const { operation, by } = water[system];
  const sprayed = Number(area) * Number(sprayVolume);
  return Math.max(1, wholeUp((operation === "times" ? sprayed * by : sprayed / by) / Number(tank)));
}

const columns = [
  { name: "load", kind: "count" },
  { name: "area", kind: "area" },
  { name: "water", kind: "tank" },
  { name: "product", kind: "liquidDose" },
] as const;

/** The last load is not worked out by itself, so that all loads add up to the whole to the last digit. */
export const tankLoads = spilledFormula({
  id: "TANK_LOADS",
  step: "preemergent",
  sentence: "Tank loads, one a row: number, area in ft² (m²), water in US gal (L), product in fl oz (mL).",
  equation: "full loads of tank ÷ spray volume, the last load the remainder; product = area × label rate",
  result: { name: "loads", kind: "any", columns },
  parameters: [
    amount("area", "area", "area to spray"),
    size("label_rate", "labelRate", "rate on your label"),
    size("spray_volume", "sprayVolume", "spray volume of your sprayer"),
    size("tank", "tank", "what the tank holds"),
  ],
  conversions: { water, perTank, dose: conversion(["area", "labelRate"], ["liquidDose"]) },
  caution: "pesticide",
  sources: [labelArithmetic],
  example: {
    given: [10_000, 8, 43.56, 4],
    gives: 1,
    spills: [
      [1, 4000, 4, 0.7346],
      [2, 4000, 4, 0.7346],
      [3, 2000, 2, 0.3673],
    ],
    story: "10,000 ft² at 8 fl oz per acre, 1 gallon per 1000 ft², from a 4 gallon backpack",
  },
  shape: (given, system) => ({ rows: given[0] === 0 ? 1 : loadsOf(given, system), columns: columns.length }),
  cellName: ({ row, column }) => (column === 0 ? "" : `load ${row + 1}: ${columns[column]?.name ?? ""}`),
  inspect: (given) => {
    const loads = loadsOf(given, given[given.length - 1] === "metric" ? "metric" : "us");
    if (loads <= mostLoads) return;
    throw new Refusal(
      "tank",
      `tank is so small that the area takes more than ${mostLoads} loads: check that area is in ft² (m²), spray_volume in US gal per acre (L per ha) and tank in US gal (L).`,
    );
  },
  body: (m, unit, { row, rows, column }, area, labelRate, sprayVolume, tank) => {
    const allWater = m.step("water in all", "tank", m.scale(m.mul(area, sprayVolume), unit.water));
    const fullArea = m.step("area of a full load", "area", m.scale(m.div(tank, sprayVolume), unit.perTank));
    const dose = (ground: typeof area) => m.scale(m.mul(ground, labelRate), unit.dose);
    /** A full load, or what is left for the last one. */
    const load = (total: typeof area, full: typeof area) => {
      const each = m.addable(full, rows);
      return row < rows - 1 ? each : m.sub(total, m.mul(m.of(rows - 1), each));
    };
    const figure = [
      () => m.of(row + 1),
      () => load(area, fullArea),
      () => load(allWater, tank),
      () => load(dose(area), dose(fullArea)),
    ][column]?.();
    const tanks = m.div(allWater, tank);
    // A spill that was handed over keeps its number of rows; it must not go on with figures for another number.
    return m.when(m.equal(m.max(m.of(1), m.wholeUp(tanks)), m.of(rows)), figure ?? m.of(0), m.notAvailable());
  },
});
