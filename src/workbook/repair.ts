/** Cells of ours that a workbook has lost touch with: stuck at #NAME?, or spelt as a file stores them. */
import { namespace } from "../engine/catalogue";
import { mayHoldCalls } from "./calls";
import type { CellNote } from "./handover/plan";
import { formulaCells, readSheets } from "./sheets";
import { asWork } from "./work/as-work";
import { columnRuns, writeAndLook } from "./write-cells";

/** How a file stores a call of ours, before the namespace's dot was made an underscore. */
const storedCall = new RegExp(`_xldudf_${namespace}_([A-Z0-9_]+)(?=\\()`, "gi");

/**
 * A formula with stored calls spelt as they are typed: `_xldudf_SWARD_PACKS(` becomes `SWARD.PACKS(`. One of another
 * workbook has that before it and stays.
 */
export const asTyped = (formula: string): string =>
  formula.replace(storedCall, (stored, name: string, at: number) =>
    formula.charAt(at - 1) === "!" ? stored : `${namespace}.${name}`,
  );

/** Re-enters every cell of ours that shows #NAME? or a stored spelling; answers with what was re-entered. */
export const repairCalls = (): Promise<readonly CellNote[]> =>
  asWork({ work: "repair" }, async (context, mark) => {
    const sheets = await readSheets(context);
    const stuck = sheets.flatMap((sheet) =>
      formulaCells(sheet)
        .filter(
          ({ formula, value }) =>
            asTyped(formula) !== formula || (value === "#NAME?" && mayHoldCalls(formula)),
        )
        .map((cell) => ({ ...cell, sheet: sheet.name, typed: asTyped(cell.formula) })),
    );
    await writeAndLook(
      context,
      mark,
      columnRuns(stuck).map(({ sheet, row, column, cells }) => ({
        sheet: context.workbook.worksheets.getItem(sheet),
        top: row,
        left: column,
        rows: cells.map(({ typed }) => [{ formula: typed }]),
      })),
    );
    return stuck.map(({ sheet, address, formula, typed, value }) => ({
      sheet,
      address,
      formula: typed,
      note: typed === formula ? `It showed ${String(value)}.` : "It was spelt as a file stores it.",
    }));
  });
