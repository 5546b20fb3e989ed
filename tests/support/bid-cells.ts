/**
 * The cells of a bid by what its sheets are declared to hold: a test says which sheet, part, column and row it means, and
 * not where that stands. They are looked up by their names each time, so that they are found wherever they were moved to.
 */
import { cellName, parseZone } from "../../src/workbench/host/area";
import type { Workbench } from "../../src/workbench/node";
import type { FigureId, Figures } from "../../src/workbook/bid/declare/figures";
import type { ColumnId, Table } from "../../src/workbook/bid/declare/table";
import { partName } from "../../src/workbook/bid/declare/table";
import type { BidSheet } from "../../src/workbook/bid/bid-sheets";
import { markIn } from "../../src/workbook/bid/parts-by-name";
import { outlines, pointsName } from "../../src/workbook/bid/sheets/outlines";
import { propertyName } from "../../src/workbook/bid/sheets/zones";

/** An entry of a table, counted from 0; a row that the table always has; or the entry that is called so. */
export type Row = number | string;

export interface Cell {
  readonly sheet: string;
  readonly address: string;
}

type CellValue = ReturnType<Workbench["value"]>;

/** So many columns to the right of a figure a note is looked for. */
const furthestNote = 5;

/** A cell of a bid, before it is known of which. */
export type Which = (bid: BidCells) => Cell;

/** The cell so many columns to the right of another and so many rows below it, for what has no name of its own. */
export function offset(
  { sheet, address }: Cell,
  { right = 0, down = 0 }: { readonly right?: number; readonly down?: number },
): Cell {
  const zone = parseZone(address);
  if (zone === null) throw new Error(`"${address}" is no cell.`);
  return { sheet, address: cellName(zone.left + right, zone.top + down) };
}

export class BidCells {
  constructor(
    private readonly bench: Workbench,
    /** What the bid's Site is called; without it the first bid of the workbook is meant. */
    private readonly site?: string,
  ) {}

  sheet(which: BidSheet): string {
    const found = this.bench
      .sheetNames()
      .find((sheet) =>
        this.bench
          .namesOf(sheet)
          .some(
            ({ name, cells }) =>
              markIn(name)?.which === which && (this.site === undefined || cells?.sheet === this.site),
          ),
      );
    if (found === undefined) throw new Error(`There is no sheet ${which} of a bid.`);
    return found;
  }

  at<F extends Figures>(figures: F, id: FigureId<F>): Cell;
  at<T extends Table>(table: T, id: ColumnId<T>, row: Row): Cell;
  at(part: Table | Figures, id: string, row?: Row): Cell {
    const sheet = this.sheet(part.sheet);
    const { top, left } = this.block(sheet, partName(part.id, id));
    if (!("columns" in part)) return { sheet, address: cellName(left, top) };
    if (row === undefined) throw new Error(`${part.id} is a table: say which row.`);
    if (part.across !== undefined)
      return { sheet, address: cellName(left + 1 + Number(row) * part.across, top) };
    return { sheet, address: cellName(left, this.rowOf(part, row)) };
  }

  value<F extends Figures>(figures: F, id: FigureId<F>): CellValue;
  value<T extends Table>(table: T, id: ColumnId<T>, row: Row): CellValue;
  value(part: Table & Figures, id: never, row?: Row): CellValue {
    const { sheet, address } = this.at(part, id, row as Row);
    return this.bench.value(sheet, address);
  }

  number<F extends Figures>(figures: F, id: FigureId<F>): number;
  number<T extends Table>(table: T, id: ColumnId<T>, row: Row): number;
  number(part: Table & Figures, id: never, row?: Row): number {
    return Number(this.value(part, id, row as Row));
  }

  /** The text a cell shows. */
  text<F extends Figures>(figures: F, id: FigureId<F>): string;
  text<T extends Table>(table: T, id: ColumnId<T>, row: Row): string;
  text(part: Table & Figures, id: never, row?: Row): string {
    const { sheet, address } = this.at(part, id, row as Row);
    return this.bench.text(sheet, address);
  }

