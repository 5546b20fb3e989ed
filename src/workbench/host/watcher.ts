import { quotedSheetName, union, zoneName } from "./area";
import type { Book } from "./book";
import { EventType, WHOLE_WORKBOOK } from "./events";
import type { EventNumber, Listeners } from "./events";
import type { Zone } from "./spreadsheet";

export interface WatcherTarget {
  emit(type: EventNumber, target: string, args: unknown): void;
  /** The old document-wide selection event, which has no arguments. */
  selectionChanged(): void;
}

interface Command {
  type: string;
  sheetId?: string;
  col?: number;
  row?: number;
  content?: string;
  target?: Zone[];
  newName?: string;
  oldName?: string;
  commands?: Command[];
  cellIds?: readonly number[];
}

const CONTENT_COMMANDS = new Set(["UPDATE_CELL", "CLEAR_CELL", "CLEAR_CELLS", "DELETE_CONTENT"]);

/** Watches a book and tells listeners what changed, once a batch or an entry is complete. */
export class Watcher {
  private changed = new Map<string, Zone>();
  private sheetEvents: { type: EventNumber; sheetId: string; args: object }[] = [];
  /** The whole workbook was worked out, as manual calculation is asked to. */
  private isCalculated = false;
  private selection: string;
  private activeSheet: string;

  constructor(
    private readonly book: Book,
    private readonly listeners: Listeners,
    private readonly target: WatcherTarget,
  ) {
    this.selection = this.selectionKey();
    this.activeSheet = book.getters.getActiveSheetId();
    book.model.on("command-dispatched", this, (command: unknown) => this.note(command as Command));
    book.model.on("update", this, () => this.report());
  }

  stop(): void {
    this.book.model.off("command-dispatched", this);
    this.book.model.off("update", this);
  }

  private note(command: Command): void {
    const { type, sheetId } = command;
    if (type === "EVALUATE_CELLS" && !command.cellIds) this.isCalculated = true;
    if (type === "UNDO" || type === "REDO") command.commands?.forEach((done) => this.note(done));
    if (sheetId === undefined) return;
    if (CONTENT_COMMANDS.has(type)) this.noteContent(command, sheetId);
    if (type === "CREATE_SHEET") this.noteSheet(EventType.Added, sheetId, {});
    if (type === "DELETE_SHEET") this.noteSheet(EventType.Deleted, sheetId, {});
    if (type === "RENAME_SHEET") {
      const { oldName: nameBefore, newName: nameAfter } = command;
      this.noteSheet(EventType.NameChanged, sheetId, { nameBefore, nameAfter });
    }
  }

  private noteContent({ type, col, row, content, target }: Command, sheetId: string): void {
    if (type === "UPDATE_CELL" && content === undefined) return;
    const zones =
      col !== undefined && row !== undefined
        ? [{ left: col, right: col, top: row, bottom: row }]
        : (target ?? []);
    for (const zone of zones) {
      const before = this.changed.get(sheetId);
      this.changed.set(sheetId, before ? union(before, zone) : zone);
    }
  }

  private noteSheet(type: EventNumber, sheetId: string, args: object): void {
    this.sheetEvents.push({ type, sheetId, args: { source: "Local", ...args } });
  }

  private report(): void {
    const { changed, sheetEvents } = this;
    this.changed = new Map();
    this.sheetEvents = [];
    for (const { type, sheetId, args } of sheetEvents) this.emit(type, sheetId, args);
    for (const [sheetId, zone] of changed) this.reportChange(sheetId, zone);
    if (this.isCalculated) this.calculated(this.book.getters.getSheetIds());
    this.isCalculated = false;
    this.reportSelection();
  }

  private reportChange(sheetId: string, zone: Zone): void {
    const name = this.book.getters.tryGetSheetName(sheetId);
    if (name === undefined) return;
    const address = zoneName(zone);
    this.emit(EventType.Changed, sheetId, {
      address,
      changeType: "RangeEdited",
      source: "Local",
      shiftDirection: "None",
      referenceId: `${quotedSheetName(name)}!${address}`,
      triggerSource: "Unknown",
    });
    if (!this.book.calculation.isManual) this.calculated([sheetId], address);
  }

  /** A calculation has ended on these sheets; answers that come later may still be owed. */
  calculated(sheetIds: readonly string[], address = ""): void {
    for (const sheetId of sheetIds) this.emit(EventType.Calculated, sheetId, { address });
  }

  private reportSelection(): void {
    const active = this.book.getters.getActiveSheetId();
    if (active !== this.activeSheet) {
      this.emit(EventType.Deactivated, this.activeSheet, {});
      this.emit(EventType.Activated, active, {});
      this.activeSheet = active;
    }
    const selection = this.selectionKey();
    if (selection === this.selection) return;
    this.selection = selection;
    this.emit(EventType.SelectionChanged, active, { address: zoneName(this.book.selected().zone) });
    this.target.selectionChanged();
  }

  private selectionKey(): string {
    const { getters } = this.book;
    return `${getters.getActiveSheetId()} ${JSON.stringify(getters.getSelectedZones())}`;
  }

  private emit(type: EventNumber, worksheetId: string, args: object): void {
    for (const target of [worksheetId, WHOLE_WORKBOOK]) {
      if (this.listeners.listens(type, target)) this.target.emit(type, target, { worksheetId, ...args });
    }
  }
}
