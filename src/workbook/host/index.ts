/** What is said to Excel, and what it answers: sheets and their cells, addresses, waiting and progress. */
export type { ReadBlock, Wanted, Written } from "./blocks";
export {
  blockFor,
  cellsIn,
  columnsIn,
  forNow,
  inPortions,
  letGo,
  rangeOf,
  readBlocks,
  rowsIn,
  sendBlocks,
  valuesOf,
} from "./blocks";
export type { Uncalculated } from "./calculated";
export { asCalculated, LeftUncalculated, loadCalculated, onCalculationAsked } from "./calculated";
export type { CellNote } from "./cell-note";
export type { Scalar } from "./cell-values";
export { readsLikeError } from "./cell-values";
export type { Content, Formula } from "./content";
export { dateTold, dayOf, isDay } from "./days";
export { fileBytes, givesFile, openFile } from "./document-file";
export { freeSheetName } from "./free-name";
export type {
  Comment,
  ConditionalCellValueRule,
  ConditionalFormat,
  DataValidation,
  DataValidationErrorAlert,
  DataValidationRule,
  NamedItem,
  NamedItemCollection,
  Range,
  RequestContext,
  Setting,
  Shape,
  ShapeCollection,
  Worksheet,
} from "./office";
export { hostHas, isErrorAt, officeReady, speakAnew } from "./office";
export type { Pause, Pieces, Progress } from "./progress";
export { atOnce, inSlices, pass, slices, Stopped, unreported, untold, within } from "./progress";
export type { Block, Place } from "./reference";
export {
  blockAddress,
  blockOf,
  cellAddress,
  overlaps,
  placeOf,
  qualified,
  quotedSheet,
  shortAddress,
} from "./reference";
export {
  localAddress,
  readSelection,
  refuseReference,
  showCell,
  valuesAt,
  watchSelection,
} from "./selection";
export { inWorkbook, patiently, refuseProtected } from "./session";
export type { CellContent, FilledCell, FormulaCell, SheetCells } from "./sheets";
export {
  cellsOf,
  contentOf,
  contentsOf,
  eachFilled,
  eachFormula,
  emptyCell,
  formulaCells,
  isFormula,
  isOurOwn,
  originalsSheetName,
  ownMarks,
  readCalculatedSheets,
  readSheets,
  shareDown,
  sheetsApart,
  sheetsByName,
  showsError,
  showsErrorNamed,
} from "./sheets";
export { asSentence, codeOf, WorkbookTrouble } from "./trouble";
export type { Edited, Heard } from "./watch-workbook";
export { watchWorkbook } from "./watch-workbook";
