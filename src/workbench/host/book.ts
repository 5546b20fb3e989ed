import { invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import {
  checkedZone,
  intersection,
  isUnbounded,
  MAX_COLUMNS,
  MAX_ROWS,
  parseZone,
  quotedSheetName,
  splitAddress,
  zoneName,
} from "./area";
import type { Area } from "./area";
import { DrivenModel } from "./driven-model";
import { nameOn, namesIn, withInnerNames, withShownNames } from "./names-in-formulas";
import { checkProtection } from "./protection";
import { checkLimits } from "./written-limits";
import type { Position, Style, Zone } from "./spreadsheet";
import { drawnFormat } from "./number-format";
import { outward, TEXT_FORMAT, typed, withoutMark } from "./values";
import type { CellValue } from "./values";
import { spreadsheetSpelling, WrittenFormulas } from "./written-formulas";

/** Makes wire objects; handed in, so that the object files need not import each other. */
export interface ObjectMakers {
  range(area: Area): WireObject;
  worksheet(sheetId: string): WireObject;
}

/** Where the written form of a number format is kept, under the form that is drawn. */
export const FORMAT = "format/";

/** Growing is costly and a sheet is mostly written row by row, so it grows by more than one. */
const ROWS_AT_ONCE = 100;
const COLUMNS_AT_ONCE = 5;

export interface CellReading {
  value: CellValue;
  raw: unknown;
  text: string;
  isError: boolean;
  message: string | undefined;
}

/** One open workbook: the spreadsheet's model with the few operations the object model is made of. */
export class Book extends DrivenModel {
  makers: ObjectMakers | undefined;
  private readonly written = new WrittenFormulas();
  private readonly names = namesIn(this);

  get objects(): ObjectMakers {
    if (!this.makers) throw new Error("The workbook object has not been made yet.");
    return this.makers;
  }

  /** Refuses what protection forbids. */
  override run(type: string, payload: object = {}): void {
    checkProtection(this, type, payload);
    this.force(type, payload);
  }

  // Sheets

  sheetExists(sheetId: string): boolean {
    return this.getters.tryGetSheet(sheetId) !== undefined;
  }

  checkSheet(sheetId: string): void {
    if (!this.sheetExists(sheetId)) throw itemNotFound("the worksheet has been deleted");
  }

  sheetName(sheetId: string): string {
    this.checkSheet(sheetId);
    return this.getters.getSheetName(sheetId);
  }

  /** Finds a sheet by its name in any case, or by its id. */
  findSheet(key: string): string | null {
    const ids = this.getters.getSheetIds();
    const wanted = key.toLowerCase();
    return (
      ids.find((id) => this.getters.getSheetName(id).toLowerCase() === wanted) ??
      ids.find((id) => id === key) ??
      null
    );
  }

  sheet(key: string): string {
    const id = this.findSheet(key);
    if (id === null) throw itemNotFound(`there is no worksheet "${key}"`);
    return id;
  }

  sheetZone(sheetId: string): Zone {
    this.checkSheet(sheetId);
    return this.getters.getSheetZone(sheetId);
  }

  /** The part of a zone that the sheet has cells for at present. */
  present(area: Area): Zone | null {
    return intersection(area.zone, this.sheetZone(area.sheetId));
  }

  /** Lets the sheet grow until it holds the zone. */
  makeRoom({ sheetId, zone }: Area): void {
    const present = this.sheetZone(sheetId);
    this.grow(sheetId, "ROW", present.bottom, Math.min(zone.bottom, MAX_ROWS - 1), ROWS_AT_ONCE);
    this.grow(sheetId, "COL", present.right, Math.min(zone.right, MAX_COLUMNS - 1), COLUMNS_AT_ONCE);
  }

  private grow(
    sheetId: string,
    dimension: "ROW" | "COL",
    last: number,
    wanted: number,
    atOnce: number,
  ): void {
    if (wanted <= last) return;
    const sheetName = this.sheetName(sheetId);
    const quantity = Math.ceil((wanted - last) / atOnce) * atOnce;
    this.force("ADD_COLUMNS_ROWS", {
      sheetId,
      sheetName,
      dimension,
      base: last,
      quantity,
      position: "after",
    });
  }

  // Addresses

  address({ sheetId, zone }: Area): string {
    return `${quotedSheetName(this.sheetName(sheetId))}!${zoneName(zone)}`;
  }

  /** Reads an address or a name, seen from a sheet. */
  area(address: string, fromSheet: string): Area {
    const { sheetName, local } = splitAddress(address);
    const zone = parseZone(local);
    if (zone) return { sheetId: sheetName === null ? fromSheet : this.sheet(sheetName), zone };
    const home = sheetName === null ? fromSheet : this.sheet(sheetName);
    const named = this.getters.getNamedRange(nameOn(this.names.all(), local, home)?.inner ?? "");
    if (named) return { sheetId: named.range.sheetId, zone: named.range.zone };
    throw invalidArgument(`"${address}" is neither an address nor a name`);
  }

  // Cells

  read(position: Position): CellReading {
    this.settle();
    const cell = this.getters.getEvaluatedCell(position);
    const message = "message" in cell ? cell.message : undefined;
    const isError =
      String(cell.type) === "error" && (message !== undefined || this.isTypedError(cell, position));
    const text = this.textAsTyped(position);
    if (text !== null) return { raw: text, value: text, text, isError: false, message };
    const value = outward(cell.value, isError);
    return { raw: cell.value, value, text: isError ? String(value) : cell.formattedValue, isError, message };
  }

  /**
   * The spreadsheet takes any text that reads like an error for one. An error that came about says why; one without
   * a reason is real where it was typed as a constant, be it in the cell that this one refers to.
   */
  private isTypedError(cell: object, position: Position): boolean {
    const from = "origin" in cell ? (cell.origin as Position) : position;
    return this.getters.getCell(from)?.isFormula === false && this.textAsTyped(from) === null;
  }

  /** Text typed after an apostrophe, which a cell formatted as text would show with it. */
  private textAsTyped(position: Position): string | null {
    const cell = this.getters.getCell(position);
    if (!cell || cell.isFormula) return null;
    if (cell.format === TEXT_FORMAT) return cell.content === "" ? null : withoutMark(cell.content);
    return cell.content.startsWith("'") ? cell.content.slice(1) : null;
  }

  /** The formula of a cell as it was written, or null. */
  formula(position: Position): string | null {
    const cell = this.getters.getCell(position);
    if (!cell?.isFormula) return null;
    const written = this.written.asWritten(cell.id, cell.compiledFormula.toFormulaString(this.getters));
    return withShownNames(written, position.sheetId, this.names);
  }

  numberFormat(position: Position): string {
    this.settle();
    // The cell's own comes first: one that waits for an answer shows an error, and an error has no format.
    const own = this.getters.getCell(position)?.format;
    return this.writtenFormat(own ?? this.getters.getEvaluatedCell(position).format ?? "");
  }

  writtenFormat(format: string): string {
    return format ? ((this.kept(FORMAT + format) as string | undefined) ?? format) : "General";
  }

  style(position: Position): Style {
    return this.getters.getCellStyle(position);
  }

  write(position: Position, value: unknown): void {
    const content = typed(value, this.getters.getCell(position)?.format);
    this.type(position, content);
    const cell = this.getters.getCell(position);
    if (!cell?.isFormula) return;
    if (cell.compiledFormula.isBadExpression && !this.isReadable(position)) {
      throw invalidArgument(`the spreadsheet cannot read the formula ${content}`);
    }
    // A name is read as it is called by then, on the sheet that is called so by then.
    if (withInnerNames(content, position.sheetId, this.names) !== content) return;
    this.written.remember(cell.id, content, cell.compiledFormula.toFormulaString(this.getters));
  }

  /** Types into a cell as a user does. */
  type(position: Position, content: string): void {
    if (this.harshness.limits) checkLimits(content);
    const inward = (formula: string) =>
      withInnerNames(spreadsheetSpelling(formula), position.sheetId, this.names);
    this.run("UPDATE_CELL", { ...position, content: content.startsWith("=") ? inward(content) : content });
  }

  /** A call of a function that is not there reads well and is an error of another kind. */
  private isReadable(position: Position): boolean {
    this.settle();
    return String(this.getters.getEvaluatedCell(position).value) !== "#BAD_EXPR";
  }

  setStyle(area: Area, style: object): void {
    const zone = this.roomFor(area);
    this.run("SET_FORMATTING", { sheetId: area.sheetId, target: [zone], style });
  }

  setFormat(position: Position, format: string): void {
    this.run("UPDATE_CELL", { ...position, format: this.knownFormat(format) });
  }

  setFormats(area: Area, format: string): void {
    const target = [this.roomFor(area)];
    this.run("SET_FORMATTING", { sheetId: area.sheetId, target, format: this.knownFormat(format) });
  }

  /** The spreadsheet's spelling of a number format; the written one is kept and answered. */
  private knownFormat(written: string): string {
    const format = drawnFormat(written);
    try {
      this.library.helpers.formatValue(1234.5, { format, locale: this.getters.getLocale() });
    } catch {
      throw invalidArgument(`this spreadsheet does not know the number format ${written}`);
    }
    if (format && format !== written) this.keep(FORMAT + format, written);
    return format;
  }

  clearContents({ sheetId, zone }: Area): void {
    for (const cell of this.getters.getCells(sheetId)) {
      const { col, row } = this.getters.getCellPosition(cell.id);
      const inside = col >= zone.left && col <= zone.right && row >= zone.top && row <= zone.bottom;
      if (inside && (cell.isFormula || cell.content)) {
        this.run("UPDATE_CELL", { sheetId, col, row, content: "" });
      }
    }
  }

  /** Positions of all cells with a value, spilled ones included. */
  filledPositions(sheetId: string): Position[] {
    this.settle();
    return this.getters
      .getEvaluatedCellsPositions(sheetId)
      .filter(
        (at) => this.getters.getCell(at)?.isFormula || this.getters.getEvaluatedCell(at).value !== null,
      );
  }

  /** The zone a cell's formula spills over, itself included; null where it does not spill. */
  spill(position: Position): Zone | null {
    this.settle();
    if (!this.getters.getCell(position)?.isFormula) return null;
    return this.getters.getSpreadZone(position) ?? null;
  }

  /** Some commands act on the active sheet only: makes a sheet active for as long as the work takes. */
  onSheet(sheetId: string, work: () => void): void {
    const active = this.getters.getActiveSheetId();
    if (active === sheetId) return work();
    this.activate(sheetId);
    work();
    this.activate(active);
  }

  /** Whole columns and rows act on the cells there are; any other zone makes the sheet grow. */
  roomFor(area: Area): Zone {
    if (!isUnbounded(area.zone)) this.makeRoom(area);
    const present = this.present(area);
    if (!present) throw invalidArgument(`${this.address(area)} lies outside the sheet`);
    return present;
  }

  select(area: Area): void {
    const zone = this.roomFor(area);
    if (this.getters.getActiveSheetId() !== area.sheetId) this.activate(area.sheetId);
    this.model.selection.selectZone({ cell: { col: zone.left, row: zone.top }, zone });
  }

  activate(sheetId: string): void {
    this.run("ACTIVATE_SHEET", {
      sheetIdFrom: this.getters.getActiveSheetId(),
      sheetIdTo: sheetId,
    });
  }

  selected(): Area {
    const zone = this.getters.getSelectedZone();
    return { sheetId: this.getters.getActiveSheetId(), zone: this.outwardZone(zone) };
  }

  /** A zone that fills the sheet's present height or width by selection of headers is a whole column or row. */
  private outwardZone(zone: Zone): Zone {
    const unbounded = this.getters.getSelectecUnboundedZone();
    return checkedZone({
      ...zone,
      bottom: unbounded.bottom === undefined ? MAX_ROWS - 1 : zone.bottom,
      right: unbounded.right === undefined ? MAX_COLUMNS - 1 : zone.right,
    });
  }

  newId(prefix: string): string {
    return `${prefix}${this.model.uuidGenerator.smallUuid()}`;
  }
}
