/** Cells of ours that a workbook has lost touch with: stuck at #NAME?, or spelt as a file stores them. */
import { namespace } from "../engine/catalogue";
import { mayHoldCalls } from "./calls";
import type { CellNote } from "./handover/plan";
import { inWorkbook } from "./session";
import { formulaCells, readSheets } from "./sheets";

/** How a file stores a call of ours, before the namespace's dot was made an underscore. */
const storedCall = new RegExp(`_xldudf_${namespace}_([A-Z0-9_]+)(?=\\()`, "gi");

/** A formula with stored calls spelt as they are typed: `_xldudf_SWARD_PACKS(` becomes `SWARD.PACKS(`. */
export const asTyped = (formula: string): string => formula.replace(storedCall, `${namespace}.$1`);

/** Re-enters every cell of ours that shows #NAME? or a stored spelling; answers with what was re-entered. */
export const repairCalls = (): Promise<readonly CellNote[]> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context);
    const stuck = sheets.flatMap((sheet) =>
      formulaCells(sheet)
        .filter(
          ({ formula, value }) =>
            asTyped(formula) !== formula || (value === "#NAME?" && mayHoldCalls(formula)),
        )
        .map(({ address, formula, value }) => ({
          sheet: sheet.name,
          address,
          formula: asTyped(formula),
          note:
            asTyped(formula) === formula
              ? `It showed ${String(value)}.`
              : "It was spelt as a file stores it.",
        })),
    );
    for (const { sheet, address, formula } of stuck) {
      context.workbook.worksheets.getItem(sheet).getRange(address).formulas = [[formula]];
    }
    await context.sync();
    return stuck;
  });
