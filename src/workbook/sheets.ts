/** The sheets of the workbook with what they hold, read in as few batches as the host allows. */
import type { Scalar } from "./evaluate";
import type { Block } from "./reference";
import { blockOf, cellAddress } from "./reference";
import { localAddress } from "./selection";

export interface CellContent {
  /** As typed: a formula begins with "=", a value is its text. */
  readonly formula: string;
  readonly value: Scalar;
}

export interface SheetCells {
  readonly name: string;
  /** Where the used range begins. */
  readonly top: number;
  readonly left: number;
  /** Columns in use. Rows may be shorter, and some may be missing. */
  readonly width: number;
  readonly rows: readonly (readonly CellContent[])[];
}

const empty: CellContent = { formula: "", value: null };

/** The very hidden sheet that keeps what a hand-over replaced; never read as one of the estimator's. */
export const originalsSheetName = "Swardsheet originals";

export const isOurOwn = (name: string): boolean => name.startsWith(originalsSheetName);

export async function readSheets(context: Excel.RequestContext): Promise<readonly SheetCells[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name");
  await context.sync();
  const wanted = worksheets.items.filter(({ name }) => !isOurOwn(name));
  const used = wanted.map((sheet) => {
    const range = sheet.getUsedRangeOrNullObject(true);
    range.load("address,formulas,values");
    return { name: sheet.name, range };
  });
  await context.sync();
  return used.map(({ name, range }) => {
    if (range.isNullObject) return { name, top: 0, left: 0, width: 0, rows: [] };
    const block = blockOf(localAddress(range.address));
    const values = range.values as Scalar[][];
    const formulas = range.formulas as (string | number | boolean | null)[][];
    const rows = formulas.map((row, i) =>
      row.map((formula, j) => ({ formula: String(formula ?? ""), value: values[i]?.[j] ?? null })),
    );
    return { name, top: block?.top ?? 0, left: block?.left ?? 0, width: rows[0]?.length ?? 0, rows };
  });
}

export interface FilledCell extends CellContent {
  readonly row: number;
  readonly column: number;
  readonly address: string;
}

export type FormulaCell = FilledCell;

const cellsWhere = (
  { top, left, rows }: SheetCells,
  wanted: (cell: CellContent) => boolean,
): readonly FilledCell[] =>
  rows.flatMap((cells, i) =>
    cells.flatMap((cell, j) =>
      wanted(cell)
        ? [{ ...cell, row: top + i, column: left + j, address: cellAddress(top + i, left + j) }]
        : [],
    ),
  );

/** Every cell of a sheet that holds something. */
export const filledCells = (sheet: SheetCells): readonly FilledCell[] =>
  cellsWhere(sheet, ({ formula }) => formula !== "");

/** Every cell of a sheet that holds a formula. */
export const formulaCells = (sheet: SheetCells): readonly FormulaCell[] =>
  cellsWhere(sheet, ({ formula }) => formula.startsWith("="));

/** The cells of a block, what lies outside the used range left out beyond its end. */
export function cellsOf(
  { top, left, width, rows }: SheetCells,
  block: Block,
): readonly (readonly CellContent[])[] {
  const bottom = Math.max(block.top, Math.min(block.bottom, top + rows.length - 1));
  const right = Math.max(block.left, Math.min(block.right, left + width - 1));
  return Array.from({ length: bottom - block.top + 1 }, (_, i) =>
    Array.from(
      { length: right - block.left + 1 },
      (_, j) => rows[block.top - top + i]?.[block.left - left + j] ?? empty,
    ),
  );
}
