/** How a sheet is laid out, read as a person reads it: tables under a row of heads, and figures beside their labels. */
import type { UnitSystem } from "../../engine/units";
import type { Block, CellContent, Pieces } from "../host";
import { isFormula } from "../host";
import type { Concept } from "../tables";
import { conceptOf, isInWords, systemIn } from "../tables";
import type { At } from "./shapes";

export interface TableColumn {
  readonly column: number;
  readonly concept: Concept | undefined;
  readonly head: string;
  readonly system: UnitSystem | undefined;
}

export interface Table {
  readonly head: number;
  readonly columns: readonly TableColumn[];
  /** The rows under the heads. */
  readonly first: number;
  readonly last: number;
}

export interface Figure {
  readonly concept: Concept;
  readonly label: string;
  /** Where the figure itself stands. */
  readonly at: At;
}

export interface Layout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  /** The figures about one thing, from the top. */
  readonly about: ReadonlyMap<Concept, readonly Figure[]>;
  /** The same for the same layout. */
  readonly digest: string;
}

interface Cells {
  filled(): Iterable<readonly [At, CellContent]>;
}

const isTyped = (cell: CellContent): boolean => !isFormula(cell);
const isText = (cell: CellContent): boolean =>
  typeof cell.value === "string" && cell.formula !== "" && isTyped(cell);

/** A row of a table that is none of its entries. */
const closes = (text: string): boolean =>
  /above this line/i.test(text) || /^(all|total|totals|sum|in all)\b/i.test(text.trim());

/** So many empty rows end a table. */
const mostEmpty = 3;
/** A figure stands so close to its label. */
const reach = 3;

type Row = ReadonlyMap<number, CellContent>;

const conceptsIn = (columns: readonly TableColumn[]): number =>
  new Set(columns.flatMap(({ concept }) => concept ?? [])).size;

/** So many heads that are known make a row of heads. */
const leastKnown = 2;

/** The heads in a row, of each table that stands there: tables side by side are parted by an empty column. */
function headsOf(row: Row): readonly (readonly TableColumn[])[] {
  const tables: TableColumn[][] = [];
  for (const [column, cell] of [...row].sort(([a], [b]) => a - b)) {
    // A text with a number beside it is a label and no head.
    if (!isText(cell) || typeof row.get(column + 1)?.value === "number") continue;
    const head = cell.formula;
    const one = { column, head, concept: conceptOf(head), system: systemIn(head) };
    const last = tables[tables.length - 1];
    const isApart = last !== undefined && (last[last.length - 1]?.column ?? 0) < column - 1;
    if (last === undefined || (isApart && conceptsIn(last) >= leastKnown)) tables.push([one]);
    else last.push(one);
  }
  const [before, last] = tables.slice(-2);
  // What is no table by itself belongs to the one before.
  if (before !== undefined && last !== undefined && conceptsIn(last) < leastKnown) {
    before.push(...last);
    tables.pop();
  }
  return tables.filter((columns) => conceptsIn(columns) >= leastKnown && !hasNumbers(row, columns));
}

const spanOf = (columns: readonly TableColumn[]): readonly [left: number, right: number] => [
  columns[0]?.column ?? 0,
  columns[columns.length - 1]?.column ?? 0,
];

function hasNumbers(row: Row, columns: readonly TableColumn[]): boolean {
  const [left, right] = spanOf(columns);
  return [...row].some(([column, { value }]) => column > left && column < right && typeof value === "number");
}

/** After an empty row only a row that is filled in like one of the table goes on with it. */
const isLikeTable = (filled: number, columns: number): boolean => filled >= Math.max(3, columns / 2);

function* lastRow(
  rows: ReadonlyMap<number, Row>,
  heads: readonly TableColumn[],
  from: number,
  to: number,
): Pieces<number> {
  const inTable = new Set(heads.map(({ column }) => column));
  const named = Math.min(...heads.filter(({ concept }) => concept !== undefined).map(({ column }) => column));
  let last = from - 1;
  for (let row = from; row < to && row - last <= mostEmpty; row++) {
    if ((row - from) % rowsAtATime === 0) yield 0.5;
    const cells = rows.get(row) ?? new Map<number, CellContent>();
    const filled = [...cells.keys()].filter((column) => inTable.has(column)).length;
    if (filled === 0 || (row - last > 1 && !isLikeTable(filled, inTable.size))) continue;
    const name = cells.get(named) ?? cells.get(Math.min(...cells.keys()));
    if (name !== undefined && isTyped(name) && closes(name.formula)) break;
    last = row;
  }
  return last;
}

/** The figure beside a label: a number within reach, or words in the very next cell. */
function besideLabel(row: Row, column: number, concept: Concept): number | undefined {
  for (let step = 1; step <= (isInWords(concept) ? 1 : reach); step++) {
    const cell = row.get(column + step);
    if (cell === undefined) continue;
    const isRight = !isTyped(cell) || isInWords(concept) === (typeof cell.value === "string");
    return isRight ? column + step : undefined;
  }
  return undefined;
}

/** Rows that are read between two pauses, and cells. */
const rowsAtATime = 100;
const cellsAtATime = 1000;

function* inRows(cells: Cells, isRead: (at: At) => boolean): Pieces<ReadonlyMap<number, Row>> {
  const rows = new Map<number, Map<number, CellContent>>();
  let seen = 0;
  for (const [{ row, column }, cell] of cells.filled()) {
    if (++seen % cellsAtATime === 0) yield 0;
    if (!isRead({ row, column })) continue;
    const known = rows.get(row);
    if (known === undefined) rows.set(row, new Map([[column, cell]]));
    else known.set(column, cell);
  }
  return rows;
}

