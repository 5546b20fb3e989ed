/** The sheets of the workbook with what they hold, read in as few batches as the host allows. */
import { columnsIn, isTextLikeError, readBlocks, readingWhat } from "./blocks";
import type { Uncalculated } from "./calculated";
import { asCalculated } from "./calculated";
import type { Scalar } from "./cell-values";
import { readsLikeError } from "./cell-values";
import type { Progress } from "./progress";
import { slices, untold } from "./progress";
import type { Block } from "./reference";
import { blockOf, cellAddress } from "./reference";
import { localAddress } from "./selection";

export interface CellContent {
  /** As typed: a formula begins with "=", and so may a text that a person typed; a value is its text. */
  readonly formula: string;
  readonly value: Scalar;
  /** Set where the value reads like an error and is a text. */
  readonly isText?: true;
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

/** How the names of the sheets begin that keep what is ours, very hidden; never read as the estimator's. */
export const originalsSheetName = "Swardsheet originals";

/** What stands in their first cell. A sheet that is only called like them is the estimator's. */
export const ownMarks = {
  originals: "Swardsheet originals, edition 2",
  setAside: "Swardsheet checks set aside, edition 1",
} as const;

const isCalledLikeOurs = (name: string): boolean => name.startsWith(originalsSheetName);

/** Whether a sheet of such a name is ours, by its first cell. */
export const isOurOwn = (name: string, first: unknown): boolean =>
  isCalledLikeOurs(name) && Object.values<unknown>(ownMarks).includes(first);

/** The sheets of the workbook in their order, ours apart from the estimator's. */
export async function sheetsApart(
  context: Excel.RequestContext,
): Promise<{ readonly own: readonly Excel.Worksheet[]; readonly theirs: readonly Excel.Worksheet[] }> {
  const { worksheets } = context.workbook;
  worksheets.load("items/id,items/name,items/visibility");
  await context.sync();
  const alike = worksheets.items
    .filter(({ name }) => isCalledLikeOurs(name))
    .map((sheet) => ({ sheet, first: sheet.getRange("A1") }));
  for (const { first } of alike) first.load("values");
  if (alike.length > 0) await context.sync();
  const own = alike
    .filter(({ sheet, first }) => isOurOwn(sheet.name, first.values[0]?.[0]))
    .map(({ sheet }) => sheet);
  return { own, theirs: worksheets.items.filter((sheet) => !own.includes(sheet)) };
}

/** Whether a cell holds a formula; a text that looks like one, typed after an apostrophe, shows itself. */
export const isFormula = ({ formula, value }: CellContent): boolean =>
  formula.startsWith("=") && formula !== value;

/** Every sheet as it is at the moment, calculated or not: for what asks for formulas alone. */
export async function readSheets(
  context: Excel.RequestContext,
  progress: Progress = untold,
): Promise<readonly SheetCells[]> {
  const { theirs } = await sheetsApart(context);
  const used = theirs.map((sheet) => {
    const range = sheet.getUsedRangeOrNullObject(true);
    range.load("address");
    return { sheet, range };
  });
  await context.sync();
  const places = used.map(({ sheet, range }) => ({
    sheet,
    block: range.isNullObject ? undefined : blockOf(localAddress(range.address)),
  }));
  const wanted = places.flatMap(({ sheet, block }) => (block === undefined ? [] : [{ sheet, block }]));
  const read = await readBlocks(context, wanted, { progress });
  const pause = slices(progress, readingWhat);
  const total = read.reduce((sum, { formulas }) => sum + formulas.length, 0);
  const sheets: SheetCells[] = [];
  let [next, done] = [0, 0];
  for (const { sheet, block } of places) {
    const rows: CellContent[][] = [];
    const held = block === undefined ? undefined : read[next++];
    for (const [i, row] of (held?.formulas ?? []).entries()) {
      rows.push(row.map((formula, j) => contentOf(formula, held?.values[i]?.[j], held?.types[i]?.[j])));
      await pause(++done, total);
    }
    const [top, left] = [block?.top ?? 0, block?.left ?? 0];
    sheets.push({ name: sheet.name, top, left, width: block === undefined ? 0 : columnsIn(block), rows });
  }
  return sheets;
}

/** Every sheet with the values that it has once it is calculated. */
export const readCalculatedSheets = (
  context: Excel.RequestContext,
  progress?: Progress,
  uncalculated?: Uncalculated,
): Promise<readonly SheetCells[]> =>
  asCalculated(context, () => readSheets(context, progress), everyValue, progress, uncalculated);

/** A text that was typed is what it is, be it the word for a cell that is still worked out. */
function* everyValue(sheets: readonly SheetCells[]): Generator<Scalar> {
  for (const { rows } of sheets)
    for (const row of rows)
      for (const { formula, value, isText } of row) if (formula !== value && isText !== true) yield value;
}

/** Gives the sheets by name, each asked for once: every time that one is asked for goes into the next request. */
export function sheetsByName(context: Excel.RequestContext): (name: string) => Excel.Worksheet {
  const known = new Map<string, Excel.Worksheet>();
  return (name) => {
    const sheet = known.get(name) ?? context.workbook.worksheets.getItem(name);
    known.set(name, sheet);
    return sheet;
  };
}

/** What a cell holds, from what the host says of it. */
export function contentOf(formula: unknown, value: unknown, type?: unknown): CellContent {
  const typed = (formula ?? "") as string | number | boolean;
  const content = { formula: String(typed), value: (value ?? null) as Scalar };
  return isTextLikeError(value, type) ? { ...content, isText: true } : content;
}

interface Shown {
  readonly value: Scalar;
  readonly isText?: true | undefined;
}

/** Whether a cell shows an error, and no text that reads like one. */
export const showsError = ({ value, isText }: Shown): boolean => isText !== true && readsLikeError(value);

/** Whether a cell shows a certain error. */
export const showsErrorNamed = (cell: Shown, name: string): boolean =>
  cell.value === name && cell.isText !== true;

/** What the cells of a range hold, its formulas and values loaded. */
export function contentsOf(range: Excel.Range): CellContent[][] {
  const values = range.values as unknown[][];
  return (range.formulas as unknown[][]).map((row, i) =>
    row.map((formula, j) => contentOf(formula, values[i]?.[j])),
  );
}

export interface FilledCell extends CellContent {
  readonly row: number;
  readonly column: number;
  readonly address: string;
}

export type FormulaCell = FilledCell;

function* cellsWhere(
  { top, left, rows }: SheetCells,
  wanted: (cell: CellContent) => boolean,
): Generator<FilledCell> {
  // Rows and cells that hold nothing may be missing.
  for (let i = 0; i < rows.length; i++) {
    const cells = rows[i] ?? [];
    for (let j = 0; j < cells.length; j++) {
      const cell = cells[j];
      if (cell !== undefined && wanted(cell))
        yield { ...cell, row: top + i, column: left + j, address: cellAddress(top + i, left + j) };
    }
  }
}

/** Every cell of a sheet that holds something, one by one, so that long work may give way between two. */
export const eachFilled = (sheet: SheetCells): Iterable<FilledCell> =>
  cellsWhere(sheet, ({ formula }) => formula !== "");

/** Every cell of a sheet that holds a formula, one by one. */
export const eachFormula = (sheet: SheetCells): Iterable<FormulaCell> => cellsWhere(sheet, isFormula);

/** Every cell of a sheet that holds a formula, at once. */
export const formulaCells = (sheet: SheetCells): readonly FormulaCell[] => [...eachFormula(sheet)];

/** How far down a sheet a cell stands, as a share of it. */
export const shareDown = ({ top, rows }: SheetCells, { row }: FilledCell): number =>
  (row - top) / rows.length;

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
