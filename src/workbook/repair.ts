/** Cells of ours that a workbook has lost touch with: stuck at #NAME?, or spelt as a file stores them. */
import { namespace } from "../engine/catalogue";
import { mayHoldCalls } from "./calls";
import type { CellNote } from "./handover/plan";
import type { Pieces, Progress } from "./progress";
import { inSlices, slices } from "./progress";
import type { FormulaCell, SheetCells } from "./sheets";
import { eachFormula, readSheets, shareDown, sheetsByName, showsErrorNamed } from "./sheets";
import { asWork } from "./work/as-work";
import { columnRuns, writeAndLook } from "./write-cells";

/** How a file stores a call of ours, before the namespace's dot was made an underscore; behind a mark it is another file's. */
const storedCall = new RegExp(
  `"(?:[^"]|"")*"|'(?:[^']|'')*'|(?<![!\\w.])_xldudf_${namespace}_([A-Z0-9_]+)(?=\\()`,
  "gi",
);

/**
 * A formula with stored calls spelt as they are typed: `_xldudf_SWARD_PACKS(` becomes `SWARD.PACKS(`. One of another
 * workbook has that before it and stays, and so does what a text says or a sheet is called.
 */
export const asTyped = (formula: string): string =>
  formula.replace(storedCall, (stored, name: string | undefined, at: number) =>
    name === undefined || formula.charAt(at - 1) === "!" ? stored : `${namespace}.${name}`,
  );

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
