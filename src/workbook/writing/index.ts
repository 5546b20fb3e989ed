/** Every way of writing into a workbook: cells, limits, comments, new sheets. */
export { asContent, asFormula, asSent, isFormula, isSpeltAlike, textFormat } from "./content";
export { giveBackOwed } from "./give-back";
export type { Guard } from "./guards";
export { movedSince } from "./guards";
export { writeKeepingColumns } from "./keeping-columns";
export {
  findingLimits,
  halved,
  limitTitle,
  mixed,
  mostAlert,
  noRule,
  numberRule,
  ourLimits,
  readValidations,
  removeLimits,
  ruleOf,
  takeBackLimits,
  wholeSentences,
  writeLimits,
} from "./limits";
export { withNewSheets } from "./new-sheets";
export { addNotes, openings, ourNotes, removeValueNotes } from "./notes";
export { columnRuns, runsOf } from "./runs";
export type { Cells } from "./stretch";
export { placeOf } from "./take-back-held";
export { takeBackNamed } from "./take-back-named";
export type { CellChange } from "./where-stands";
export { writeWhereStands } from "./where-stands";
export { fittingCell, markCells, writeAndLook, writeCells } from "./write-cells";
