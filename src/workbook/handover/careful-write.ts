/**
 * Writes into cells that a host would make something else of: a formula is dead in a cell formatted as text, and one
 * written into a table's column fills the column, where that holds nothing but formulas.
 */
import { letGo } from "../blocks";
import type { Progress } from "../progress";
import { pass } from "../progress";
import { columnRuns, textFormat } from "../write-cells";
import type { CellChange, ChangeSet } from "./change-set";
import { placeKey } from "./place";

interface Table {
  readonly sheet: string;
  readonly top: number;
  readonly left: number;
  readonly rows: number;
  readonly columns: number;
}

async function tablesOn(context: Excel.RequestContext, sheets: readonly string[]): Promise<readonly Table[]> {
  const all = sheets.map((sheet) => {
    const { tables } = context.workbook.worksheets.getItem(sheet);
    tables.load("items/name");
    return { sheet, tables };
  });
  await context.sync();
  const bodies = all.flatMap(({ sheet, tables }) =>
    tables.items.map((table) => {
      const body = table.getDataBodyRange();
      body.load("rowIndex,columnIndex,rowCount,columnCount");
      return { sheet, body };
    }),
  );
  if (bodies.length > 0) await context.sync();
  return bodies.map(({ sheet, body: { rowIndex, columnIndex, rowCount, columnCount } }) => ({
    sheet,
    top: rowIndex,
    left: columnIndex,
    rows: rowCount,
    columns: columnCount,
  }));
}

const sheetsOf = (changes: readonly CellChange[]): readonly string[] => [
  ...new Set(changes.map(({ sheet }) => sheet)),
];

/** The other formulas of tables' columns, to be written along as they are: a column that is written whole fills nothing. */
async function besideInTables(
  context: Excel.RequestContext,
  changes: readonly CellChange[],
): Promise<readonly CellChange[]> {
  const written = new Set(changes.map(placeKey));
  const columns = (await tablesOn(context, sheetsOf(changes))).flatMap((table) => {
    const { sheet, top, left, rows } = table;
    const touched = changes.filter(
      (one) =>
        one.sheet === sheet &&
        one.row >= top &&
        one.row < top + rows &&
        one.column >= left &&
        one.column < left + table.columns,
    );
    return [...new Set(touched.map(({ column }) => column))].map((column) => {
      const range = context.workbook.worksheets.getItem(sheet).getRangeByIndexes(top, column, rows, 1);
      range.load("formulas,values");
      return { sheet, top, column, range };
    });
  });
  if (columns.length > 0) await context.sync();
  return columns.flatMap(({ sheet, top, column, range }) => {
    const others = (range.formulas as unknown[][]).flatMap(([formula], i) => {
      const place = { sheet, row: top + i, column };
      return written.has(placeKey(place)) ? [] : [{ place, formula, value: range.values[i]?.[0] as unknown }];
    });
    const isFree = ({ formula, value }: (typeof others)[number]) =>
      formula === "" || (typeof formula === "string" && formula.startsWith("=") && formula !== value);
    // Among figures and texts a host fills nothing.
    if (!others.every(isFree)) return [];
    return others.map(({ place, formula }) => ({
      ...place,
      before: String(formula),
      after: String(formula),
    }));
  });
}

/** Columns of cells whose formats are asked for in one go. */
const perRequest = 500;

/** Those of the changes whose cells are formatted as text. */
async function inTextCells(
  context: Excel.RequestContext,
  changes: readonly CellChange[],
  progress: Progress,
): Promise<ReadonlySet<CellChange>> {
  const found = new Set<CellChange>();
  const runs = columnRuns(changes);
  for (let from = 0; from < runs.length; from += perRequest) {
    pass(progress, from, runs.length, "Looking at the formats of cells");
    const asked = runs.slice(from, from + perRequest).map(({ sheet, row, column, cells }) => {
      const range = context.workbook.worksheets
        .getItem(sheet)
        .getRangeByIndexes(row, column, cells.length, 1);
      range.load("numberFormat");
      return { cells, range };
    });
    await context.sync();
    for (const { cells, range } of asked)
      cells.forEach((one, i) => {
        if (range.numberFormat[i]?.[0] === textFormat) found.add(one);
      });
    letGo(asked.map(({ range }) => range));
  }
  return found;
}

/** Formulas that are written in one go into cells formatted as text. */
const perBatch = 100;

/** A formula is alive in a cell that becomes a text cell only afterwards. */
export async function enliven(
  context: Excel.RequestContext,
  cells: readonly {
    readonly sheet: string;
    readonly row: number;
    readonly column: number;
    readonly content: string | number;
  }[],
): Promise<void> {
  for (const { sheet, row, column, content } of cells) {
    const cell = context.workbook.worksheets.getItem(sheet).getRangeByIndexes(row, column, 1, 1);
    const isFormula = typeof content === "string" && content.startsWith("=");
    if (isFormula) cell.numberFormat = [["General"]];
    cell.formulas = [[content]];
    if (isFormula) cell.numberFormat = [[textFormat]];
  }
  await context.sync();
}

const contents = (changes: readonly CellChange[], which: "before" | "after") =>
  changes.map((one) => ({ ...one, content: one[which] }));

/** Writes changes as a step that takes itself back. */
export async function writeCarefully(
  context: Excel.RequestContext,
  change: ChangeSet,
  changes: readonly CellChange[],
  progress: Progress,
  what: string,
): Promise<void> {
  if (changes.length === 0) return;
  const texts = await inTextCells(context, changes, progress);
  const plain = changes.filter((one) => !texts.has(one));
  await change.write([...plain, ...(await besideInTables(context, plain))], progress, what);
  const inTexts = [...texts];
  let begun = 0;
  change.onFailure(() => enliven(context, contents(inTexts.slice(0, begun), "before")));
  while (begun < inTexts.length) {
    pass(progress, begun, inTexts.length, what);
    const batch = inTexts.slice(begun, begun + perBatch);
    begun += batch.length;
    await enliven(context, contents(batch, "after"));
  }
}
