/** Reads the parts of a bid as typed values, each with the cell it stands in; what is missing is said, never taken for 0. */
import type { UnitSystem } from "../../engine/units";
import type { Block, Range, RequestContext } from "../host";
import { cellAddress, isErrorAt, loadCalculated, WorkbookTrouble } from "../host";
import type { Declared, Held } from "./declare/declared";
import { namedIn } from "./declare/declared";
import type { FigureId, Figures } from "./declare/figures";
import type { ColumnId, Table } from "./declare/table";
import { partName } from "./declare/table";
import type { FoundBid, FoundSheet } from "./find-bids";
import { sheetOf } from "./find-bids";
import type { BidSheet } from "./bid-sheets";
import { bidSheets, sheetOfBid } from "./bid-sheets";

export type Grid = readonly (readonly unknown[])[];

/** Where a part of a bid was looked for and not found. */
export class MissingPart extends WorkbookTrouble {}

export const textIn = (value: unknown): string =>
  typeof value === "string"
    ? value.replaceAll("\u00a0", " ").trim()
    : typeof value === "number"
      ? String(value)
      : "";

const numberIn = (value: unknown): number | undefined =>
  typeof value === "number" && Number.isFinite(value) ? value : undefined;

/** What stands for the value of a cell that shows an error. */
class ShownError {
  constructor(readonly name: string) {}
}

/** The values of a range, a text that reads like an error told from one. */
const withErrors = (range: Range): Grid =>
  (range.values as unknown[][]).map((row, i) =>
    row.map((value, j) =>
      typeof value === "string" && isErrorAt(range, i, j) ? new ShownError(value) : value,
    ),
  );

export interface PlaceOfCell {
  readonly sheet: string;
  readonly address: string;
}

/** One entry of a table. */
export class ReadRow<T extends Table> {
  constructor(
    private readonly bid: ReadBid,
    private readonly table: T,
    private readonly cellOf: (id: string) => readonly [row: number, column: number],
  ) {}

  get<Id extends ColumnId<T>>(id: Id): Held<T["columns"][Id]> {
    const [row, column] = this.cellOf(id);
    const value = this.bid.value(this.table.sheet, row, column);
    const held = this.table.columns[id]?.holds === "text" ? textIn(value) : numberIn(value);
    return held as Held<T["columns"][Id]>;
  }

  /** What the cell holds, whatever that is. */
  raw(id: ColumnId<T>): unknown {
    return this.bid.value(this.table.sheet, ...this.cellOf(id));
  }

  place(id: ColumnId<T>): PlaceOfCell {
    const [row, column] = this.cellOf(id);
    return { sheet: this.bid.sheet(this.table.sheet).name, address: cellAddress(row, column) };
  }
}

export class ReadBid {
  private readonly sheets: ReadonlyMap<BidSheet, FoundSheet>;

  constructor(
    readonly found: FoundBid,
    private readonly grids: ReadonlyMap<string, Grid>,
    active?: string,
  ) {
    const all = bidSheets.flatMap((which) => {
      const sheet = sheetOf(found, which, active);
      return sheet === undefined ? [] : [[which, sheet] as const];
    });
    this.sheets = new Map(all);
  }

  get system(): UnitSystem {
    return this.found.system;
  }

  has(which: BidSheet): boolean {
    return this.sheets.has(which);
  }

  sheet(which: BidSheet): FoundSheet {
    const sheet = this.sheets.get(which);
    if (sheet === undefined)
      throw new MissingPart(
        `The bid of ${this.found.site} has no sheet ${sheetOfBid(which).name} any more: undo its deletion, or write a new bid.`,
      );
    return sheet;
  }

  /** What stands in a cell, rows and columns counted from 0; an error is no figure that anything could rest on. */
  value(which: BidSheet, row: number, column: number): unknown {
    const { name } = this.sheet(which);
    const value = this.grids.get(name)?.[row]?.[column];
    if (value instanceof ShownError)
      throw new MissingPart(`${name}!${cellAddress(row, column)} shows ${value.name}: put that right first.`);
    return value;
  }

  /** The cells of a name of a sheet. */
  block(which: BidSheet, name: string, shown: string): Block {
    const sheet = this.sheet(which);
    const block = sheet.parts.get(name.toLowerCase());
    if (block === undefined)
      throw new MissingPart(
        `${sheet.name} no longer has its cells for “${shown}”, by the name ${name}: undo what took them away, or write a new bid.`,
      );
    return block;
  }

  /** The entries of a table, as many as there are rows between its heads and its last line. */
  rows<T extends Table>(table: T): readonly ReadRow<T>[] {
    const ids = Object.keys(table.columns);
    const first = ids[0] ?? "";
    const block = this.column(table, first);
    if (table.across !== undefined) {
      const each = table.across;
      const count = Math.floor((block.right - block.left) / each);
      return Array.from(
        { length: count },
        (_, i) => new ReadRow(this, table, (id) => [this.column(table, id).top, block.left + 1 + i * each]),
      );
    }
    const last = table.isOpen ? block.bottom - 1 : block.bottom;
    return Array.from(
      { length: Math.max(0, last - block.top) },
      (_, i) => new ReadRow(this, table, (id) => [block.top + 1 + i, this.column(table, id).left]),
    );
  }

  /** Whether one of the rows that a table always has is still there. */
  hasRow(table: Table, row: string): boolean {
    return this.sheet(table.sheet).parts.get(partName(table.id, row).toLowerCase()) !== undefined;
  }

  /** One of the rows that a table always has. */
  row<T extends Table>(table: T, row: string): ReadRow<T> {
    const { top } = this.block(table.sheet, partName(table.id, row), row);
    return new ReadRow(this, table, (id) => [top, this.column(table, id).left]);
  }

  figure<T extends Figures, Id extends FigureId<T>>(figures: T, id: Id): Held<T["figures"][Id]> {
    const declared = figures.figures[id] as Declared;
    const { top, left } = this.block(figures.sheet, partName(figures.id, id), this.shown(declared));
    const value = this.value(figures.sheet, top, left);
    return (declared.holds === "text" ? textIn(value) : numberIn(value)) as Held<T["figures"][Id]>;
  }

  private column(table: Table, id: string): Block {
    const declared = table.columns[id];
    return this.block(
      table.sheet,
      partName(table.id, id),
      declared === undefined ? id : this.shown(declared),
    );
  }

  private shown(declared: Declared): string {
    return namedIn(declared, this.system).name;
  }
}

/** Reads what the sheets of a bid show, once it is calculated. */
export async function readFound(
  context: RequestContext,
  found: FoundBid,
  which: readonly BidSheet[],
  active?: string,
): Promise<ReadBid> {
  const asked = which.flatMap((one) => {
    const sheet = sheetOf(found, one, active);
    if (sheet === undefined) return [];
    const worksheet = context.workbook.worksheets.getItem(sheet.name);
    const range = worksheet.getRange("A1").getBoundingRect(worksheet.getUsedRange(true));
    return [{ name: sheet.name, range }];
  });
  const typed = await loadCalculated(
    context,
    asked.map(({ range }) => range),
  );
  const grids = new Map(
    asked.map(({ name, range }) => [name, typed.has(range) ? withErrors(range) : range.values] as const),
  );
  return new ReadBid(found, grids, active);
}
