import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenCell, SeenRow } from "../seen";
import { isNothing, isTyped, textIn } from "../seen";

const todo = "Measure it and enter the area, or delete the row.";
const reach = 6;

/** A row is meant when something is typed to the left of its area. */
function isNamed(area: SeenCell, reading: Reading): boolean {
  const from = Math.max(0, area.column - reach);
  return Array.from({ length: area.column - from }, (_, i) =>
    reading.cell(area.sheet, { row: area.row, column: from + i }),
  ).some((cell) => isTyped(cell) && textIn(cell) !== "");
}

function* inCall({ id, definition, given: [area] }: SeenCall, reading: Reading): Finds {
  const [parameter] = definition.parameters;
  if (parameter?.id !== "area" || parameter.blank !== "nothing to cover") return;
  const cell = area?.cell;
  if (cell === undefined || !isTyped(cell) || !isNothing(cell) || !isNamed(cell, reading)) return;
  yield { at: cell, sentence: `The area that ${id} reads here is blank, so the quantity is 0.`, todo };
}

function* inRow(row: SeenRow, reading: Reading): Finds {
  const zone = reading.inRow(row, "zone")?.cell;
  const { cell: area, isLoose } = reading.inRow(row, "area") ?? {};
  if (zone === undefined || area === undefined || isLoose === true) return;
  if (!isTyped(zone) || textIn(zone) === "" || !isNothing(area)) return;
  yield { at: area, sentence: `${textIn(zone)} has no area: everything for it comes out as 0.`, todo };
}

export const blankArea: Check = {
  id: "blank area",
  title: "An area is blank",
  weight: "wrong",
  source: "Arithmetic: nothing to cover needs nothing.",
  calls: { of: "any", look: inCall },
  rows: { having: ["zone", "area"], look: inRow },
};
