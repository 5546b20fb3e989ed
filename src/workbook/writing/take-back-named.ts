/** Takes back what a work wrote where it stands by now, found by the names that went along with it. */
import type { RequestContext } from "../host";
import { heldCells } from "../marks";
import type { HeldSince } from "./put-back";
import { heldWith, putBack } from "./put-back";
import { cellsAtOnce, isMoved, placeOf } from "./take-back-held";
import type { CellChange } from "./where-stands";

/** Ranges of what a work wrote, by its mark. */
export async function namedRanges(context: RequestContext, id: string): Promise<readonly HeldSince[]> {
  const cells = await heldCells(context, id);
  return cells.map(({ sheet, row, column, count, range }) => ({
    run: { sheet, row, column, cells: { length: count } },
    range,
  }));
}

interface Found {
  /** The places of what has a name. */
  readonly named: ReadonlySet<string>;
  /** Those of what had moved since and was put back. */
  readonly back: ReadonlySet<string>;
}

/** Of what is to be put back that which has moved since it was written; the rest is found by its places. */
export async function takeBackNamed(
  context: RequestContext,
  id: string,
  changes: readonly CellChange[],
  formatFor: (cell: CellChange) => string | undefined,
): Promise<Found> {
  const written = await namedRanges(context, id);
  const moved = written.filter(isMoved);
  const away = changes.filter((one) => heldWith(moved, one) !== undefined);
  const back = new Set(away.map(placeOf));
  for (let from = 0; from < away.length; from += cellsAtOnce) {
    const part = away.slice(from, from + cellsAtOnce);
    const left = await putBack(context, part, { written, owes: undefined, formatFor });
    for (const one of left) back.delete(placeOf(one));
  }
  const named = changes.filter((one) => heldWith(written, one) !== undefined);
  return { named: new Set(named.map(placeOf)), back };
}
