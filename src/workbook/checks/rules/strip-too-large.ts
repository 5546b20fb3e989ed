import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall } from "../seen";
import { numberIn } from "../seen";
import { sized } from "../sized";
import { told } from "../told";

function* inCall({ cell, system }: SeenCall, reading: Reading): Finds {
  const zone = reading.near("area", cell);
  if (zone === undefined || zone.cell.address === cell.address) return;
  const { figure: area, unit } = sized(zone, "area", system, reading) ?? { figure: 0, unit: "" };
  const strip = numberIn(cell) ?? 0;
  if (strip <= 0 || area <= 0) return;
  // Where the strip is held to the area of its zone, it has reached it.
  const isHeld = /\bMIN\(/i.test(cell.formula);
  if (isHeld ? strip < area : strip <= area) return;
  yield {
    at: cell,
    sentence: `The strip along the edge takes ${isHeld ? "all" : `${told(strip)}, more than all`} of the zone's ${told(area)}${unit}.`,
    todo: "Check the length of the edge, the width of the spreader and the area of the zone.",
  };
}

export const stripTooLarge: Check = {
  id: "strip larger than zone",
  title: "The strip is as large as its zone",
  weight: "wrong",
  source: "Arithmetic: a strip is part of its zone.",
  calls: { of: ["EDGE_AREA"], look: inCall },
};
