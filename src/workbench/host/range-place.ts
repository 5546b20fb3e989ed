import { HostError, invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import {
  checkedZone,
  columnsOf,
  intersection,
  isWholeColumns,
  isWholeRows,
  MAX_COLUMNS,
  MAX_ROWS,
  rowsOf,
  union,
} from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import { leftOf, topOf } from "./points";
import { movedZone } from "./moved-zone";
import type { Zone } from "./spreadsheet";
import type { Shift } from "./told-changes";
import { usedZone } from "./used-range";

/** Where a range stands on its sheet, and the other ranges that are found from there. */
export class RangePlace {
  private place: Area | undefined;

  constructor(
    protected readonly book: Book,
    area: Area,
  ) {
    this.place = area;
  }

  get area(): Area {
    if (this.place === undefined)
      throw new HostError("InvalidReference", "This reference is not valid for the current operation.");
    return this.place;
  }

  protected get zone(): Zone {
    return this.area.zone;
  }

  /** A range that is kept between batches goes along with its cells. */
  $moves(shift: Shift): void {
    if (this.place?.sheetId !== shift.sheetId) return;
    const zone = movedZone(this.place.zone, shift);
    this.place = zone && { ...this.place, zone };
  }

  protected other(zone: Zone): WireObject {
    return this.book.objects.range({ sheetId: this.area.sheetId, zone: checkedZone(zone) });
  }

  // Where it is

  get Address(): string {
    return this.book.address(this.area);
  }

  get AddressLocal(): string {
    return this.Address;
  }

  get RowIndex(): number {
    return this.zone.top;
  }

  get ColumnIndex(): number {
    return this.zone.left;
  }

  get RowCount(): number {
    return rowsOf(this.zone);
  }

  get ColumnCount(): number {
    return columnsOf(this.zone);
  }

  get Left(): number {
    return leftOf(this.book, this.area.sheetId, this.zone.left);
  }

  get Top(): number {
    return topOf(this.book, this.area.sheetId, this.zone.top);
  }

  get Width(): number {
    return leftOf(this.book, this.area.sheetId, this.zone.right + 1) - this.Left;
  }

  get Height(): number {
    return topOf(this.book, this.area.sheetId, this.zone.bottom + 1) - this.Top;
  }

  get CellCount(): number {
    const count = this.RowCount * this.ColumnCount;
    return count > 2 ** 31 - 1 ? -1 : count;
  }

  get IsEntireColumn(): boolean {
    return isWholeColumns(this.zone);
  }

  get IsEntireRow(): boolean {
    return isWholeRows(this.zone);
  }

  get Worksheet(): WireObject {
    this.book.checkSheet(this.area.sheetId);
    return this.book.objects.worksheet(this.area.sheetId);
  }

  // Other ranges

  GetCell(row: number, column: number): WireObject {
    const { left, top } = this.zone;
    return this.other({ left: left + column, right: left + column, top: top + row, bottom: top + row });
  }

  GetRow(row: number): WireObject {
    return this.other({ ...this.zone, top: this.zone.top + row, bottom: this.zone.top + row });
  }

  GetColumn(column: number): WireObject {
    return this.other({ ...this.zone, left: this.zone.left + column, right: this.zone.left + column });
  }

  GetLastRow(): WireObject {
    return this.other({ ...this.zone, top: this.zone.bottom });
  }

  GetLastColumn(): WireObject {
    return this.other({ ...this.zone, left: this.zone.right });
  }

  GetLastCell(): WireObject {
    return this.other({ ...this.zone, top: this.zone.bottom, left: this.zone.right });
  }

  GetEntireRow(): WireObject {
    return this.other({ ...this.zone, left: 0, right: MAX_COLUMNS - 1 });
  }

  GetEntireColumn(): WireObject {
    return this.other({ ...this.zone, top: 0, bottom: MAX_ROWS - 1 });
  }

  GetResizedRange(rows: number, columns: number): WireObject {
    return this.other({
      ...this.zone,
      bottom: this.zone.bottom + rows,
      right: this.zone.right + columns,
    });
  }

  GetAbsoluteResizedRange(rows: number, columns: number): WireObject {
    return this.GetResizedRange(rows - this.RowCount, columns - this.ColumnCount);
  }

  GetOffsetRange(rows: number, columns: number): WireObject {
    const { left, right, top, bottom } = this.zone;
    return this.other({
      left: left + columns,
      right: right + columns,
      top: top + rows,
      bottom: bottom + rows,
    });
  }

  private areaOf(other: unknown): Area {
    if (other instanceof RangePlace) return other.area;
    if (typeof other === "string") return this.book.area(other, this.area.sheetId);
    throw invalidArgument("a range or an address is needed");
  }

  GetIntersectionOrNullObject(other: unknown): WireObject | null {
    const area = this.areaOf(other);
    const zone = area.sheetId === this.area.sheetId ? intersection(this.zone, area.zone) : null;
    return zone && this.other(zone);
  }

  GetIntersection(other: unknown): WireObject {
    const range = this.GetIntersectionOrNullObject(other);
    if (!range) throw itemNotFound("the ranges do not meet");
    return range;
  }

  GetBoundingRect(other: unknown): WireObject {
    const area = this.areaOf(other);
    if (area.sheetId !== this.area.sheetId) throw invalidArgument("the ranges are on different worksheets");
    return this.other(union(this.zone, area.zone));
  }

  GetUsedRangeOrNullObject(valuesOnly = false): WireObject | null {
    const zone = usedZone(this.book, this.area, valuesOnly);
    return zone && this.other(zone);
  }

  GetUsedRange(valuesOnly = false): WireObject {
    const { left, top } = this.zone;
    return this.GetUsedRangeOrNullObject(valuesOnly) ?? this.other({ left, right: left, top, bottom: top });
  }

  GetSpillingToRangeOrNullObject(): WireObject | null {
    const { left: col, top: row } = this.zone;
    const zone = this.book.spill({ sheetId: this.area.sheetId, col, row });
    return zone && this.other(zone);
  }

  GetSpillingToRange(): WireObject {
    const range = this.GetSpillingToRangeOrNullObject();
    if (!range) throw itemNotFound("the cell spills nowhere");
    return range;
  }
}
