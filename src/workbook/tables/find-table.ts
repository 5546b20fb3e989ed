/** A table of the estimator's own, found round a cell: its headings, its rows, where it ends. */
import type { Block, CellContent, Pieces, SheetCells } from "../host";
import { cellAddress } from "../host";
import { isText } from "./concepts";
import { isTaken } from "./feeds";
import type { Grid } from "./grid";
import { cellIn, isWords, textOf } from "./grid";
import { headingRead } from "./headings";
import type { FilledRow, Held, Judged, RowsBelow } from "./rows";
import { cellsAcross, gapInTable, heldIn, isLikeTable, isUnitsRow, rowsBelow } from "./rows";

export interface OwnColumn {
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
  readonly columns: readonly OwnColumn[];
  /** What the rows hold under each heading, by its column. */
  readonly held: ReadonlyMap<number, Held>;
}

export type Found = { readonly table: OwnTable } | { readonly trouble: string };

/** How far headings are looked for: up from the chosen cell, down from a title, and down a chosen block. */
const reach = { up: 20_000, down: 6, block: 200 } as const;

interface Run {
  readonly left: number;
  readonly right: number;
}

class Finder implements Grid {
  readonly lastRow: number;
  private readonly lastColumn: number;

  constructor(
    private readonly cells: SheetCells,
    private readonly within: Block,
  ) {
    this.lastRow = Math.min(within.bottom, cells.top + cells.rows.length - 1);
    this.lastColumn = Math.min(within.right, cells.left + cells.width - 1);
  }

  at(row: number, column: number): CellContent {
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

  private textAt(row: number, column: number): string {
    return textOf(this.at(row, column));
  }

  private isHeading(row: number, column: number): boolean {
    const { heading, candidates } = headingRead(this.textAt(row, column));
    return heading.unit !== undefined || candidates.length > 0;
  }

  /** How many cells of a run are headings of the trade; 0 where a row of figures or a title is meant. */
  private understood(row: number, run: Run | undefined): number {
    if (run === undefined || run.left === run.right) return 0;
    return this.columnsOf(run).filter((column) => this.isHeading(row, column)).length;
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

  private isUnitsRow(row: number, run: Run): boolean {
    return isUnitsRow(cellsAcross(this, row, this.columnsOf(run)));
  }

  /** Columns that hold words where others hold figures, such as the grass. */
  private columnsOfWords(headings: number, run: Run): ReadonlySet<number> {
    return new Set(
      this.columnsOf(run).filter((column) =>
        headingRead(this.textAt(headings, column)).candidates.some(
          ({ meaning }) => isText(meaning) && isTaken(meaning),
        ),
      ),
    );
  }

  /** A person looks at what is proposed for each row: after an empty row any row with a figure is one of the table. */
  private judge(run: Run, row: FilledRow): Judged {
    if (row.totals !== undefined) return row.gap <= gapInTable ? "the totals" : "the end";
    const isOther = !row.hasFigure && this.understood(row.row, this.run(row.row, run.left)) > 1;
    if (isOther || (row.gap > 0 && !row.hasFigure)) return "the end";
    return row.gap <= gapInTable || isLikeTable(row) ? "of the table" : "the end";
  }

  private *rowsBelow(headings: number, from: number, run: Run): Pieces<RowsBelow> {
    const ofWords = this.columnsOfWords(headings, run);
    const under = { columns: this.columnsOf(run), ofWords, from, to: this.lastRow };
    return yield* rowsBelow(this, under, (row) => this.judge(run, row));
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
    const { rows, last, totalsRow } = below;
    const columns = this.columnsOf(run).map((one) => ({
      column: one,
      heading: this.textAt(heading.row, one).replace(/\s+/g, " "),
      unitBelow: hasUnits ? this.textAt(heading.row + 1, one) : "",
    }));
    const held = new Map<number, Held>();
    for (const { column: one } of columns) held.set(one, yield* heldIn(this, one, rows));
    const end = { bottom: totalsRow ?? last, ...(totalsRow === undefined ? {} : { totalsRow }) };
    return {
      table: { cells: this.cells, chosen, headingRow: heading.row, ...run, rows, ...end, columns, held },
    };
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
