/** A table of the estimator's own, found round a cell: its headings, its rows, where it ends. */
import type { Block, CellContent, Pieces, SheetCells } from "../host";
import { cellAddress } from "../host";
import { isText } from "./column-words";
import { candidatesFor, readHeading } from "./read-heading";
import { unitSpelled } from "./unit-words";

export interface TableColumn {
  readonly column: number;
  readonly heading: string;
  /** From a row of units under the headings. */
  readonly unitBelow: string;
}

export interface OwnTable {
  readonly cells: SheetCells;
  /** The selection that it was found from. */
  readonly chosen: Block;
  readonly headingRow: number;
  readonly left: number;
  readonly right: number;
  /** Rows with figures, in order; blank rows and headings between them are not among them. */
  readonly rows: readonly number[];
  /** The last row that belongs to the table, a row of totals included. */
  readonly bottom: number;
  readonly totalsRow?: number;
  readonly columns: readonly TableColumn[];
  /** What the rows hold under each heading, by its column. */
  readonly held: ReadonlyMap<number, Held>;
}

/** What the rows of a column hold, as far as it says what the column is. */
export interface Held {
  readonly hasWords: boolean;
  readonly hasFigures: boolean;
  /** The first figure above 1, and the first between 0 and 1. */
  readonly above: number | undefined;
  readonly between: number | undefined;
}

export type Found = { readonly table: OwnTable } | { readonly trouble: string };

const nothingThere: CellContent = { formula: "", value: null };

export const cellIn = ({ top, left, rows }: SheetCells, row: number, column: number): CellContent =>
  rows[row - top]?.[column - left] ?? nothingThere;

export const isEmpty = ({ formula, value }: CellContent): boolean =>
  formula === "" && (value === null || value === "");

/** "# of bags" is a heading. */
const errorValue = /^#([A-Z/0]+[!?]|N\/A)$/;

const isWords = ({ value }: CellContent): boolean =>
  typeof value === "string" && value.trim() !== "" && !errorValue.test(value);

const isFigure = (cell: CellContent, ofWords: boolean): boolean =>
  typeof cell.value === "number" || (ofWords && isWords(cell));

