import type { Declared } from "../../bid";
import { chosen, partName } from "../../bid";
import type { Check, Finds, Found } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";
import { isTyped, numberIn } from "../seen";
import { told } from "../told";
import { runsIn } from "../runs";

const found = (at: SeenCell): Found => ({
  at,
  sentence: `${told(numberIn(at) ?? 0)} was typed where a formula belongs: it no longer follows its figures.`,
  todo: "Copy the formula back from a neighbor, or note why the figure is fixed.",
});

function* down(cells: readonly SeenCell[], reading: Reading): Finds {
  for (const run of runsIn(cells)) {
    for (const cell of run.cells) {
      if (isTyped(cell) && typeof cell.value === "number") yield found(reading.cell(cell.sheet, cell));
    }
  }
}

/** The figures of Quantities that are worked out: what is typed there takes the place of a formula. */
const workedOut = Object.entries(chosen.figures).flatMap(([id, declared]: [string, Declared]) =>
  declared.holds === "number" && declared.takes === undefined ? [partName(chosen.id, id)] : [],
);

/** Figures that stand alone have no neighbours to be known by. */
function* onQuantities(sheet: string, reading: Reading): Finds {
  for (const name of workedOut) {
    const cell = reading.partOf(sheet, name);
    if (cell !== undefined && isTyped(cell) && typeof cell.value === "number") yield found(cell);
  }
}

export const typedOver: Check = {
  id: "quantity typed over",
  title: "A quantity was overwritten by a typed number",
  weight: "wrong",
  source: "The formulas of its neighbors, or of the sheet as it was written.",
  columns: down,
  bidSheets: onQuantities,
};
