/** The sheets of the workbook with what they hold, read in as few batches as the host allows. */
import { asCalculated } from "./calculated";
import type { Scalar } from "./evaluate";
import type { Progress } from "./progress";
import type { Block } from "./reference";
import { blockOf, cellAddress } from "./reference";
import { localAddress } from "./selection";

export interface CellContent {
  /** As typed: a formula begins with "=", and so may a text that a person typed; a value is its text. */
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

/** A cell that holds nothing. */
export const emptyCell: CellContent = { formula: "", value: null };

/** The very hidden sheet that keeps what a hand-over replaced; never read as one of the estimator's. */
export const originalsSheetName = "Swardsheet originals";

export const isOurOwn = (name: string): boolean => name.startsWith(originalsSheetName);

/** Whether a cell holds a formula; a text that looks like one, typed after an apostrophe, shows itself. */
export const isFormula = ({ formula, value }: CellContent): boolean =>
  formula.startsWith("=") && formula !== value;

/** Every sheet as it is at the moment, calculated or not: for what asks for formulas alone. */
export async function readSheets(context: Excel.RequestContext): Promise<readonly SheetCells[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name");
  await context.sync();
  const wanted = worksheets.items.filter(({ name }) => !isOurOwn(name));
  const used = wanted.map((sheet) => {
    const range = sheet.getUsedRangeOrNullObject(true);
    range.load("address");
    return { name: sheet.name, sheet, range };
  });
  await context.sync();
  const blocks = new Blocks(context);
  const sheets: SheetCells[] = [];
  for (const { name, sheet, range } of used) {
    const block = range.isNullObject ? undefined : blockOf(localAddress(range.address));
    if (block === undefined) sheets.push({ name, top: 0, left: 0, width: 0, rows: [] });
    else {
      const { top, left, right } = block;
      sheets.push({ name, top, left, width: right - left + 1, rows: await blocks.read(sheet, block) });
    }
  }
  return sheets;
}

/** Every sheet with the values that it has once it is calculated. */
export const readCalculatedSheets = (
  context: Excel.RequestContext,
  progress?: Progress,
): Promise<readonly SheetCells[]> => asCalculated(context, () => readSheets(context), everyValue, progress);

function* everyValue(sheets: readonly SheetCells[]): Generator<Scalar> {
  for (const { rows } of sheets) for (const row of rows) for (const { value } of row) yield value;
}

/** The cells asked for first, before it is known how long they are. */
const firstCells = 4000;
/** An answer may hold 5 MB: it is asked for so that it stays well below, in characters. */
const wantedAnswer = 1_500_000;
/** What the host writes around each cell's content. */
const aroundContent = 8;

/** Reads blocks of cells in answers that every host passes on. */
class Blocks {
  private cellsAtOnce = firstCells;

  constructor(private readonly context: Excel.RequestContext) {}

  async read(sheet: Excel.Worksheet, { top, left, bottom, right }: Block): Promise<CellContent[][]> {
    const width = right - left + 1;
    const rows: CellContent[][] = [];
    for (let from = top; from <= bottom;) {
      const count = Math.min(bottom - from + 1, Math.max(1, Math.floor(this.cellsAtOnce / width)));
      const range = sheet.getRangeByIndexes(from, left, count, width);
      range.load("formulas,values");
      await this.context.sync();
      const read = contentsOf(range);
      this.learn(read);
      rows.push(...read);
      from += count;
    }
    return rows;
  }

  /** The next answer is as large as is wanted, should its cells be as long as these. */
  private learn(rows: readonly (readonly CellContent[])[]): void {
    let cells = 0;
    let length = 0;
    for (const row of rows) {
      for (const { formula, value } of row) length += formula.length + String(value).length + aroundContent;
      cells += row.length;
    }
    if (cells > 0) this.cellsAtOnce = Math.ceil((wantedAnswer * cells) / length);
  }
}

/** What the cells of a range hold, its formulas and values loaded. */
export function contentsOf(range: Excel.Range): CellContent[][] {
  const values = range.values as Scalar[][];
  const formulas = range.formulas as (string | number | boolean | null)[][];
  return formulas.map((row, i) =>
    row.map((formula, j) => ({ formula: String(formula ?? ""), value: values[i]?.[j] ?? null })),
  );
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
export const formulaCells = (sheet: SheetCells): readonly FormulaCell[] => cellsWhere(sheet, isFormula);

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
      (_, j) => rows[block.top - top + i]?.[block.left - left + j] ?? emptyCell,
    ),
  );
}
