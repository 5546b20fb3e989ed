import { Bridge } from "../protocol/bridge";
import { Interpreter } from "../protocol/interpreter";
import { inertObject } from "../protocol/wire-object";
import { Book } from "./book";
import { Listeners } from "./events";
import type { Spreadsheet } from "./spreadsheet";
import { Watcher } from "./watcher";
import { Workbook } from "./workbook";
import { NEW_SHEET } from "./worksheets";

export interface SheetSetup {
  name: string;
  cells?: Readonly<Record<string, string>>;
}

export interface SessionOptions {
  library: Spreadsheet;
  /** Carries a message to the library, after the call that caused it has returned. */
  send: (text: string) => void;
  /** Fires the selection event of `Office.context.document`. */
  selectionChanged: () => void;
  /** Told when another workbook has taken the place of the present one. */
  replaced?: () => void;
}

/** The number of the workbook's own selection event, for which the library registers nowhere. */
const DOCUMENT_SELECTION_CHANGED = 2;

/** A workbook's data with empty sheets of the usual size. */
export function newWorkbook(sheets: readonly SheetSetup[] = [{ name: "Sheet1" }]): object {
  return {
    sheets: sheets.map(({ name, cells = {} }, index) => ({
      id: `sheet-${index + 1}`,
      name,
      colNumber: NEW_SHEET.cols,
      rowNumber: NEW_SHEET.rows,
      cells,
    })),
  };
}

/** The host of one library: a bridge to it, and the workbook that is open at present. */
export class HostSession {
  readonly bridge: Bridge;
  private readonly interpreter: Interpreter;
  private readonly listeners = new Listeners();
  private open: { book: Book; workbook: Workbook; watcher: Watcher };

  constructor(
    private readonly options: SessionOptions,
    data: object,
  ) {
    this.interpreter = new Interpreter({ global: () => this.open.workbook, create: inertObject });
    this.bridge = new Bridge({
      interpreter: this.interpreter,
      send: options.send,
      around: (execute) => this.book.asOneStep(execute),
    });
    this.open = this.opened(data);
  }

  get book(): Book {
    return this.open.book;
  }

  /** Puts another workbook in place of the present one. */
  replace(data: object): void {
    this.open.watcher.stop();
    this.interpreter.forgetReferences();
    this.open = this.opened(data);
    this.options.replaced?.();
  }

  private opened(data: object) {
    const book = new Book(this.options.library, data);
    const workbook = new Workbook(book, this.listeners);
    const watcher = new Watcher(book, this.listeners, {
      emit: (type, target, args) => this.bridge.emit(type, target, args),
      selectionChanged: () => {
        this.bridge.emit(DOCUMENT_SELECTION_CHANGED, "", {});
        this.options.selectionChanged();
      },
    });
    return { book, workbook, watcher };
  }
}
