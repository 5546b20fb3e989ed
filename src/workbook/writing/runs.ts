/** Cells one under another, joined: a column of a thousand is written as one. */
import type { Block, Pieces } from "../host";
import { columnsIn, rowsIn } from "../host";

export interface Run<T> {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
  readonly cells: T[];
}

export function columnRuns<
  T extends { readonly sheet: string; readonly row: number; readonly column: number },
>(cells: readonly T[]): readonly Run<T>[] {
  const runs: Run<T>[] = [];
  const inOrder = [...cells].sort(
    (a, b) => a.sheet.localeCompare(b.sheet) || a.column - b.column || a.row - b.row,
  );
  for (const cell of inOrder) {
    const last = runs[runs.length - 1];
    const follows =
      last?.sheet === cell.sheet && last.column === cell.column && last.row + last.cells.length === cell.row;
    if (follows) last.cells.push(cell);
    else runs.push({ sheet: cell.sheet, row: cell.row, column: cell.column, cells: [cell] });
  }
  return runs;
}

/** The runs of members one after another in which a test holds. */
export function runsOf<T>(
  members: readonly T[],
  holds: (member: T, at: number) => boolean,
): readonly { readonly row: number; readonly count: number }[] {
  const runs: { readonly row: number; count: number }[] = [];
  members.forEach((member, row) => {
    if (!holds(member, row)) return;
    const last = runs[runs.length - 1];
    if (last !== undefined && last.row + last.count === row) last.count++;
    else runs.push({ row, count: 1 });
  });
  return runs;
}

interface RunWithin {
  readonly row: number;
  readonly column: number;
  count: number;
}

/** Cells that are gone through between two pauses. */
export const cellsAtATime = 200;

/** The runs in each column of a block, rows and columns counted within it. */
export function* runsWhere(
  block: Block,
  holds: (row: number, column: number) => boolean,
): Pieces<readonly RunWithin[]> {
  const runs: RunWithin[] = [];
  const [rows, columns] = [rowsIn(block), columnsIn(block)];
  for (let column = 0; column < columns; column++) {
    for (let row = 0; row < rows; row++) {
      if (row % cellsAtATime === 0) yield column / columns;
      if (!holds(row, column)) continue;
      const last = runs[runs.length - 1];
      if (last?.column === column && last.row + last.count === row) last.count++;
      else runs.push({ row, column, count: 1 });
    }
  }
  return runs;
}