  formula<F extends Figures>(figures: F, id: FigureId<F>): string | null;
  formula<T extends Table>(table: T, id: ColumnId<T>, row: Row): string | null;
  formula(part: Table & Figures, id: never, row?: Row): string | null {
    const { sheet, address } = this.at(part, id, row as Row);
    return this.bench.formula(sheet, address);
  }

  /** Types into a figure, as a user does. */
  set<F extends Figures>(figures: F, id: FigureId<F>, content: string): void {
    const { sheet, address } = this.at(figures, id);
    this.bench.setCell(sheet, address, content);
  }

  /** Types into cells of one row. */
  fill<T extends Table>(table: T, row: Row, contents: Readonly<Partial<Record<ColumnId<T>, string>>>): void {
    const cells = (Object.entries(contents) as [ColumnId<T>, string][]).map(
      ([id, content]) => [this.at(table, id, row).address, content] as const,
    );
    this.bench.setCells(this.sheet(table.sheet), Object.fromEntries(cells));
  }

  /** The cell of the label of a figure: what stands next to the left of it. */
  label<F extends Figures>(figures: F, id: FigureId<F>): Cell {
    const sheet = this.sheet(figures.sheet);
    const { top, left } = this.block(sheet, partName(figures.id, id));
    for (let column = left - 1; column >= 0; column--)
      if (this.bench.value(sheet, cellName(column, top)) !== "")
        return { sheet, address: cellName(column, top) };
    throw new Error(`${figures.id} ${id} has no label.`);
  }

  /** The cell of what is said beside a figure: in the column where a note stands that is declared. */
  note<F extends Figures>(figures: F, id: FigureId<F>): Cell {
    const sheet = this.sheet(figures.sheet);
    const row = (of: string) => this.block(sheet, partName(figures.id, of));
    for (const [other, { note }] of Object.entries(figures.figures)) {
      const { top, left } = row(other);
      for (let column = left + 1; note !== undefined && column <= left + furthestNote; column++)
        if (this.bench.value(sheet, cellName(column, top)) === note)
          return { sheet, address: cellName(column, row(id).top) };
    }
    throw new Error(`Nothing is said beside the figures of ${figures.id}.`);
  }

  /** The cell that the property is named in. */
  property(): Cell {
    const sheet = this.sheet("site");
    const { top, left } = this.block(sheet, propertyName);
    return { sheet, address: cellName(left, top) };
  }

  /** The cell of the n-th point of an outline, both counted from 0: its x or its y. */
  point(outline: number, n: number, which: "x" | "y" = "x"): Cell {
    const sheet = this.sheet("outlines");
    const { top, left } = this.block(sheet, pointsName);
    const column = left + 1 + outline * (outlines.across ?? 1) + (which === "y" ? 1 : 0);
    return { sheet, address: cellName(column, top + 1 + n) };
  }

  private rowOf(table: Table, row: Row): number {
    const sheet = this.sheet(table.sheet);
    if (typeof row === "string" && table.rows.includes(row))
      return this.block(sheet, partName(table.id, row)).top;
    const [called = ""] = Object.entries(table.columns).find(([, { holds }]) => holds === "text") ?? [];
    const { top, left, bottom } = this.block(sheet, partName(table.id, called));
    if (typeof row === "number") return top + 1 + row;
    for (let at = top + 1; at <= bottom; at++)
      if (this.bench.value(sheet, cellName(left, at)) === row) return at;
    throw new Error(`${table.id} of ${sheet} has no "${row}".`);
  }

  private block(sheet: string, wanted: string) {
    const found = this.bench.namesOf(sheet).find(({ name }) => name === wanted)?.cells;
    if (found === undefined) throw new Error(`${sheet} has no cells by the name ${wanted}.`);
    return found.zone;
  }
}
