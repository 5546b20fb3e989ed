/** A sheet of a bid before it is written: what stands in each cell and how it looks. Pure data, so it can be tested. */
import type { Content } from "../host";
import { cellAddress, quotedSheet } from "../host";
import { asFormula } from "../writing";
import type { Entry } from "./entry";
import { isNumber } from "./entry";

/** How a cell looks and what it is for. Inputs are boxed as well as tinted, so that they are told apart in print. */
export type CellRole =
  | "title"
  | "purpose"
  | "legend"
  | "heading"
  | "group"
  | "column"
  | "label"
  | "unit"
  | "note"
  | "text"
  | "input"
  | "tick"
  | "result"
  | "total"
  | "closing"
  | "signature"
  | "caution";

export type NumberForm =
  | "general"
  | "whole"
  | "one decimal"
  | "two decimals"
  | "four decimals"
  | "per cent"
  | "fine per cent"
  | "money"
  | "date"
  /** A number of days as a person says it: "day 10". */
  | "day"
  | "text";

export interface CellOptions {
  readonly form?: NumberForm;
  /** What may be entered; a cell without it takes any text. */
  readonly entry?: Entry;
  /** A text is set in where figures end right before it. */
  readonly align?: "left" | "right" | "centre" | "set in";
}

export interface PlannedCell extends Omit<CellOptions, "form"> {
  readonly row: number;
  readonly column: number;
  readonly content: Content;
  readonly role: CellRole;
  readonly form: NumberForm;
}

/** A stretch of cells in one row that is shown as one. */
export interface Merge {
  readonly row: number;
  readonly left: number;
  readonly right: number;
}

/** The cells that a name stands for, both corners included. */
export interface NamedBlock {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

const lineHeight = 14;

export class SheetPlan {
  private readonly planned = new Map<string, PlannedCell>();
  readonly merges: Merge[] = [];
  /** Heights in points of rows that hold more than a line. */
  readonly heights = new Map<number, number>();
  /** Column widths in characters of the body text. */
  widths: readonly number[] = [];
  frozenRows = 0;
  landscape = false;
  /** Rows repeated on every printed page: the first and the last. */
  titleRows: readonly [number, number] | undefined;
  /** The last row and column that are printed; the rest is for the estimator's eyes only. */
  printed: { readonly rows?: number; readonly columns?: number } = {};
  onePage = false;
  /** What the workbook will know parts of the sheet by, rows and columns counted from 1. */
  readonly names = new Map<string, NamedBlock>();

  constructor(readonly name: string) {}

  /** Puts one cell, rows and columns counted from 1 as the sheet shows them, and answers with its address. */
  put(row: number, column: number, content: Content, role: CellRole, options: CellOptions = {}): string {
    const { form = "general", ...others } = options;
    const address = cellAddress(row - 1, column - 1);
    this.planned.set(address, { row, column, content, role, form, ...others });
    return address;
  }

  /** A text across several columns, with room for so many lines. */
  across(
    row: number,
    [left, right]: readonly [number, number],
    content: Content,
    role: CellRole,
    lines = 1,
  ): void {
    this.put(row, left, content, role, { form: "text" });
    for (let column = left + 1; column <= right; column++) this.put(row, column, "", role);
    this.merges.push({ row, left, right });
    this.heights.set(row, lines * lineHeight + 2);
  }

  /** A cell for the estimator to fill in; answers with its address. */
  input(
    row: number,
    column: number,
    content: string | number | undefined,
    options: CellOptions = {},
  ): string {
    return this.put(row, column, content ?? "", "input", options);
  }

  /** A worked-out cell; answers with its address. */
  result(row: number, column: number, formula: string, form: NumberForm, options: CellOptions = {}): string {
    return this.put(row, column, asFormula(formula), "result", { ...options, form });
  }

  /** Makes cells known by a name: they are found again by it wherever they were moved to, and however they are called. */
  know(name: string, top: number, left: number, bottom = top, right = left): void {
    if (this.names.has(name)) throw new Error(`${this.name} knows two parts as ${name}`);
    this.names.set(name, { top, left, bottom, right });
  }

  /** The heads of a table's columns. */
  columns(row: number, names: readonly string[], from = 1, options: CellOptions = {}): void {
    names.forEach((name, i) => this.put(row, from + i, name, "column", options));
  }

  /** A reference to a cell for formulas on other sheets. It is fixed, since it may stand in rows that are sorted. */
  at(row: number, column: number): string {
    return `${quotedSheet(this.name)}!${fixed(row, column)}`;
  }

  /** A reference to a block of cells for formulas on other sheets, both corners included. */
  block(top: number, left: number, bottom: number, right: number): string {
    return `${quotedSheet(this.name)}!${fixed(top, left)}:${fixed(bottom, right)}`;
  }

  /** Every cell; the head of a column of figures stands above the figures, to the right. */
  get cells(): readonly PlannedCell[] {
    return [...this.planned.values()].map((cell) =>
      cell.role === "column" && cell.align === undefined && this.isFigure(cell.row + 1, cell.column)
        ? { ...cell, align: "right" }
        : cell,
    );
  }

  /** Heights in points of the rows that hold more than a line: those told, and heads as long as they are. */
  get rowHeights(): ReadonlyMap<number, number> {
    const heights = new Map(this.heights);
    for (const { row, column, role, content } of this.planned.values()) {
      if (role !== "column" || typeof content !== "string") continue;
      const height = linesOf(content, this.widths[column - 1] ?? content.length) * lineHeight + 3;
      if (height > (heights.get(row) ?? lineHeight + 3)) heights.set(row, height);
    }
    return heights;
  }

  private isFigure(row: number, column: number): boolean {
    const cell = this.planned.get(cellAddress(row - 1, column - 1));
    if (cell === undefined || cell.align === "left") return false;
    const takesNumber = cell.entry !== undefined && isNumber(cell.entry);
    return cell.role !== "column" && (takesNumber || !["general", "text"].includes(cell.form));
  }

  get size(): { readonly rows: number; readonly columns: number } {
    let [rows, columns] = [0, 0];
    for (const { row, column } of this.planned.values()) {
      rows = Math.max(rows, row);
      columns = Math.max(columns, column);
    }
    return { rows, columns };
  }
}

/** Lines that a bold text takes in a column of so many characters, broken between words. */
function linesOf(text: string, width: number): number {
  let [lines, used] = [1, 0];
  for (const word of text.split(" ")) {
    const added = word.length + (used === 0 ? 0 : 1);
    if (used > 0 && used + added > width * charactersFitting) [lines, used] = [lines + 1, word.length];
    else used += added;
  }
  return lines;
}

/** Widths are counted in broad characters, of which a little more than that fit. */
const charactersFitting = 1.02;

const fixed = (row: number, column: number): string =>
  cellAddress(row - 1, column - 1).replace(/^([A-Z]+)(\d+)$/, "$$$1$$$2");

/** A reference to a cell of the sheet that the formula stands on: it moves along when rows are copied or sorted. */
export const here = (row: number, column: number): string => cellAddress(row - 1, column - 1);

/** A reference that stays where it is, to a cell of the sheet that the formula stands on. */
export const fixedHere = fixed;

/** A block of the sheet that the formula stands on. */
export const blockHere = (top: number, left: number, bottom: number, right: number): string =>
  `${here(top, left)}:${here(bottom, right)}`;
