import { invalidArgument, itemAlreadyExists } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import { checkedZone, MAX_COLUMNS, MAX_ROWS } from "./area";
import type { Book } from "./book";
import { EventSource } from "./events";
import type { Listeners } from "./events";
import { WorksheetFreezePanes } from "./freeze-panes";
import { NamedItemCollection } from "./names";
import { layoutKey } from "./kept-layout";
import { PageLayout } from "./page-layout";
import { Protection } from "./protection";
import { RangeAreas } from "./range-areas";
import { ShapeCollection } from "./shapes";
import { TableCollection } from "./tables";
import { usedZone } from "./used-range";

const ALL_CELLS = { left: 0, top: 0, right: MAX_COLUMNS - 1, bottom: MAX_ROWS - 1 };

const FORBIDDEN_IN_NAMES = /[\\/?*[\]:]/;

/** Refuses what the host refuses as a sheet's name. */
export function checkSheetName(book: Book, name: string, ownSheet: string | null): void {
  const quoted = name.startsWith("'") || name.endsWith("'");
  if (!name || name.length > 31 || quoted || FORBIDDEN_IN_NAMES.test(name)) {
    throw invalidArgument(`"${name}" cannot be the name of a worksheet`);
  }
  const taken = book.findSheet(name);
  if (taken !== null && taken !== ownSheet) throw itemAlreadyExists(name);
}

export const veryHiddenKey = (sheetId: string) => `veryHidden/${sheetId}`;

export class Worksheet extends EventSource implements WireObject {
  readonly $type = "Worksheet";
  readonly $scalars = ["Id", "Name", "Position", "ShowGridlines", "TabColor", "Visibility"];

  constructor(
    private readonly book: Book,
    readonly Id: string,
    protected readonly listeners: Listeners,
  ) {
    super();
  }

  protected get eventTarget(): string {
    return this.Id;
  }

  get Name(): string {
    return this.book.sheetName(this.Id);
  }

  set Name(newName: string) {
    const oldName = this.Name;
    if (newName === oldName) return;
    checkSheetName(this.book, newName, this.Id);
    this.book.run("RENAME_SHEET", { sheetId: this.Id, newName, oldName });
  }

  get Position(): number {
    this.book.checkSheet(this.Id);
    return this.book.getters.getSheetIds().indexOf(this.Id);
  }

  set Position(position: number) {
    const ids = this.book.getters.getSheetIds();
    if (!(position >= 0 && position < ids.length)) throw invalidArgument(`there is no position ${position}`);
    // The spreadsheet counts a move in visible sheets, so it is made one visible neighbour at a time.
    for (let guard = ids.length; this.Position !== position && guard > 0; guard--) {
      const delta = this.Position < position ? 1 : -1;
      this.book.run("MOVE_SHEET", { sheetId: this.Id, delta });
    }
  }

  get Visibility(): string {
    this.book.checkSheet(this.Id);
    if (this.book.getters.isSheetVisible(this.Id)) return "Visible";
    return this.book.kept(veryHiddenKey(this.Id)) ? "VeryHidden" : "Hidden";
  }

  set Visibility(visibility: string) {
    if (!["Visible", "Hidden", "VeryHidden"].includes(visibility)) {
      throw invalidArgument(`"${visibility}" is no visibility`);
    }
    const visible = this.Visibility === "Visible";
    if (visibility === "Visible" && !visible) this.book.run("SHOW_SHEET", { sheetId: this.Id });
    if (visibility !== "Visible" && visible) this.book.run("HIDE_SHEET", { sheetId: this.Id });
    const veryHidden = visibility === "VeryHidden";
    if (Boolean(this.book.kept(veryHiddenKey(this.Id))) !== veryHidden) {
      this.book.keep(veryHiddenKey(this.Id), veryHidden);
    }
  }

  get TabColor(): string {
    return (this.book.getters.getSheet(this.Id).color ?? "").toUpperCase();
  }

  set TabColor(color: string) {
    this.book.run("COLOR_SHEET", { sheetId: this.Id, ...(color && { color }) });
  }

