/** Writes into tables' columns: a formula that is written into one fills the column, where that holds nothing but formulas. */
import type { Content, ReadBlock, RequestContext } from "../host";
import { readBlocks } from "../host";
import { asContent, holds } from "./content";
import type { CarefulOptions, CellChange, LeftOver } from "./where-stands";
import { writeWhereStands } from "./where-stands";

interface Table {
  readonly sheet: string;
  readonly top: number;
  readonly left: number;
  readonly rows: number;
  readonly columns: number;
}

async function tablesOn(context: RequestContext, sheets: readonly string[]): Promise<readonly Table[]> {
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

/** A table's column that is written to, with what it holds. */
interface Column {
  readonly sheet: string;
  readonly top: number;
  readonly column: number;
  readonly changes: ReadonlyMap<number, CellChange>;
  readonly held: ReadBlock;
}

async function columnsOf(
  context: RequestContext,
  changes: readonly CellChange[],
): Promise<readonly Column[]> {
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
      const own = touched.filter((one) => one.column === column);
      return { sheet, top, rows, column, changes: new Map(own.map((one) => [one.row, one])) };
    });
  });
  const blocks = columns.map(({ sheet, top, rows, column }) => ({
    sheet: context.workbook.worksheets.getItem(sheet),
    block: { top, bottom: top + rows - 1, left: column, right: column },
  }));
  const read = await readBlocks(context, blocks);
  return columns.flatMap((one, i): Column[] => {
    const held = read[i];
    return held === undefined ? [] : [{ ...one, held }];
  });
}

const asItIs = (place: Pick<CellChange, "sheet" | "row" | "column">, content: Content): CellChange => {
  const { sheet, row, column } = place;
  return { ...{ sheet, row, column }, before: content, after: content };
};

/** What is written along as it is, and the changes that are done already and so are written once more. */
interface Along {
  readonly beside: readonly CellChange[];
  readonly again: ReadonlyMap<CellChange, CellChange>;
}

/** The other formulas of tables' columns are written along as they are: a column that is written whole fills nothing. */
async function alongIn(context: RequestContext, changes: readonly CellChange[]): Promise<Along> {
  const beside: CellChange[] = [];
  const again = new Map<CellChange, CellChange>();
  for (const { sheet, top, column, changes: own, held } of await columnsOf(context, changes)) {
    const cells = held.formulas.map(([formula], i) => {
      const value: unknown = held.values[i]?.[0];
      const change = own.get(top + i);
      const isDone = change !== undefined && holds(change.after, formula, value);
      return { place: { sheet, row: top + i, column }, formula, value, change, isDone };
    });
    const others = cells.filter(({ change }) => change === undefined);
    const isFree = ({ formula, value }: (typeof cells)[number]) =>
      formula === "" || (typeof formula === "string" && formula.startsWith("=") && formula !== value);
    // Among figures and texts a host fills nothing, and nothing is filled where nothing is written.
    const isWritten = cells.some(({ change, isDone }) => change !== undefined && !isDone);
    if (!isWritten || !others.every(isFree)) continue;
    for (const { place, formula, change, isDone } of cells) {
      if (change === undefined) beside.push(asItIs(place, asContent(String(formula), undefined)));
      else if (isDone) again.set(change, asItIs(place, change.after));
    }
  }
  return { beside, again };
}

/** Writes changes where what stands is what was planned from, and keeps what stands beside them in their columns. */
export async function writeKeepingColumns(
  context: RequestContext,
  changes: readonly CellChange[],
  options: CarefulOptions = {},
): Promise<LeftOver> {
  if (changes.length === 0) return { left: [], refused: new Map() };
  const { beside, again } = await alongIn(context, changes);
  const all = [...changes.map((one) => again.get(one) ?? one), ...beside];
  const { left, refused } = await writeWhereStands(context, all, options);
  const along = new Set([...beside, ...again.values()]);
  return { left: left.filter((one) => !along.has(one)), refused };
}
