/** What went wrong, in one sentence for the person at the workbook. */
export class WorkbookTrouble extends Error {
  override readonly name = "WorkbookTrouble";
}

/** The host's own error codes that a person can do something about. */
const advice: Readonly<Record<string, string>> = {
  InvalidOperationInCellEditMode: "A cell is being edited: finish with Enter or Escape, then try again.",
  AccessDenied: "The sheet is protected: take the protection off, then try again.",
  ItemNotFound:
    "A sheet, name or cell that is needed is no longer there: look whether it was deleted or renamed.",
  InvalidReference:
    "The reference does not point at cells: select a cell or type an address such as B2 or Site!B2:B9.",
  ItemAlreadyExists: "Something of that name is there already: choose another name.",
  RequestTooLarge: "That is too much in one go for the workbook: choose fewer sheets.",
  ApiNotFound: "This version of Excel lacks something that the pane needs: update Excel, then try again.",
};

const codeOf = (error: unknown): string =>
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
