import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell, SeenRow } from "../seen";
import { isTyped, numberIn, textIn } from "../seen";

/** Whether a pre-emergent goes onto the ground of a zone at all. */
function isSprayed(zone: SeenCell, reading: Reading): boolean {
  if (reading.isOfBid(zone.sheet)) return (numberIn(reading.find("labelRate", zone)?.cell) ?? 0) > 0;
  for (const id of ["LABEL_DOSE", "ACTIVE_RATE", "TANK_LOADS"])
    for (const call of reading.callsOf(id, zone)) if (call.given.length > 1) return true;
  return false;
}

function* onGrass(grass: SeenCell, reading: Reading): Finds {
  const name = textIn(grass);
  const allowed = textIn(reading.ofLabel("grasses", grass)?.cell);
  if (name === "" || allowed === "" || !isSprayed(grass, reading)) return;
  // A mixture needs each of its grasses on the label.
  const missing = name
    .split(/ and |,|\+/i)
    .map((one) => one.trim())
    .filter((one) => one !== "" && !allowed.toLowerCase().includes(one.toLowerCase()));
  if (missing.length === 0) return;
  yield {
    at: grass,
    sentence: `The label figures allow ${allowed}; ${missing.join(" and ")} is not among them.`,
    todo: "Leave the pre-emergent out on this ground, or choose one whose label names the grass.",
  };
}

function* inRow(row: SeenRow, reading: Reading): Finds {
  const grass = reading.inRow(row, "grass")?.cell;
  const area = reading.inRow(row, "area")?.cell;
  if (grass === undefined || !isTyped(grass) || (area !== undefined && (numberIn(area) ?? 0) <= 0)) return;
  yield* onGrass(grass, reading);
}

export const grassNotOnLabel: Check = {
  id: "grass not on label",
  title: "The label does not name the grass",
  weight: "rule",
  source: "The grasses that you copied from your label.",
  rows: { having: ["grass", "area"], look: inRow },
  figures: { about: ["grass"], look: onGrass },
};
