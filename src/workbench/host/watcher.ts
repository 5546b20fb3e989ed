import { intersection, quotedSheetName, sameZone, union, zoneName } from "./area";
import type { Book } from "./book";
import { EventType, WHOLE_WORKBOOK } from "./events";
import type { EventNumber, Listeners } from "./events";
import type { Zone } from "./spreadsheet";
import type { Command, SheetChange, Shift, Step } from "./told-changes";
import { editedBy, sheetChangeOf, shiftsOf, stepsOf } from "./told-changes";

export interface WatcherTarget {
  emit(type: EventNumber, target: string, args: unknown): void;
  /** The old document-wide selection event, which has no arguments. */
  selectionChanged(): void;
  /** Cells were put in or taken out. */
  shifted(shift: Shift): void;
}

/** Watches a book and tells listeners what changed, once a batch or an entry is complete. */
export class Watcher {
  private changed = new Map<string, Zone[]>();
  private shifts: Shift[] = [];
  private sheetChanges: SheetChange[] = [];
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
    if (command.type === "EVALUATE_CELLS" && !command.cellIds) this.isCalculated = true;
    for (const step of stepsOf(command)) this.noteStep(step);
  }

  private noteStep(step: Step): void {
    const { getters } = this.book;
    const { sheetId } = step.command;
    const shifts = shiftsOf(step, getters);
    this.shifts.push(...shifts);
    for (const shift of shifts) this.target.shifted(shift);
    for (const { sheetId: of, zone } of shifts) this.forgetWithin(of, zone);
    if (sheetId === undefined) return;
    const change = sheetChangeOf(step, getters);
    if (change) this.sheetChanges.push(change);
    const changed = this.changed.get(sheetId) ?? [];
    changed.push(...editedBy(step));
    this.changed.set(sheetId, changed);
  }

  /** Rows that are taken out are emptied first, which is nothing to tell. */
  private forgetWithin(sheetId: string, zone: Zone): void {
    const kept = this.changed.get(sheetId)?.filter((one) => {
      const inside = intersection(one, zone);
      return inside === null || !sameZone(inside, one);
    });
    if (kept) this.changed.set(sheetId, kept);
  }

  private report(): void {
    const { changed, shifts, sheetChanges } = this;
    this.changed = new Map();
    this.shifts = [];
    this.sheetChanges = [];
    for (const { type, sheetId, args } of sheetChanges)
      this.emit(type, sheetId, { source: "Local", ...args });
    for (const shift of shifts) this.reportChange(shift);
    for (const [sheetId, zones] of changed) {
      if (zones.length === 0) continue;
      const zone = zones.reduce(union);
      this.reportChange({ sheetId, zone, changeType: "RangeEdited", shiftDirection: "None" });
    }
    if (this.isCalculated) this.calculated(this.book.getters.getSheetIds());
    this.isCalculated = false;
    this.reportSelection();
  }

  private reportChange({ sheetId, zone, changeType, shiftDirection }: Shift): void {
    const name = this.book.getters.tryGetSheetName(sheetId);
    if (name === undefined) return;
    const address = zoneName(zone);
    this.emit(EventType.Changed, sheetId, {
      address,
      changeType,
      source: "Local",
      shiftDirection,
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
