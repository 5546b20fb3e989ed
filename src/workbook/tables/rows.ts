/** The rows under a row of headings: where they end, which is the row of totals, what the columns hold. */
import type { CellContent, Pieces } from "../host";
import type { Grid } from "./grid";
import { isEmpty, isWords, rowsAtATime, textOf } from "./grid";
import { unitSpelled } from "./units";

export interface RowsBelow {
  /** Rows with figures, in order; blank rows and headings between them are not among them. */
  readonly rows: readonly number[];
  /** The last row that is no row of totals. */
  readonly last: number;
  readonly totalsRow?: number;
}

/** A row that is filled in under the headings. */
export interface FilledRow {
  readonly row: number;
  readonly cells: readonly CellContent[];
  readonly hasFigure: boolean;
  /** Empty rows right above it. */
  readonly gap: number;
  /** Set for a row of totals, by its name or by a sum in it. */
  readonly totals: "told" | "summed" | undefined;
}

interface Under {
  readonly columns: readonly number[];
  /** Columns that hold words where others hold figures, such as the grass. */
  readonly ofWords: ReadonlySet<number>;
  readonly from: number;
  readonly to: number;
}

/** So many empty rows may stand in a table, whatever follows. */
export const gapInTable = 1;
/** No row further down than this belongs to it, however like the others it is. */
const mostEmpty = 3;

const closing =
  /^(grand )?totals?\b|^sum(me)?\b|^gesamt|^(in )?all\b(?!-)(?! (purpose|season|in)\b)|above this line/i;
const partial = /^sub-?totals?\b/i;
const totalFormula = /^=(SUM|SUBTOTAL|AVERAGE)\(/i;
const rowNumber = /(?<![\w.])\$?[a-z]{1,3}\$?(\d{1,7})(?![\w.(])/gi;

/** A sum of what stands above it, and not of its own row. */
function totalsAbove({ formula }: CellContent, row: number): boolean {
  if (!totalFormula.test(formula)) return false;
  for (const [, digits] of formula.matchAll(rowNumber)) if (Number(digits) > row) return false;
  return true;
}

/** Whether a row is told to be the totals, or at least adds up what stands above it. */
function totalsIn(cells: readonly CellContent[], row: number): FilledRow["totals"] {
  const first = cells.find(isWords);
  const name = first === undefined ? "" : textOf(first);
  if (closing.test(name)) return "told";
  return partial.test(name) || cells.some((cell) => totalsAbove(cell, row)) ? "summed" : undefined;
}

export const cellsAcross = (grid: Grid, row: number, columns: readonly number[]): readonly CellContent[] =>
  columns.map((column) => grid.at(row, column));

const isFigure = (cell: CellContent, ofWords: boolean): boolean =>
  typeof cell.value === "number" || (ofWords && isWords(cell));

/** Whether a row is of the table, or ends it as its totals or without, or is passed over. */
export type Judged = "of the table" | "the totals" | "the end" | "passed over";

export function* rowsBelow(
  grid: Grid,
  { columns, ofWords, from, to }: Under,
  judge: (row: FilledRow) => Judged,
): Pieces<RowsBelow> {
  const rows: number[] = [];
  let last = from - 1;
  for (let row = from; row <= to && row - last <= mostEmpty; row++) {
    if (row % rowsAtATime === 0) yield row / (to + 1);
    const cells = cellsAcross(grid, row, columns);
    if (cells.every(isEmpty)) continue;
    const hasFigure = cells.some((cell, i) => isFigure(cell, ofWords.has(columns[i] ?? -1)));
    const gap = row - last - 1;
    const judged = judge({ row, cells, hasFigure, gap, totals: totalsIn(cells, row) });
    if (judged === "the totals") return { rows, last, totalsRow: row };
    if (judged === "the end") break;
    if (judged === "passed over") continue;
    last = row;
    if (hasFigure) rows.push(row);
  }
  return { rows, last };
}

/** After empty rows a row that is filled in like one of the table goes on with it. */
export const isLikeTable = ({ cells }: FilledRow): boolean =>
  cells.filter((cell) => !isEmpty(cell)).length >= Math.max(3, cells.length / 2);

/** Whether a row under headings holds units and nothing else. */
export function isUnitsRow(cells: readonly CellContent[]): boolean {
  const filled = cells.filter((cell) => !isEmpty(cell));
  return (
    filled.length > 0 &&
    filled.every((cell) => isWords(cell) && unitSpelled(String(cell.value)) !== undefined)
  );
}

/** What the rows of a column hold, as far as it says what the column is. */
export interface Held {
  readonly hasWords: boolean;
  readonly hasFigures: boolean;
  /** The first figure above 1, and the first between 0 and 1. */
  readonly above: number | undefined;
  readonly between: number | undefined;
}

export const nothingHeld: Held = {
  hasWords: false,
  hasFigures: false,
  above: undefined,
  between: undefined,
};

export function* heldIn(grid: Grid, column: number, rows: readonly number[]): Pieces<Held> {
  let [hasWords, hasFigures]: [boolean, boolean] = [false, false];
  let [above, between]: [number | undefined, number | undefined] = [undefined, undefined];
  for (const [i, row] of rows.entries()) {
    if (i % rowsAtATime === 0) yield i / rows.length;
    const cell = grid.at(row, column);
    hasWords ||= isWords(cell);
    const { value } = cell;
    if (typeof value !== "number") continue;
    hasFigures = true;
    if (value > 1) above ??= value;
    else if (value > 0 && value < 1) between ??= value;
  }
  return { hasWords, hasFigures, above, between };
}
