/** Formulas that stand one under another and ought to be copies of one. */
import type { SeenCell } from "./seen";

export interface Run {
  /** The cells of the run, formulas and typed numbers. */
  readonly cells: readonly SeenCell[];
  /** The shape that most of its formulas have. */
  readonly form: string;
}

/** So few formulas say nothing about a neighbour. */
const least = 3;
/** Of a run's cells, so large a share must agree before the others are odd. */
const agreeing = 0.6;

const isTotal = ({ formula }: SeenCell): boolean => /^=(SUM|SUBTOTAL|AVERAGE|ROUND\(SUM)\(/i.test(formula);
const counts = ({ shape, value }: SeenCell): boolean => shape !== undefined || typeof value === "number";

/** The form of a cell's formula, units aside: these have a check of their own. */
export const formOf = ({ shape }: SeenCell): string | undefined => shape?.formWithoutUnits;

function runOf(cells: readonly SeenCell[]): Run | undefined {
  const inside = isTotal(cells[cells.length - 1] as SeenCell) ? cells.slice(0, -1) : cells;
  const times = new Map<string, number>();
  for (const cell of inside) {
    const form = formOf(cell);
    if (form !== undefined) times.set(form, (times.get(form) ?? 0) + 1);
  }
  const [most] = [...times].sort(([, a], [, b]) => b - a);
  if (most === undefined || most[1] < least || most[1] < inside.length * agreeing) return undefined;
  return { cells: inside, form: most[0] };
}

/** The runs of a column, parted by rows that hold neither a formula nor a number. */
export function runsIn(column: readonly SeenCell[]): readonly Run[] {
  const stretches: SeenCell[][] = [];
  let previous: SeenCell | undefined;
  for (const cell of column.filter(counts)) {
    const last = stretches[stretches.length - 1];
    if (last !== undefined && previous !== undefined && cell.row === previous.row + 1) last.push(cell);
    else stretches.push([cell]);
    previous = cell;
  }
  return stretches.flatMap((cells) => runOf(cells) ?? []);
}
