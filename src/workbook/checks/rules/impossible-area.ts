import type { Check, Finds } from "../check";
import type { Reading, SeenRow } from "../reading";
import { numberIn, textIn } from "../reading";
import { told } from "../told";

/** Figures are rounded on paper. */
const rounding = 1.001;

function* inRow(row: SeenRow, reading: Reading): Finds {
  const area = reading.inRow(row, "area");
  const edge = reading.inRow(row, "edge");
  // The edge of a strip is its length, not the way round it.
  if (textIn(reading.inRow(row, "measured")?.cell).toLowerCase() === "strip") return;
  const [covered, round] = [numberIn(area?.cell) ?? 0, numberIn(edge?.cell) ?? 0];
  if (area === undefined || covered <= 0 || round <= 0) return;
  if (area.system !== undefined && edge?.system !== undefined && area.system !== edge.system) return;
  const most = round ** 2 / (4 * Math.PI);
  if (covered <= most * rounding) return;
  const [ft, ft2] = [edge === undefined ? "" : reading.unitOf(edge.cell), reading.unitOf(area.cell)];
  yield {
    at: area.cell,
    sentence: `An edge of ${told(round)}${ft} can enclose ${told(most)}${ft2} at the most, and the area is ${told(covered)}${ft2}.`,
    todo: "Measure the area or the edge again; look whether one of them is in another unit.",
  };
}

export const impossibleArea: Check = {
  id: "impossible area",
  title: "The area does not fit within its edge",
  weight: "wrong",
  source: "Geometry: of all outlines of one length the circle encloses most, length² ÷ 4π.",
  rows: { having: ["area", "edge"], look: inRow },
};
