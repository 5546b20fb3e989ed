import { Bridge, LARGEST_PAYLOAD } from "../protocol/bridge";
import { HostError } from "../protocol/host-error";
import { Interpreter } from "../protocol/interpreter";
import { inertObject } from "../protocol/wire-object";
import { Book } from "./book";
import { Listeners } from "./events";
import type { Harshness, Situation } from "./harshness";
import { kind, undisturbed } from "./harshness";
import type { LateAnswers } from "./late-answers";
import { RangePlace } from "./range-place";
import type { Spreadsheet } from "./spreadsheet";
import { Stretches } from "./stretches";
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
  harshness?: Harshness;
  /** The answers that functions owe, where they come later than the edit. */
  answers?: LateAnswers;
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
  readonly harshness: Harshness;
  readonly situation: Situation = { ...undisturbed };
  /** How long the add-in goes on without giving way, for those who start the watch. */
  readonly stretches = new Stretches();
  private readonly interpreter: Interpreter;
  private readonly listeners = new Listeners();
  private open: { book: Book; workbook: Workbook; watcher: Watcher };

  constructor(
    private readonly options: SessionOptions,
    data: object,
  ) {
    this.harshness = options.harshness ?? kind;
    this.interpreter = new Interpreter({ global: () => this.open.workbook, create: inertObject });
    this.bridge = new Bridge({
      interpreter: this.interpreter,
      send: options.send,
      around: (execute) => this.book.asBatch(execute),
      refusal: () => this.refusal(),
      largestPayload: () =>
        this.situation.largestPayload ?? (this.harshness.payloads ? LARGEST_PAYLOAD : Infinity),
    });
    const { answers } = options;
    if (answers) {
      answers.isHeld = () => this.situation.answersHeld;
      answers.around = (deliver) => this.stretches.byHost(deliver);
      answers.onRound = (sheetIds) => this.open.watcher.calculated(sheetIds);
    }
    this.open = this.opened(data);
  }

  private refusal(): HostError | undefined {
    const { situation } = this;
    if (situation.editingFrom !== undefined) situation.editingFrom--;
    const isEdited = situation.cellEditing || (situation.editingFrom ?? 1) <= 0;
    return isEdited ? cellEditing() : undefined;
  }

  /** Takes a message of the library. */
  receive(text: string): void {
    this.stretches.byHost(() => this.bridge.receive(text));
  }

  get book(): Book {
    return this.open.book;
  }

  /** Works out what manual calculation has left, as a person at the sheet may ask for, and waits for every answer. */
  async calculated(): Promise<void> {
    if (this.book.calculation.isStale) this.book.calculate();
    await this.options.answers?.done();
  }

  /** The open workbook as somebody sees who looks at it. */
  get lookedAt(): Book {
    const { answersHeld, looksWhenCalculated } = this.situation;
    if (looksWhenCalculated && !answersHeld) {
      if (this.book.calculation.isStale) this.book.calculate();
      this.options.answers?.finish();
    }
    return this.book;
  }

  /** Puts another workbook in place of the present one. */
  replace(data: object): void {
    this.open.watcher.stop();
    this.interpreter.forgetReferences();
    this.options.answers?.forget();
    this.open = this.opened(data);
    this.options.replaced?.();
  }

  private opened(data: object) {
    const book = new Book(this.options.library, data, this.harshness, this.situation);
    const { situation } = this;
    const workbook = new Workbook(book, this.listeners, { situation, answers: this.options.answers });
    const watcher = new Watcher(book, this.listeners, {
      emit: (type, target, args) => this.bridge.emit(type, target, args),
      selectionChanged: () => {
        this.bridge.emit(DOCUMENT_SELECTION_CHANGED, "", {});
        this.options.selectionChanged();
      },
      shifted: (shift) => {
        for (const kept of this.interpreter.keptObjects) if (kept instanceof RangePlace) kept.$moves(shift);
      },
    });
    return { book, workbook, watcher };
  }
}

const cellEditing = () =>
  new HostError(
    "InvalidOperationInCellEditMode",
    "Excel is in cell-editing mode. Please exit the edit mode by pressing ENTER or TAB or selecting another cell.",
  );
