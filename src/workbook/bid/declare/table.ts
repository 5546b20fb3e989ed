/** A table of a bid: declared columns under a row of heads, laid out on a sheet and known there by names. */
import type { Content } from "../../write-cells";
import { asFormula } from "../../write-cells";
import { headOf } from "../entry";
import type { BidSheet } from "../kit";
import type { Kit } from "../kit";
import type { CellOptions, CellRole, SheetPlan } from "../plan";
import { blockHere, fixedHere, here } from "../plan";
import type { Declared } from "./declared";
import { entryOf, nameOfId, namedIn } from "./declared";

export interface Table<
  Columns extends Readonly<Record<string, Declared>> = Readonly<Record<string, Declared>>,
> {
  /** How the names of its columns begin. */
  readonly id: string;
  readonly sheet: BidSheet;
  readonly columns: Columns;
  /** Whether a line closes it, above which further rows are put in. */
  readonly isOpen: boolean;
  /** Rows that are always there, by the ids they are known by. */
  readonly rows: readonly string[];
}

export type ColumnId<T extends Table> = Extract<keyof T["columns"], string>;

export const table = <const C extends Readonly<Record<string, Declared>>>(
  declaration: Pick<Table<C>, "id" | "sheet" | "columns"> & Partial<Pick<Table<C>, "isOpen" | "rows">>,
): Table<C> => ({ isOpen: false, rows: [], ...declaration });

/** The name in the workbook of a column or a row of a table. */
export const partName = (part: string, id: string): string => `${nameOfId(part)}_${nameOfId(id)}`;

/** A table on the sheet that it is planned on, rows and columns counted from 1. */
export class PlacedTable<T extends Table> {
  private readonly order: readonly string[];

  constructor(
    private readonly kit: Kit,
    readonly plan: SheetPlan,
    readonly table: T,
    /** The row of the heads, and the first column. */
    readonly head: number,
    private readonly left = 1,
  ) {
    this.order = Object.keys(table.columns);
  }

  column(id: ColumnId<T>): number {
    const at = this.order.indexOf(id);
    if (at < 0) throw new Error(`${this.table.id} has no column ${id}`);
    return this.left + at;
  }

  /** The cell of a row, for a formula beside it. */
  at(id: ColumnId<T>, row: number): string {
    return here(row, this.column(id));
  }

  /** The same, held where it is. */
  fixed(id: ColumnId<T>, row: number): string {
    return fixedHere(row, this.column(id));
  }

  /** The cell of a row, for other sheets. */
  cell(id: ColumnId<T>, row: number): string {
    return this.plan.at(row, this.column(id));
  }

  /** A stretch of a column on this sheet, and for other sheets. */
  here(id: ColumnId<T>, from: number, to: number): string {
    return blockHere(from, this.column(id), to, this.column(id));
  }

  range(id: ColumnId<T>, from: number, to: number): string {
    return this.plan.block(from, this.column(id), to, this.column(id));
  }

  heads(options: CellOptions = {}): void {
    const { system } = this.kit;
    const heads = Object.values(this.table.columns).map((column) => headOf(namedIn(column, system)));
    this.plan.columns(this.head, heads, this.left, options);
  }

  /** A cell that the estimator fills in, by what its column takes. */
  input(
    id: ColumnId<T>,
    row: number,
    content: string | number | undefined,
    options: CellOptions = {},
  ): string {
    const declared = this.declared(id);
    const entry = entryOf(declared, this.kit.system);
    return this.plan.input(row, this.column(id), content, {
      ...(declared.form === undefined ? {} : { form: declared.form }),
      ...(entry === undefined ? {} : { entry }),
      ...options,
    });
  }

  /** A cell that is worked out, in the form of its column. */
  result(id: ColumnId<T>, row: number, formula: string, options: CellOptions = {}): string {
    return this.plan.result(row, this.column(id), formula, this.declared(id).form ?? "general", options);
  }

  put(id: ColumnId<T>, row: number, content: Content, role: CellRole, options: CellOptions = {}): string {
    return this.plan.put(row, this.column(id), content, role, options);
  }

  formula(id: ColumnId<T>, row: number, formula: string, role: CellRole, options: CellOptions = {}): string {
    return this.put(id, row, asFormula(formula), role, options);
  }

  /** Makes the table known by its columns from the heads to its last row, and by its rows of their own. */
  known(last: number, rowOf: (id: string) => number = () => 0): void {
    const right = this.left + this.order.length - 1;
    this.order.forEach((id, i) => {
      const column = this.left + i;
      this.plan.know(partName(this.table.id, id), this.head, column, last, column);
    });
    for (const id of this.table.rows)
      this.plan.know(partName(this.table.id, id), rowOf(id), this.left, rowOf(id), right);
  }

  private declared(id: ColumnId<T>): Declared {
    const found = this.table.columns[id];
    if (found === undefined) throw new Error(`${this.table.id} has no column ${id}`);
    return found;
  }
}
