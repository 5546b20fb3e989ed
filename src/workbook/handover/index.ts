/** Handing sheets over as native formulas or values, and bringing the functions back. */
export type { BringBackReport } from "./bring-back";
export { bringBack, carriersBack } from "./bring-back";
export type { Delivered, FileToSave } from "./copy";
export { handOverCopy, handToReader } from "./copy";
export type { FileCopy } from "./file/rewrite-file";
export type { HandOverReport } from "./hand-over";
export { handOver } from "./hand-over";
export type { CellEdit, ChangeKind } from "./handed-list";
export type { PageWanted } from "./reader/reader-options";
export type { ReaderFile } from "./reader/one-reader";
export type { ReaderSheets } from "./readers";
export { costsSeen, pagesFor, readerSheets, sheetsFor } from "./readers";
export type { EditsSince, SheetState } from "./sheet-states";
export { editsSinceHandOver, sheetStates } from "./sheet-states";
export type { ValuesBeside } from "./values-beside";
export { valuesBeside } from "./values-beside";
export type { HandOverWay, ReaderId, WayId } from "./ways";
export { isFormulasWay, isReader, ways } from "./ways";
