import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenRow } from "../seen";
import { textIn } from "../seen";
import { sized } from "../sized";
import { told } from "../told";

/** Figures are rounded on paper. */
const rounding = 1.001;

function* inRow(row: SeenRow, reading: Reading): Finds {
  const area = reading.inRow(row, "area");
  const edge = reading.inRow(row, "edge");
  // The edge of a strip is its length, not the way round it.
  if (textIn(reading.inRow(row, "measured")?.cell).toLowerCase() === "strip") return;
  if (area === undefined || edge === undefined || area.isLoose === true || edge.isLoose === true) return;
  if (area.system !== undefined && edge.system !== undefined && area.system !== edge.system) return;
  const system = area.system ?? edge.system ?? "us";
  const inside = sized(area, "area", system, reading);
  const round = sized(edge, "length", system, reading);
  if (inside === undefined || round === undefined || inside.figure <= 0 || round.figure <= 0) return;
  const most = round.figure ** 2 / (4 * Math.PI);
  if (inside.figure <= most * rounding) return;
  yield {
    at: area.cell,
    sentence: `An edge of ${told(round.figure)}${round.unit} can enclose ${told(most)}${inside.unit} at the most, and the area is ${told(inside.figure)}${inside.unit}.`,
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
