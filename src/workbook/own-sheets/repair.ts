/** Cells of ours that a workbook has lost touch with: stuck at #NAME?, or spelt as a file stores them. */
import { asTyped, mayHoldCalls } from "../formulas";
import type { CellNote, FormulaCell, Pieces, Progress, SheetCells } from "../host";
import { eachFormula, inSlices, readSheets, shareDown, sheetsByName, showsErrorNamed, slices } from "../host";
import { asWork } from "../work";
import { columnRuns, writeAndLook } from "../writing";

interface Stuck extends FormulaCell {
  readonly sheet: string;
  readonly typed: string;
}

/** Cells that are looked at between two pauses. */
const cellsAtATime = 100;

function* stuckIn(sheets: readonly SheetCells[]): Pieces<readonly Stuck[]> {
  const stuck: Stuck[] = [];
  let seen = 0;
  for (const sheet of sheets) {
    for (const cell of eachFormula(sheet)) {
      if (++seen % cellsAtATime === 0) yield shareDown(sheet, cell);
      const typed = asTyped(cell.formula);
      if (typed !== cell.formula || (showsErrorNamed(cell, "#NAME?") && mayHoldCalls(cell.formula)))
        stuck.push({ ...cell, sheet: sheet.name, typed });
    }
  }
  return stuck;
}

/** Re-enters every cell of ours that shows #NAME? or a stored spelling; answers with what was re-entered. */
export const repairCalls = (progress: Progress): Promise<readonly CellNote[]> =>
  asWork({ work: "repair", again: {} }, async (context, mark) => {
    const sheets = await readSheets(context, progress);
    const stuck = await inSlices(stuckIn(sheets), slices(progress, "Looking for what is stuck"));
    const sheetNamed = sheetsByName(context);
    await writeAndLook(
      context,
      mark,
      columnRuns(stuck).map(({ sheet, row, column, cells }) => ({
        sheet: sheetNamed(sheet),
        top: row,
        left: column,
        rows: cells.map(({ typed }) => [{ formula: typed }]),
        held: cells.map(({ formula }) => [formula]),
      })),
      { progress },
    );
    return stuck.map(({ sheet, address, formula, typed, value }) => ({
      sheet,
      address,
      formula: typed,
      note: typed === formula ? `It showed ${String(value)}.` : "It was spelt as a file stores it.",
    }));
  });
