import { HostError, invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import {
  checkedZone,
  columnsOf,
  intersection,
  isUnbounded,
  isWholeColumns,
  isWholeRows,
  MAX_COLUMNS,
  MAX_ROWS,
  rowsOf,
  union,
} from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import { ConditionalFormatCollection } from "./conditional-formats";
import { DataValidation, validatedZones, validationRuleOf } from "./data-validation";
import { RangeAreas } from "./range-areas";
import { RangeFormat } from "./range-format";
import { leftOf, topOf } from "./points";
import type { Position, Zone } from "./spreadsheet";
import { fillCalculatedColumns, TableCollection } from "./tables";
import { usedZone } from "./used-range";
import { valueType } from "./values";

type Grid = unknown[][];

const sizeMismatch = () =>
  invalidArgument("the rows or columns of the input array do not match the size of the range");

/** `Excel.Range` over a zone of a sheet. */
export class Range implements WireObject {
  readonly $type = "Range";
  readonly $keepsReference = true;
  readonly $scalars = [
    "Address",
    "AddressLocal",
    "CellCount",
    "ColumnCount",
    "ColumnHidden",
    "ColumnIndex",
    "Formulas",
    "IsEntireColumn",
    "IsEntireRow",
    "NumberFormat",
    "RowCount",
    "RowHidden",
    "RowIndex",
    "Text",
    "ValueTypes",
    "Values",
  ];

  constructor(
    private readonly book: Book,
    readonly area: Area,
  ) {}

  private get zone(): Zone {
    return this.area.zone;
  }

  private other(zone: Zone): WireObject {
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

  // What the cells hold

  /** Cell-level answers; the host gives null for whole columns and rows. */
  private grid<Value>(read: (position: Position) => Value): Value[][] | null {
    this.book.checkSheet(this.area.sheetId);
    if (isUnbounded(this.zone)) return null;
    const present = this.book.sheetZone(this.area.sheetId);
    const { sheetId } = this.area;
    return Array.from({ length: this.RowCount }, (_, down) =>
      Array.from({ length: this.ColumnCount }, (_, across) => {
        const row = this.zone.top + down;
        const col = this.zone.left + across;
        const beyond = row > present.bottom || col > present.right;
        return read({ sheetId, row, col: beyond ? -1 : col });
      }),
    );
  }

  private fill(input: unknown, write: (position: Position, value: unknown) => void): void {
    this.book.checkSheet(this.area.sheetId);
    if (isUnbounded(this.zone)) throw invalidArgument("a whole column or row cannot be written at once");
    const rows: Grid = Array.isArray(input)
      ? (input as Grid)
      : Array.from({ length: this.RowCount }, () => Array<unknown>(this.ColumnCount).fill(input));
    const fits = rows.length === this.RowCount && rows.every((row) => row.length === this.ColumnCount);
    if (!fits) throw sizeMismatch();
    this.book.makeRoom(this.area);
    rows.forEach((values, down) =>
      values.forEach((value, across) => {
        if (value === null || value === undefined) return;
        const { left, top } = this.zone;
        write({ sheetId: this.area.sheetId, col: left + across, row: top + down }, value);
      }),
    );
  }

  get Values(): Grid | null {
    return this.grid((at) => (at.col < 0 ? "" : this.book.read(at).value));
  }

  set Values(values: unknown) {
    const written: Position[] = [];
    this.fill(values, (position, value) => {
      this.book.write(position, value);
      written.push(position);
    });
    if (this.book.harshness.calculatedColumns) fillCalculatedColumns(this.book, written);
  }

  get Formulas(): Grid | null {
    return this.grid((at) => (at.col < 0 ? "" : (this.book.formula(at) ?? this.book.read(at).value)));
  }

  set Formulas(formulas: unknown) {
    this.Values = formulas;
  }

  get FormulasLocal(): Grid | null {
    return this.Formulas;
  }

  get Text(): string[][] | null {
    return this.grid((at) => (at.col < 0 ? "" : this.book.read(at).text));
  }

  get ValueTypes(): string[][] | null {
    return this.grid((at) => {
      if (at.col < 0) return "Empty";
      const { raw, isError } = this.book.read(at);
      return valueType(raw, isError);
    });
  }

  get NumberFormat(): Grid | null {
    return this.grid((at) => (at.col < 0 ? "General" : this.book.numberFormat(at)));
  }

  set NumberFormat(formats: unknown) {
    if (!isUnbounded(this.zone) && Array.isArray(formats)) {
      this.fill(formats, (position, format) => this.book.setFormat(position, String(format)));
      return;
    }
    const only = Array.isArray(formats) ? (formats as Grid)[0]?.[0] : formats;
    this.book.setFormats(this.area, String(only));
  }

  _ValidateArraySize(rows: number, columns: number): void {
    if (rows !== this.RowCount || columns !== this.ColumnCount) throw sizeMismatch();
  }

  get Format(): RangeFormat {
    return new RangeFormat(this.book, this.area);
  }

  get DataValidation(): DataValidation {
    return new DataValidation(this.book, this.area);
  }

  get ConditionalFormats(): ConditionalFormatCollection {
    return new ConditionalFormatCollection(this.book, this.area);
  }

  /** The cells that have a limit, as few ranges as hold them all; no other kind is asked for. */
  GetSpecialCellsOrNullObject(kind: string): WireObject | null {
    if (kind !== "DataValidations")
      throw new HostError("NotImplemented", `Special cells "${kind}" are not implemented by this host.`, 501);
    const zones = validatedZones(this.book, this.area);
    return zones.length === 0 ? null : new RangeAreas(this.book, this.area.sheetId, zones);
  }

  get RowHidden(): boolean {
    const { sheetId } = this.area;
    return this.book.getters.isRowHidden(sheetId, this.zone.top);
  }

  set RowHidden(hidden: boolean) {
    this.hide("ROW", hidden);
  }

  get ColumnHidden(): boolean {
    return this.book.getters.isColHidden(this.area.sheetId, this.zone.left);
  }

  set ColumnHidden(hidden: boolean) {
    this.hide("COL", hidden);
  }

  private hide(dimension: "ROW" | "COL", hidden: boolean): void {
    const elements = this.headers(dimension);
    const type = hidden ? "HIDE_COLUMNS_ROWS" : "UNHIDE_COLUMNS_ROWS";
    this.book.run(type, { sheetId: this.area.sheetId, dimension, elements });
  }

  private headers(dimension: "ROW" | "COL"): number[] {
    const zone = this.book.roomFor(this.area);
    const [first, last] = dimension === "ROW" ? [zone.top, zone.bottom] : [zone.left, zone.right];
    return Array.from({ length: last - first + 1 }, (_, index) => first + index);
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
    if (other instanceof Range) return other.area;
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

  GetTables(): TableCollection {
    return new TableCollection(this.book, this.area.sheetId, this.zone);
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

  // Doing something with it

  Select(): void {
    this.book.select(this.area);
  }

  Merge(across = false): void {
    const zone = this.book.roomFor(this.area);
    const { sheetId } = this.area;
    const target = across
      ? Array.from({ length: rowsOf(zone) }, (_, row) => ({
          ...zone,
          top: zone.top + row,
          bottom: zone.top + row,
        }))
      : [zone];
    this.book.run("ADD_MERGE", { sheetId, target, force: true });
  }

  Unmerge(): void {
    const zone = this.book.present(this.area);
    const { sheetId } = this.area;
    const merges = zone ? this.book.getters.getMergesInZone(sheetId, zone) : [];
    const target = merges.map(({ left, right, top, bottom }) => ({ left, right, top, bottom }));
    if (target.length) this.book.run("REMOVE_MERGE", { sheetId, target });
  }

  Clear(applyTo = "All"): void {
    const zone = this.book.present(this.area);
    if (!zone) return;
    const { sheetId } = this.area;
    const all = applyTo === "All";
    if (!all && applyTo !== "Contents" && applyTo !== "Formats") {
      throw new HostError(
        "NotImplemented",
        `Range.clear("${applyTo}") is not implemented by this host.`,
        501,
      );
    }
    if (all || applyTo === "Contents") this.book.clearContents({ sheetId, zone });
    if (all || applyTo === "Formats") this.book.run("CLEAR_FORMATTING", { sheetId, target: [zone] });
    if (all && validationRuleOf(this.book, { sheetId, zone }) !== null) this.DataValidation.Clear();
  }

  Insert(shift: string): WireObject {
    if (shift !== "Down" && shift !== "Right") throw invalidArgument(`"${shift}" is no way to insert`);
    const { sheetId } = this.area;
    const dimension = shift === "Down" ? "ROW" : "COL";
    const whole = dimension === "ROW" ? this.IsEntireRow : this.IsEntireColumn;
    const quantity = dimension === "ROW" ? this.RowCount : this.ColumnCount;
    const base = dimension === "ROW" ? this.zone.top : this.zone.left;
    const zone = this.book.roomFor(this.area);
    if (whole) {
      const sheetName = this.book.sheetName(sheetId);
      const payload = { sheetId, sheetName, dimension, base, quantity, position: "before" };
      this.book.run("ADD_COLUMNS_ROWS", payload);
    } else {
      const present = this.book.sheetZone(sheetId);
      const last =
        dimension === "ROW"
          ? { ...zone, bottom: present.bottom + quantity }
          : { ...zone, right: present.right + quantity };
      this.book.makeRoom({ sheetId, zone: last });
      this.book.onSheet(sheetId, () => this.book.run("INSERT_CELL", { zone, shiftDimension: dimension }));
    }
    return this.other(this.zone);
  }

  Delete(shift: string): void {
    if (shift !== "Up" && shift !== "Left") throw invalidArgument(`"${shift}" is no way to delete`);
    const { sheetId } = this.area;
    const zone = this.book.present(this.area);
    if (!zone) return;
    const dimension = shift === "Up" ? "ROW" : "COL";
    if (dimension === "ROW" ? this.IsEntireRow : this.IsEntireColumn) {
      const sheetName = this.book.sheetName(sheetId);
      const elements = this.headers(dimension);
      this.book.run("REMOVE_COLUMNS_ROWS", { sheetId, sheetName, dimension, elements });
    } else {
      this.book.onSheet(sheetId, () => this.book.run("DELETE_CELL", { zone, shiftDimension: dimension }));
    }
  }
}