/** How far headings are looked for: up from the chosen cell, down from a title, and down a chosen block. */
const reach = { up: 20_000, down: 6, block: 200 } as const;
const blankRowsAtEnd = 2;
/** Rows that are gone through between two pauses. */
const rowsAtATime = 20;
const totals = /^(grand |sub-?)?totals?\b|^sum(me)?\b|^gesamt/i;
const totalFormula = /^=(SUM|SUBTOTAL|AVERAGE)\(/i;

interface Run {
  readonly left: number;
  readonly right: number;
}

class Finder {
  private readonly lastRow: number;
  private readonly lastColumn: number;

  constructor(
    private readonly cells: SheetCells,
    private readonly within: Block,
  ) {
    this.lastRow = Math.min(within.bottom, cells.top + cells.rows.length - 1);
    this.lastColumn = Math.min(within.right, cells.left + cells.width - 1);
  }

  private at(row: number, column: number): CellContent {
    return cellIn(this.cells, row, column);
  }

  /** The cells with words on either side of a column, without a gap. */
  private run(row: number, column: number): Run | undefined {
    if (!isWords(this.at(row, column))) return undefined;
    let [left, right] = [column, column];
    while (left > this.within.left && isWords(this.at(row, left - 1))) left--;
    while (right < this.lastColumn && isWords(this.at(row, right + 1))) right++;
    return { left, right };
  }

  private textOf(row: number, column: number): string {
    return String(this.at(row, column).value ?? "").trim();
  }

  private isHeading(text: string): boolean {
    const heading = readHeading(text);
    return heading.unit !== undefined || candidatesFor(heading).length > 0;
  }

  /** How many cells of a run are headings of the trade; 0 where a row of figures or a title is meant. */
  private understood(row: number, run: Run | undefined): number {
    if (run === undefined || run.left === run.right) return 0;
    return this.columnsOf(run).filter((column) => this.isHeading(this.textOf(row, column))).length;
  }

  private columnsOf({ left, right }: Run): readonly number[] {
    return Array.from({ length: right - left + 1 }, (_, i) => left + i);
  }

  private *headingRow({
    top: row,
    left: column,
    bottom: end,
  }: Block): Pieces<{ row: number; run: Run } | undefined> {
    const lowest = Math.max(this.within.top, row - reach.up, this.cells.top);
    const up = Array.from({ length: Math.max(0, row - lowest + 1) }, (_, i) => row - i);
    const far = Math.max(reach.down, Math.min(reach.block, end - row));
    const down = Array.from({ length: far }, (_, i) => row + 1 + i).filter((one) => one <= this.lastRow);
    let best: { row: number; run: Run; many: number } | undefined;
    for (const one of [...up, ...down]) {
      if (one === row + 1 && best !== undefined) break;
      const run = this.run(one, column);
      if (run !== undefined && this.isUnitsRow(one, run) && this.run(one - 1, column) !== undefined) continue;
      if (run !== undefined) yield 0;
      const many = this.understood(one, run);
      if (run !== undefined && many > (best?.many ?? 0)) best = { row: one, run, many };
      if (best !== undefined && best.many > 1) break;
    }
    return best;
  }

  private rowCells(row: number, run: Run): readonly CellContent[] {
    return this.columnsOf(run).map((column) => this.at(row, column));
  }

  private isUnitsRow(row: number, run: Run): boolean {
    const filled = this.rowCells(row, run).filter((cell) => !isEmpty(cell));
    return (
      filled.length > 0 &&
      filled.every((cell) => isWords(cell) && unitSpelled(String(cell.value)) !== undefined)
    );
  }

  private isTotals(cells: readonly CellContent[]): boolean {
    const first = cells.find((cell) => !isEmpty(cell));
    return (
      (first !== undefined && isWords(first) && totals.test(String(first.value).trim())) ||
      cells.some(({ formula }) => totalFormula.test(formula))
    );
  }

  /** Columns that hold words where others hold figures, such as the grass. */
  private columnsOfWords(headings: number, run: Run): ReadonlySet<number> {
    return new Set(
      this.columnsOf(run).filter((column) =>
        candidatesFor(readHeading(this.textOf(headings, column))).some(({ meaning }) => isText(meaning)),
      ),
    );
  }

  private *rowsBelow(
    headings: number,
    from: number,
    run: Run,
  ): Pieces<{ rows: readonly number[]; bottom: number; totalsRow?: number }> {
    const ofWords = this.columnsOfWords(headings, run);
    const rows: number[] = [];
    let bottom = from - 1;
    let blank = 0;
    for (let row = from; row <= this.lastRow; row++) {
      if (row % rowsAtATime === 0) yield row / this.lastRow;
      const cells = this.rowCells(row, run);
      if (cells.every(isEmpty)) {
        if (++blank === blankRowsAtEnd) break;
        continue;
      }
      if (this.isTotals(cells)) return { rows, bottom: row, totalsRow: row };
      const hasFigure = cells.some((cell, i) => isFigure(cell, ofWords.has(run.left + i)));
      const isOther = !hasFigure && this.understood(row, this.run(row, run.left)) > 1;
      if (isOther || (blank > 0 && !hasFigure)) break;
      blank = 0;
      bottom = row;
      if (hasFigure) rows.push(row);
    }
    return { rows, bottom };
  }

  private *heldIn(column: number, rows: readonly number[]): Pieces<Held> {
    let [hasWords, hasFigures]: [boolean, boolean] = [false, false];
    let [above, between]: [number | undefined, number | undefined] = [undefined, undefined];
    for (const [i, row] of rows.entries()) {
      if (i % rowsAtATime === 0) yield i / rows.length;
      const { value } = this.at(row, column);
      if (typeof value === "string") hasWords ||= value.trim() !== "";
      if (typeof value !== "number") continue;
      hasFigures = true;
      if (value > 1) above ??= value;
      else if (value > 0 && value < 1) between ??= value;
    }
    return { hasWords, hasFigures, above, between };
  }

  *find(chosen: Block): Pieces<Found> {
    const { top: row, left: column } = chosen;
    const heading = yield* this.headingRow(chosen);
    if (heading === undefined) {
      return {
        trouble: `No headings were understood at ${cellAddress(row, column)}: select a heading of the table, such as “Area (sq ft)”, and read it again.`,
      };
    }
    const { run } = heading;
    const hasUnits = this.isUnitsRow(heading.row + 1, run);
    const below = yield* this.rowsBelow(heading.row, heading.row + (hasUnits ? 2 : 1), run);
    if (below.rows.length === 0) {
      return {
        trouble: `The headings in row ${heading.row + 1} have no figures below them: fill in a row, then read the table again.`,
      };
    }
    const columns = this.columnsOf(run).map((one) => ({
      column: one,
      heading: this.textOf(heading.row, one).replace(/\s+/g, " "),
      unitBelow: hasUnits ? this.textOf(heading.row + 1, one) : "",
    }));
    const held = new Map<number, Held>();
    for (const { column: one } of columns) held.set(one, yield* this.heldIn(one, below.rows));
    return { table: { cells: this.cells, chosen, headingRow: heading.row, ...run, ...below, columns, held } };
  }
}

/** The table round the chosen cell; of several chosen cells, the table within them. */
export function* findingTable(cells: SheetCells, chosen: Block): Pieces<Found> {
  const single = chosen.top === chosen.bottom && chosen.left === chosen.right;
  if (!single) {
    const within = yield* new Finder(cells, chosen).find(chosen);
    if ("table" in within) return within;
  }
  const everything = { top: 0, left: 0, bottom: Number.MAX_SAFE_INTEGER, right: Number.MAX_SAFE_INTEGER };
  return yield* new Finder(cells, everything).find(chosen);
}
