import { accessDenied, invalidArgument } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import type { Book } from "./book";

const WORKBOOK = "protected/workbook";
const sheetKey = (sheetId: string) => `protected/sheet/${sheetId}`;

/** What a protected workbook keeps as it is: which sheets there are, their names and their order. */
const STRUCTURE = new Set([
  "CREATE_SHEET",
  "DELETE_SHEET",
  "DUPLICATE_SHEET",
  "RENAME_SHEET",
  "MOVE_SHEET",
  "HIDE_SHEET",
  "SHOW_SHEET",
]);

/** What is done with a protected sheet without changing it. */
const NO_EDIT = new Set(["ACTIVATE_SHEET", "EVALUATE_CELLS", "SCROLL_TO_CELL"]);

/** What acts on the active sheet without naming it. */
const ON_ACTIVE_SHEET = new Set(["INSERT_CELL", "DELETE_CELL"]);

/** Keys under which things that belong to a sheet's cells are kept. */
const OF_A_SHEET = /^(?:comment|layout)\/([^/]+)/;

interface Payload {
  sheetId?: string;
  key?: string;
}

function editedSheet(book: Book, type: string, { sheetId, key }: Payload): string | undefined {
  if (ON_ACTIVE_SHEET.has(type)) return book.getters.getActiveSheetId();
  if (key !== undefined) return OF_A_SHEET.exec(key)?.[1];
  return NO_EDIT.has(type) ? undefined : sheetId;
}

/** Refuses what protection forbids. */
export function checkProtection(book: Book, type: string, payload: Payload): void {
  if (STRUCTURE.has(type)) {
    if (book.kept(WORKBOOK)) throw accessDenied("the structure of the workbook is protected");
    return;
  }
  const sheetId = editedSheet(book, type, payload);
  if (sheetId !== undefined && book.kept(sheetKey(sheetId))) {
    throw accessDenied(`the worksheet ${book.sheetName(sheetId)} is protected`);
  }
}

/** `Excel.WorksheetProtection` and `Excel.WorkbookProtection`, without a password. */
export class Protection implements WireObject {
  readonly $scalars = ["Protected"];
  readonly $type: string;
  private readonly key: string;

  constructor(
    private readonly book: Book,
    sheetId: string | null,
  ) {
    this.$type = sheetId === null ? "WorkbookProtection" : "WorksheetProtection";
    this.key = sheetId === null ? WORKBOOK : sheetKey(sheetId);
  }

  get Protected(): boolean {
    return Boolean(this.book.kept(this.key));
  }

  Protect(): void {
    if (this.Protected) throw invalidArgument("it is protected already");
    this.book.keep(this.key, true);
  }

  Unprotect(): void {
    this.book.keep(this.key, undefined);
  }
}
