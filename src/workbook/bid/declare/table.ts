/** A table of a bid: declared columns under a row of heads, laid out on a sheet and known there by names. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import { headOf } from "../entry";
import type { BidSheet } from "../bid-sheets";
import type { Kit } from "../kit";
import type { CellOptions, CellRole, SheetPlan } from "../plan";
import { blockHere, fixedHere, here } from "../plan";
import type { Declared } from "./declared";
import { entryOf, formOf, nameOfId, namedIn } from "./declared";

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
  /** Set where it lies on its side: its heads stand below one another, and an entry takes so many columns. */
  readonly across?: number;
  /** Columns left empty before one of them, so that it stands under those of other tables. */
  readonly gap?: {
    readonly before: string;
    readonly columns: number;
    /** Set where no head runs over them. */
    readonly isBare?: true;
  };
}

export type ColumnId<T extends Table> = Extract<keyof T["columns"], string>;

export const table = <const C extends Readonly<Record<string, Declared>>>(
  declaration: Pick<Table<C>, "id" | "sheet" | "columns"> &
    Partial<Pick<Table<C>, "isOpen" | "rows" | "gap" | "across">>,
): Table<C> => ({ isOpen: false, rows: [], ...declaration });

/** The name in the workbook of a column or a row of a table. */
export const partName = (part: string, id: string): string => `${nameOfId(part)}_${nameOfId(id)}`;

/** A table on the sheet that it is planned on, rows and columns counted from 1. */
export class PlacedTable<T extends Table> {
  private readonly columns = new Map<string, number>();

  constructor(
    private readonly kit: Kit,
    readonly plan: SheetPlan,
    readonly table: T,
    /** The row of the heads, and the first column. */
    readonly head: number,
    private readonly left = 1,
  ) {
    let column = left;
    for (const id of Object.keys(table.columns)) {
      if (table.gap?.before === id) column += table.gap.columns;
      this.columns.set(id, column++);
    }
  }

  column(id: ColumnId<T>): number {
    const at = this.columns.get(id);
    if (at === undefined) throw new Error(`${this.table.id} has no column ${id}`);
    return at;
  }

  /** The last column. */
  get right(): number {
    return Math.max(...this.columns.values());
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
    for (let column = this.left; column < this.right && this.table.gap?.isBare !== true; column++)
      this.plan.put(this.head, column, "", "column", options);
    for (const [id, declared] of Object.entries(this.table.columns)) {
      const head = headOf(namedIn(declared, this.kit.system));
      if (head !== "") this.put(id as ColumnId<T>, this.head, head, "column", options);
    }
  }

  /** The line that closes a table, above which further rows are put in. */
  close(row: number, sentence: string, rowOf?: (id: string) => number): void {
    this.plan.put(row, this.left, sentence, "closing");
    for (let column = this.left + 1; column <= this.right; column++)
      this.plan.put(row, column, "", "closing");
    this.known(row, rowOf);
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
    const form = formOf(declared, this.kit.system);
    return this.plan.input(row, this.column(id), content, {
      ...(form === undefined ? {} : { form }),
      ...(entry === undefined ? {} : { entry }),
      ...options,
    });
  }

  /** A cell that is worked out, in the form of its column. */
  result(id: ColumnId<T>, row: number, formula: string, options: CellOptions = {}): string {
    const form = formOf(this.declared(id), this.kit.system) ?? "general";
    return this.plan.result(row, this.column(id), formula, form, options);
  }

  put(id: ColumnId<T>, row: number, content: Content, role: CellRole, options: CellOptions = {}): string {
    const { align } = this.declared(id);
    const looks = align === undefined ? options : { align, ...options };
    return this.plan.put(row, this.column(id), content, role, looks);
  }

  formula(id: ColumnId<T>, row: number, formula: string, role: CellRole, options: CellOptions = {}): string {
    return this.put(id, row, asFormula(formula), role, options);
  }

  /** Makes the table known by its columns from the heads to its last row, and by its rows of their own. */
  known(last: number, rowOf: (id: string) => number = () => 0): void {
    for (const [id, column] of this.columns)
      this.plan.know(partName(this.table.id, id), this.head, column, last, column);
    for (const id of this.table.rows)
      this.plan.know(partName(this.table.id, id), rowOf(id), this.left, rowOf(id), this.right);
  }

  private declared(id: ColumnId<T>): Declared {
    const found = this.table.columns[id];
    if (found === undefined) throw new Error(`${this.table.id} has no column ${id}`);
    return found;
  }
}
