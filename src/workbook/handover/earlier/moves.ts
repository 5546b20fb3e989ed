/**
 * Where cells are now that an earlier edition handed over. A tracker is a reference on its sheet of originals, one for
 * each row and column in use: every spreadsheet keeps references right, so reading them back tells what moved.
 */
import { parseA1Ref, stringifyA1Ref, tokenize } from "@borgar/fx";
import type { RangeA1 } from "@borgar/fx";

export interface TrackedSheet {
  readonly sheet: string;
  /** Rows and columns in use, counted from 0. */
  readonly rows: readonly number[];
  readonly columns: readonly number[];
}

/** Rows or columns in use, in order, with where they are now; undefined where they were deleted. */
class Axis {
  readonly still: boolean;

  constructor(
    private readonly from: readonly number[],
    private readonly to: readonly (number | undefined)[],
  ) {
    this.still = from.every((at, i) => to[i] === at);
  }

  /** A tracked one is where it says; between and beyond them, one has moved as far as the nearest before it. */
  now(at: number): number | undefined {
    let low = 0;
    let high = this.from.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.from[middle] ?? 0) <= at) low = middle + 1;
      else high = middle;
    }
    for (let i = low - 1; i >= 0; i--) {
      const [from, to] = [this.from[i], this.to[i]];
      if (from === at) return to;
      if (from !== undefined && to !== undefined) return at + to - from;
    }
    return at;
  }
}

interface SheetMoves {
  /** Undefined when the sheet is gone. */
  readonly sheet: string | undefined;
  readonly rows: Axis;
  readonly columns: Axis;
}

const still = (name: string, { sheet, rows, columns }: SheetMoves): boolean =>
  sheet === name && rows.still && columns.still;

export interface MovedCell {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
}

function cellIn(reference: string | undefined): MovedCell | undefined {
  const parsed = reference === undefined ? undefined : parseA1Ref(reference, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return undefined;
  const { top, left } = parsed.range;
  const sheet = parsed.context?.[parsed.context.length - 1];
  return sheet === undefined || top === null || left === null ? undefined : { sheet, row: top, column: left };
}

/** What each argument of a tracker points at now; programs spell one whose cell was deleted in ways of their own. */
function pointedAt(tracker: string): readonly (MovedCell | undefined)[] {
  const references: (string | undefined)[] = [undefined];
  for (const { type, value } of tokenize(tracker)) {
    if (value === ",") references.push(undefined);
    else if (type === "range") references[references.length - 1] = value;
  }
  return references.map(cellIn);
}

export class Moves {
  /** Sheets on which nothing moved are left out: asking of them is asking of the cell itself. */
  private readonly sheets: ReadonlyMap<string, SheetMoves>;

  constructor(sheets: ReadonlyMap<string, SheetMoves>) {
    this.sheets = new Map([...sheets].filter(([name, moves]) => !still(name, moves)));
  }

  /** The sheet's name now; undefined when it is gone. A sheet that was not tracked is where it was. */
  sheet(name: string): string | undefined {
    const moves = this.sheets.get(name);
    return moves === undefined ? name : moves.sheet;
  }

  /** Where a cell is now; undefined when its row, column or sheet was deleted. */
  cell(sheet: string, row: number, column: number): MovedCell | undefined {
    const moves = this.sheets.get(sheet);
    if (moves === undefined) return { sheet, row, column };
    const [newRow, newColumn] = [moves.rows.now(row), moves.columns.now(column)];
    return moves.sheet === undefined || newRow === undefined || newColumn === undefined
      ? undefined
      : { sheet: moves.sheet, row: newRow, column: newColumn };
  }

  /** A formula as the spreadsheet itself would have it after the moves. */
  formula(text: string, home: string): string {
    if (this.sheets.size === 0 || !text.startsWith("=")) return text;
    return tokenize(text)
      .map(({ type, value }) =>
        type.startsWith("range") && type !== "range_named" ? this.reference(value, home) : value,
      )
      .join("");
  }

  private reference(text: string, home: string): string {
    const parsed = parseA1Ref(text, { allowNamed: false });
    if (parsed === undefined || !("range" in parsed)) return text;
    const named = parsed.context?.[parsed.context.length - 1];
    const moves = this.sheets.get(named ?? home);
    if (moves === undefined) return text;
    const range = movedRange(parsed.range, moves);
    if (range === undefined || moves.sheet === undefined) return "#REF!";
    return stringifyA1Ref({ ...parsed, range, ...(named === undefined ? {} : { context: [moves.sheet] }) });
  }
}

function movedRange(range: RangeA1, { rows, columns }: SheetMoves): RangeA1 | undefined {
  const one = (at: number | null | undefined, axis: Axis): number | null | undefined =>
    at === null || at === undefined ? null : axis.now(at);
  const [top, bottom] = [one(range.top, rows), one(range.bottom, rows)];
  const [left, right] = [one(range.left, columns), one(range.right, columns)];
  return top === undefined || bottom === undefined || left === undefined || right === undefined
    ? undefined
    : { ...range, top, bottom, left, right };
}

/** What moved, from the trackers as they read now. */
export function movesFrom(tracked: readonly TrackedSheet[], trackers: readonly string[]): Moves {
  const sheets = new Map<string, SheetMoves>();
  // Without trackers a hand-over was cut short, and nothing had time to move.
  if (trackers.length === 0) return new Moves(sheets);
  const cells = trackers.flatMap(pointedAt);
  let next = 0;
  for (const { sheet, rows, columns } of tracked) {
    const take = (count: number) => cells.slice(next, (next += count));
    const [rowCells, columnCells] = [take(rows.length), take(columns.length)];
    sheets.set(sheet, {
      sheet: [...rowCells, ...columnCells].find((cell) => cell !== undefined)?.sheet,
      rows: new Axis(
        rows,
        rowCells.map((cell) => cell?.row),
      ),
      columns: new Axis(
        columns,
        columnCells.map((cell) => cell?.column),
      ),
    });
  }
  return new Moves(sheets);
}
