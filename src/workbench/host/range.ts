import { HostError, invalidArgument } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import { isUnbounded, rowsOf } from "./area";
import { ConditionalFormatCollection } from "./conditional-formats";
import { DataValidation, validatedZones, validationRuleOf } from "./data-validation";
import { RangeAreas } from "./range-areas";
import { RangeFormat } from "./range-format";
import { RangePlace } from "./range-place";
import type { Position } from "./spreadsheet";
import { fillCalculatedColumns, TableCollection } from "./tables";
import { valueType } from "./values";

type Grid = unknown[][];

const sizeMismatch = () =>
  invalidArgument("the rows or columns of the input array do not match the size of the range");

/** `Excel.Range` over a zone of a sheet. */
export class Range extends RangePlace implements WireObject {
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

  GetTables(): TableCollection {
    return new TableCollection(this.book, this.area.sheetId, this.zone);
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
