import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell, SeenRow } from "../seen";
import { isTyped, numberIn, textIn } from "../seen";

/** The zones that Quantities of a bid shows, by name. */
function isOnQuantities(zone: SeenCell, reading: Reading): boolean {
  const name = textIn(zone).toLowerCase();
  const [quantities] = reading.together(zone.sheet);
  return quantities !== undefined && reading.namesUnder("zone", quantities).has(name);
}

/** Whether any other row's area goes into a formula: else the table is a list that nothing is reckoned from. */
function isReckonedFrom(row: SeenRow, reading: Reading): boolean {
  const { first, last } = row.table;
  for (let other = first; other <= Math.min(last, first + mostRows); other++) {
    const area = reading.inRow({ ...row, row: other }, "area")?.cell;
    if (area !== undefined && other !== row.row && reading.usersOf(area).some(isQuantity)) return true;
  }
  return false;
}
const mostRows = 50;

const isQuantity = ({ shape }: SeenCell): boolean => (shape?.calls.length ?? 0) > 0;

function* inRow(row: SeenRow, reading: Reading): Finds {
  const zone = reading.inRow(row, "zone")?.cell;
  const { cell: area, isLoose } = reading.inRow(row, "area") ?? {};
  if (zone === undefined || area === undefined || isLoose === true || !isTyped(zone) || textIn(zone) === "")
    return;
  if ((numberIn(area) ?? 0) <= 0) return;
  const isUsed = reading.isOfBid(zone.sheet)
    ? isOnQuantities(zone, reading)
    : reading.usersOf(area).some(isQuantity) || !isReckonedFrom(row, reading);
  if (isUsed) return;
  yield {
    at: zone,
    sentence: `${textIn(zone)} is measured, and no quantity is reckoned from it.`,
    todo: "Add a row for it where the quantities are, or take the zone out.",
  };
}

export const unusedZone: Check = {
  id: "zone not used",
  title: "No quantity uses a zone",
  weight: "wrong",
  source: "The formulas that read the area, and the zones that Quantities shows.",
  rows: { having: ["zone", "area"], look: inRow },
};
