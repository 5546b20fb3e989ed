/** What went wrong, in one sentence for the person at the workbook. */
export class WorkbookTrouble extends Error {
  override readonly name = "WorkbookTrouble";
}

/** The code of a request that came while a person is in a cell. */
export const cellIsEdited = "InvalidOperationInCellEditMode";
/** The code of what protection of a sheet or of the workbook forbids. */
export const accessDenied = "AccessDenied";

const tooLarge =
  "That is more than Excel passes on at once: choose fewer sheets or a smaller range, then try again.";
const tooMany =
  "That is too many cells for Excel at once: choose fewer sheets or a smaller range, then try again.";
const tooOld = "This version of Excel lacks something that the pane needs: update Excel, then try again.";
const noRoom =
  "There is no room for it: move what stands in the way, or choose another place, then try again.";
const busyHost = "Excel is busy: wait until it has finished what it is doing, then try again.";

/** The host's own error codes that a person can do something about. */
const advice: Readonly<Record<string, string>> = {
  [cellIsEdited]: "A cell is being edited: finish with Enter or Escape, then try again.",
  [accessDenied]:
    "The sheet or the workbook is protected: choose Review, take the protection off, then try again.",
  InvalidSelection: "A picture or another object is selected: select a cell, then try again.",
  ItemNotFound:
    "A sheet, name or cell that is needed is no longer there: look whether it was deleted or renamed.",
  InvalidReference:
    "The reference does not point at cells: select a cell or type an address such as B2 or Site!B2:B9.",
  ItemAlreadyExists: "Something of that name is there already: choose another name.",
  InvalidArgument: "Excel does not take that: look for a name, an address or a formula that it cannot read.",
  FormulaLengthExceedsLimit:
    "The formula is too long for a cell: shorten it, or work parts of it out in cells of their own.",
  RequestPayloadSizeLimitExceeded: tooLarge,
  ResponsePayloadSizeLimitExceeded: tooLarge,
  OperationCellsExceedLimit: tooMany,
  RangeExceedsLimit: tooMany,
  MemoryLimitReached: tooMany,
  RequestAborted: "Excel broke that off: try again.",
  GeneralException: "Excel could not do that: wait a moment, then try again.",
  Conflict: busyHost,
  ActivityLimitReached: busyHost,
  ServiceNotAvailable: busyHost,
  InactiveWorkbook: "Another workbook is open in front: go back to this one, then try again.",
  NonBlankCellOffSheet: noRoom,
  InsertDeleteConflict: noRoom,
  FilteredRangeConflict: "A filter hides some of the cells: clear the filter, then try again.",
  MergedRangeConflict: "Some of the cells are merged: unmerge them, then try again.",
  PivotTableRangeConflict:
    "A PivotTable stands in the way: move it, or choose another place, then try again.",
  UnsupportedSheet: "A chart sheet cannot be used for that: open a sheet with cells, then try again.",
  ApiNotFound: tooOld,
  ApiNotAvailable: tooOld,
  NotImplemented: tooOld,
  UnsupportedFeature: tooOld,
  UnsupportedOperation: tooOld,
};

export const codeOf = (error: unknown): string =>
  typeof error === "object" && error !== null && "code" in error && typeof error.code === "string"
    ? error.code
    : "";

/** Any error as one sentence. */
export function asSentence(error: unknown): string {
  const known = advice[codeOf(error)];
  if (known !== undefined) return known;
  const message = error instanceof Error ? error.message : String(error);
  const sentence = message.trim();
  return sentence === "" ? "The workbook did not answer: try again." : sentence;
}
