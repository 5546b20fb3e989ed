import type { UnitSystem } from "../../../engine/units";
import { bidSheetNames } from "../../bid/kit";
import { planBid } from "../../bid/plan-bid";
import type { Check, Finds, Found } from "../check";
import type { Reading, SeenCell } from "../reading";
import { isTyped, numberIn, textIn } from "../reading";
import { told } from "../told";
import { runsIn } from "./runs";

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

const columns = { label: 1, figure: 2 } as const;
const lastRow = 60;
const system: UnitSystem = "us";

/** The labels of Quantities beside which a formula stands, whatever the unit system. */
let workedOut: ReadonlySet<string> | undefined;
function labelsOfFormulas(): ReadonlySet<string> {
  if (workedOut !== undefined) return workedOut;
  const { cells } = planBid({ system, property: "", job: undefined }).quantities;
  const rows = new Set(
    cells
      .filter(({ role, column }) => role === "result" && column === columns.figure + 1)
      .map(({ row }) => row),
  );
  workedOut = new Set(
    cells
      .filter(({ row, column, role }) => role === "label" && column === columns.label + 1 && rows.has(row))
      .flatMap(({ content }) => (typeof content === "string" && content !== "" ? [content] : [])),
  );
  return workedOut;
}

/** Figures that stand alone have no neighbours to be known by. */
function* onQuantities(sheet: string, reading: Reading): Finds {
  if (!sheet.startsWith(bidSheetNames.quantities)) return;
  for (const [label, cell] of reading.beside(sheet, columns.label, columns.figure, lastRow)) {
    if (labelsOfFormulas().has(textIn(label)) && isTyped(cell) && typeof cell.value === "number")
      yield found(cell);
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
