/** A sheet of a bid before it is written: what stands in each cell and how it looks. Pure data, so it can be tested. */
import { cellAddress, qualified } from "../reference";
import type { Parameter } from "../../engine/parameters";

/** How a cell looks and what it is for. Inputs are boxed as well as tinted, so that they are told apart in print. */
export type CellRole =
  | "title"
  | "purpose"
  | "legend"
  | "heading"
  | "column"
  | "label"
  | "unit"
  | "note"
  | "input"
  | "result"
  | "total"
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
  | "text";

export interface PlannedCell {
  readonly row: number;
  readonly column: number;
  readonly content: string | number;
  readonly role: CellRole;
  readonly form: NumberForm;
  /** What may be entered: the limits of the function that reads the cell. */
  readonly limit?: Parameter;
  readonly choices?: readonly string[];
}

export interface CellOptions {
  readonly form?: NumberForm;
  readonly limit?: Parameter;
  readonly choices?: readonly string[];
}

export class SheetPlan {
  private readonly planned = new Map<string, PlannedCell>();
  /** Column widths in characters of the body text. */
  widths: readonly number[] = [];
  frozenRows = 0;
  landscape = false;

  constructor(readonly name: string) {}

  /** Puts one cell, rows and columns counted from 1 as the sheet shows them, and answers with its address. */
  put(
    row: number,
    column: number,
    content: string | number,
    role: CellRole,
    options: CellOptions = {},
  ): string {
    const { form = "general", ...others } = options;
    const address = cellAddress(row - 1, column - 1);
    this.planned.set(address, { row, column, content, role, form, ...others });
    return address;
  }

  /** A reference to a cell of this sheet, for formulas on any sheet. */
  at(row: number, column: number): string {
    return qualified({ sheet: this.name, address: cellAddress(row - 1, column - 1) });
  }

  /** A reference to a block of cells, both corners included. */
  block(top: number, left: number, bottom: number, right: number): string {
    const address = `${cellAddress(top - 1, left - 1)}:${cellAddress(bottom - 1, right - 1)}`;
    return qualified({ sheet: this.name, address });
  }

  get cells(): readonly PlannedCell[] {
    return [...this.planned.values()];
  }

  get size(): { readonly rows: number; readonly columns: number } {
    return {
      rows: Math.max(0, ...this.cells.map(({ row }) => row)),
      columns: Math.max(0, ...this.cells.map(({ column }) => column)),
    };
  }
}
