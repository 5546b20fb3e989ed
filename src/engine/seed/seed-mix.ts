import type { ParameterValue, Matrix, RangeParameter } from "../parameters";
import { amount, size } from "../parameters";
import { spilledFormula } from "../formula";
import { Refusal } from "../refusal";
import { conversion } from "../units";

/** A mixture of more components than this is no mixture. */
const mostComponents = 1000;
/** Shares on a tag are rounded, so their total may be off by half a per cent. */
const totalTolerance = 0.005;

const shares = {
  takes: "range",
  id: "shares",
  kind: "share",
  about: "share of each component in the mix, by weight",
  blank: "refused",
  least: 0,
  most: 1,
  mostCells: mostComponents,
} as const satisfies RangeParameter;

const liveShares = {
  takes: "range",
  id: "pure_live_seed",
  kind: "share",
  about: "pure live seed of each component, or one for all",
  blank: "default",
  default: 1,
  above: 0,
  most: 1,
  mostCells: mostComponents,
} as const satisfies RangeParameter;

const shapeOf = (matrix: Matrix) => ({ rows: matrix.length, columns: matrix[0]?.length ?? 0 });

/** One share of live seed for all components, or one for each of them. */
function inspect([, , sharesGiven, liveGiven]: readonly ParameterValue[]): void {
  const [mix, live] = [shapeOf(sharesGiven as Matrix), shapeOf(liveGiven as Matrix)];
  const single = live.rows === 1 && live.columns === 1;
  if (single || (live.rows === mix.rows && live.columns === mix.columns)) return;
  throw new Refusal(
    "pure_live_seed",
    `pure_live_seed has ${live.rows} by ${live.columns} cells where shares has ${mix.rows} by ${mix.columns}: enter one share for all components, or a range of the shape of shares.`,
  );
}

export const seedMix = spilledFormula({
  id: "SEED_MIX",
  step: "seed",
  sentence: "Bulk weight of each component of a seed mix, in the shape of shares, in lb (metric: kg).",
  equation: "area × rate × share ÷ pure live seed, for each component",
  result: { name: "bulk seed of each component", kind: "weight" },
  parameters: [
    amount("area", "area", "area to seed"),
    size("rate", "spreadRate", "seeding rate of the whole mix"),
    shares,
    liveShares,
  ],
  conversions: { weight: conversion(["area", "spreadRate"], ["weight"]) },
  sources: [
    {
      title: "Purchasing Seed, Tables 5.2 and 5.3",
      publisher: "University of Minnesota Extension",
      note: "pure live seed component by component",
    },
  ],
  example: {
    given: [4000, 4, [[0.6], [0.4]], [[0.8], [0.85]]],
    gives: 12,
    spills: [[12], [7.529]],
    story: "4,000 ft² at 4 lb per 1000 ft² of a 60:40 mix with 80 % and 85 % pure live seed",
  },
  shape: ([, , mix]) => shapeOf(mix as Matrix),
  cellName: ({ row, column, columns }) => `component ${row * columns + column + 1}`,
  inspect,
  body: (m, unit, at, area, rate, mix, live) => {
    const off = m.abs(m.sub(m.sum([mix]), m.of(1)));
    const share = m.cell(mix, at.row, at.column);
    const needed = m.step("pure live seed of the mix", "weight", m.scale(m.mul(area, rate), unit.weight));
    return m.refuseWhen(
      m.greater(off, m.of(totalTolerance)),
      "shares",
      "shares do not add up to 1: enter the share of each component by weight, so that all of them make 1 (100 %) to within 0.005.",
      m.div(m.mul(needed, share), m.cell(live, at.row, at.column, 1)),
    );
  },
});
