/** What stands where on a sheet, asked of its layout. */
import type { Concept } from "./concepts";
import type { At } from "./grid";
import type { Figure, Layout, Table } from "./layout";

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