interface Heads {
  readonly row: number;
  readonly columns: readonly TableColumn[];
}

function* tablesUnder(
  heads: readonly Heads[],
  rows: ReadonlyMap<number, Row>,
  end: number,
): Pieces<readonly Table[]> {
  const headRows = [...new Set(heads.map(({ row }) => row))];
  const nextHead = new Map(headRows.map((row, i) => [row, headRows[i + 1] ?? end]));
  const tables: Table[] = [];
  for (const { row, columns } of heads) {
    const last = yield* lastRow(rows, columns, row + 1, nextHead.get(row) ?? end);
    if (last > row) tables.push({ head: row, columns, first: row + 1, last });
  }
  return tables;
}

/** The figures of a row beside labels that stand in none of these spans. */
function figuresIn(line: Row, row: number, spans: readonly (readonly [number, number])[]): readonly Figure[] {
  const across = [...line].sort(([a], [b]) => a - b);
  return across.flatMap(([column, cell]): Figure[] => {
    const concept = isText(cell) ? conceptOf(cell.formula) : undefined;
    if (concept === undefined || spans.some(([left, right]) => column >= left && column <= right)) return [];
    const beside = besideLabel(line, column, concept);
    return beside === undefined ? [] : [{ concept, label: cell.formula, at: { row, column: beside } }];
  });
}

/** What is known of a sheet without its words: a sheet of a bid has names for its parts. */
interface KnownLayout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  readonly covered: readonly Block[];
}

const isIn = (blocks: readonly Block[], { row, column }: At): boolean =>
  blocks.some(
    ({ top, left, bottom, right }) => row >= top && row <= bottom && column >= left && column <= right,
  );

/** Reads how a sheet is laid out, some rows at a time; only what is not known already is read by its words. */
export function* layingOut(
  cells: Cells,
  known: KnownLayout = { tables: [], figures: [], covered: [] },
): Pieces<Layout> {
  const rows = yield* inRows(cells, (at) => !isIn(known.covered, at));
  const inOrder = [...rows.keys()].sort((a, b) => a - b);
  const end = (inOrder[inOrder.length - 1] ?? -1) + 1;
  const heads: Heads[] = [];
  for (const [i, row] of inOrder.entries()) {
    if (i % rowsAtATime === 0) yield 0.3;
    heads.push(...headsOf(rows.get(row) ?? new Map()).map((columns) => ({ row, columns })));
  }
  const read = yield* tablesUnder(heads, rows, end);
  // In the order of their heads: those that a row may stand in come and go as the rows go by.
  const found: Figure[] = [];
  let [next, open]: [number, readonly Table[]] = [0, []];
  for (const [i, row] of inOrder.entries()) {
    if (i % rowsAtATime === 0) yield 0.7;
    open = open.filter(({ last }) => last >= row);
    for (let table = read[next]; table !== undefined && table.head <= row; table = read[++next])
      open = [...open, table];
    const spans = open.map(({ columns }) => spanOf(columns));
    found.push(...figuresIn(rows.get(row) ?? new Map<number, CellContent>(), row, spans));
  }
  const tables = [...known.tables, ...read].sort((one, other) => one.first - other.first);
  const figures = [...known.figures, ...found].sort((one, other) => one.at.row - other.at.row);
  const about = new Map<Concept, Figure[]>();
  for (const figure of figures) {
    const known = about.get(figure.concept);
    if (known === undefined) about.set(figure.concept, [figure]);
    else known.push(figure);
  }
  return { tables, figures, about, digest: JSON.stringify([tables, figures]) };
}

/** How many of a list that is in order stand before a row. */
function countBefore<T>(inOrder: readonly T[], rowOf: (one: T) => number, row: number): number {
  let [low, high] = [0, inOrder.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    const one = inOrder[middle];
    if (one !== undefined && rowOf(one) < row) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The figure that stands in a cell, as its label or its name says. */
export function figureAt({ figures }: Layout, { row, column }: At): Figure | undefined {
  for (let i = countBefore(figures, ({ at }) => at.row, row); figures[i]?.at.row === row; i++)
    if (figures[i]?.at.column === column) return figures[i];
  return undefined;
}

/**
 * The table whose rows a cell stands in, or to the right of. A table ends above the next row of heads, so that only those
 * under the last heads above the cell can hold it.
 */
export function tableAround({ tables }: Layout, { row, column }: At): Table | undefined {
  const next = countBefore(tables, ({ first }) => first, row + 1);
  const first = tables[next - 1]?.first;
  for (let i = next - 1; i >= 0; i--) {
    const table = tables[i];
    if (table === undefined || table.first !== first) return undefined;
    if (table.last >= row && (table.columns[0]?.column ?? 0) <= column) return table;
  }
  return undefined;
}

/** The figure about this that stands nearest to a row; of two as near the upper, and of those in one row the first. */
export function nearestAbout({ about }: Layout, concept: Concept, row: number): Figure | undefined {
  const figures = about.get(concept) ?? [];
  const rowOf = ({ at }: Figure) => at.row;
  const next = countBefore(figures, rowOf, row);
  const [above, below] = [figures[next - 1]?.at.row, figures[next]];
  if (above === undefined || (below !== undefined && below.at.row - row < row - above)) return below;
  return figures[countBefore(figures, rowOf, above)];
}
