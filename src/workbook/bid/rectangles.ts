/** Joins cells that are alike into rectangles, so that a sheet of thousands of cells takes few calls to lay out. */
export interface Rectangle<T> {
  readonly like: T;
  readonly top: number;
  readonly left: number;
  readonly right: number;
  bottom: number;
}

interface Placed {
  readonly row: number;
  readonly column: number;
}

/** Cells with the same key, side by side and then row under row; a cell without a key is left out. */
export function rectangles<T extends Placed>(
  cells: readonly T[],
  keyOf: (cell: T) => string | undefined,
): readonly Rectangle<T>[] {
  const done: Rectangle<T>[] = [];
  let above = new Map<string, Rectangle<T>>();
  let current = new Map<string, Rectangle<T>>();
  let run: { readonly like: T; readonly key: string; right: number } | undefined;
  let row = 0;
  const endRun = () => {
    if (run === undefined) return;
    const place = JSON.stringify([run.key, run.like.column, run.right]);
    const grown = above.get(place);
    if (grown !== undefined && grown.bottom === row - 1) {
      grown.bottom = row;
      current.set(place, grown);
    } else {
      const started = { like: run.like, top: row, left: run.like.column, right: run.right, bottom: row };
      done.push(started);
      current.set(place, started);
    }
    run = undefined;
  };
  for (const cell of [...cells].sort((a, b) => a.row - b.row || a.column - b.column)) {
    if (cell.row !== row) {
      endRun();
      above = current;
      current = new Map();
      row = cell.row;
    }
    const key = keyOf(cell);
    if (run !== undefined && run.key === key && run.right === cell.column - 1) {
      run.right = cell.column;
      continue;
    }
    endRun();
    if (key !== undefined) run = { like: cell, key, right: cell.column };
  }
  endRun();
  return done;
}
