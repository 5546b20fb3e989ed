import { namespace } from "../../engine/catalogue";
import { inWorkbook, loadCalculated } from "../host";

/**
 * The edition of the functions that are running, from a cell that already asks for it; null where none does. The pane
 * never writes a cell of its own just to ask.
 */
export const runningEdition = (): Promise<string | null> =>
  inWorkbook(async (context) => {
    const used = context.workbook.worksheets.getActiveWorksheet().getUsedRangeOrNullObject();
    await loadCalculated(context, [used], "formulas,values");
    if (used.isNullObject) return null;
    const asked = `=${namespace}.EDITION()`;
    for (const [i, row] of (used.formulas as unknown[][]).entries()) {
      const j = row.findIndex((formula) => typeof formula === "string" && formula.toUpperCase() === asked);
      if (j >= 0) return String((used.values as unknown[][])[i]?.[j]);
    }
    return null;
  });
