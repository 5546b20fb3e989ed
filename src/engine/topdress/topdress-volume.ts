import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";

/** Area times depth, in the unit that bags are sold by. */
export const volumeOverArea = conversion(["area", "depth"], ["bagVolume"]);

export const topdressVolume = formula({
  id: "TOPDRESS_VOLUME",
  step: "topdress",
  sentence: "Loose topdressing that covers an area to a depth, in ft³ (metric: L).",
  equation: "area × depth",
  result: { name: "loose volume", kind: "bagVolume" },
  parameters: [amount("area", "area", "area to topdress"), size("depth", "depth", "depth of the layer")],
  conversions: { volume: volumeOverArea },
  sources: [{ title: "1,000 ft² at 1/4 in takes 20.83 ft³", publisher: "common practice" }],
  example: { given: [1000, 0.25], gives: 20.83, story: "1,000 ft² at 1/4 in" },
  body: (m, unit, area, depth) => m.scale(m.mul(area, depth), unit.volume),
});