  get ShowGridlines(): boolean {
    return this.book.getters.getGridLinesVisibility(this.Id);
  }

  /** The library reads `showGridlines` under its own name, but sets it under this one. */
  get Gridlines(): boolean {
    return this.ShowGridlines;
  }

  set Gridlines(areGridLinesVisible: boolean) {
    this.book.run("SET_GRID_LINES_VISIBILITY", { sheetId: this.Id, areGridLinesVisible });
  }

  /** A copy right after this sheet, whichever place is asked for: no other is asked for. */
  Copy(): WireObject {
    const name = this.Name;
    const sheetIdTo = this.book.newId("sheet-");
    let sheetNameTo = name;
    for (let n = 2; this.book.findSheet(sheetNameTo) !== null; n++)
      sheetNameTo = `${name.slice(0, 31 - ` (${n})`.length)} (${n})`;
    this.book.run("DUPLICATE_SHEET", { sheetId: this.Id, sheetIdTo, sheetNameTo });
    const layout = this.book.kept(layoutKey(this.Id));
    if (layout !== undefined) this.book.keep(layoutKey(sheetIdTo), layout);
    return this.book.objects.worksheet(sheetIdTo);
  }

  Activate(): void {
    this.book.checkSheet(this.Id);
    this.book.activate(this.Id);
  }

  Delete(): void {
    this.book.run("DELETE_SHEET", { sheetId: this.Id, sheetName: this.Name });
  }

  GetRange(address?: string | null): WireObject {
    this.book.checkSheet(this.Id);
    const area = address ? this.book.area(address, this.Id) : { sheetId: this.Id, zone: ALL_CELLS };
    return this.book.objects.range(area);
  }

  GetRanges(addresses: string): WireObject {
    this.book.checkSheet(this.Id);
    const zones = addresses.split(",").map((address) => this.book.area(address, this.Id).zone);
    return new RangeAreas(this.book, this.Id, zones);
  }

  GetRangeByIndexes(top: number, left: number, rows: number, columns: number): WireObject {
    const zone = checkedZone({ left, top, right: left + columns - 1, bottom: top + rows - 1 });
    return this.book.objects.range({ sheetId: this.Id, zone });
  }

  GetCell(row: number, column: number): WireObject {
    return this.GetRangeByIndexes(row, column, 1, 1);
  }

  GetUsedRangeOrNullObject(valuesOnly = false): WireObject | null {
    const zone = usedZone(this.book, { sheetId: this.Id, zone: ALL_CELLS }, valuesOnly ?? false);
    return zone && this.book.objects.range({ sheetId: this.Id, zone });
  }

  GetUsedRange(valuesOnly = false): WireObject {
    return this.GetUsedRangeOrNullObject(valuesOnly) ?? this.GetCell(0, 0);
  }

  get Tables(): TableCollection {
    return new TableCollection(this.book, this.Id);
  }

  get Protection(): Protection {
    return new Protection(this.book, this.Id);
  }

  get Names(): NamedItemCollection {
    return new NamedItemCollection(this.book, this.Id);
  }

  get FreezePanes(): WorksheetFreezePanes {
    return new WorksheetFreezePanes(this.book, this.Id);
  }

  get Shapes(): ShapeCollection {
    return new ShapeCollection(this.book, this.Id);
  }

  get PageLayout(): PageLayout {
    return new PageLayout(this.book, this.Id);
  }

  private sibling(step: 1 | -1, visibleOnly: boolean): WireObject | null {
    const ids = this.book.getters.getSheetIds();
    for (let at = ids.indexOf(this.Id) + step; at >= 0 && at < ids.length; at += step) {
      const id = ids[at];
      if (id !== undefined && (!visibleOnly || this.book.getters.isSheetVisible(id))) {
        return this.book.objects.worksheet(id);
      }
    }
    return null;
  }

  GetNextOrNullObject(visibleOnly = false): WireObject | null {
    return this.sibling(1, visibleOnly);
  }

  GetPreviousOrNullObject(visibleOnly = false): WireObject | null {
    return this.sibling(-1, visibleOnly);
  }
}
