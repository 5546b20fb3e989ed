import { filledPart } from "../../formulas";
import type { Check, Finds, Found } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenCell } from "../seen";
import { parameterAt } from "../seen";

const isBlank = ({ value }: SeenCell): boolean => value === null || value === "";

/** A figure or a point each: the rows of a block, or the cells of a single row. */
function inOrder(cells: readonly SeenCell[]): readonly (readonly SeenCell[])[] {
  const rows = new Map<number, SeenCell[]>();
  for (const cell of cells) rows.set(cell.row, [...(rows.get(cell.row) ?? []), cell]);
  return rows.size === 1 ? cells.map((cell) => [cell]) : [...rows.values()];
}

/** How the range would end by itself, where it goes down the sheet of its call. */
function filledInstead({ cell }: SeenCall, from: SeenCell, to: SeenCell): string {
  if (from.sheet !== cell.sheet || from.row === to.row) return "";
  return `, or enter ${filledPart(`${from.address}:${to.address}`)} in its place`;
}

function foundIn(call: SeenCall, cells: readonly SeenCell[]): Found | undefined {
  const [from, to] = [cells[0], cells[cells.length - 1]];
  const places = inOrder(cells);
  const last = places.reduce((end, place, i) => (place.every(isBlank) ? end : i), -1);
  if (from === undefined || to === undefined || last < 0) return undefined;
  const reads = `${call.id} reads ${from.address}:${to.address}`;
  const gap = places
    .slice(0, last + 1)
    .flat()
    .find(isBlank);
  if (gap !== undefined) {
    return {
      at: call.cell,
      sentence: `${reads}, and ${gap.address} among its figures is blank.`,
      todo: "Fill it in, or delete the row.",
    };
  }
  if (last === places.length - 1) return undefined;
  const end = places[last]?.at(-1)?.address ?? "";
  return {
    at: call.cell,
    sentence: `${reads}, which is filled to ${end} only: some versions of Excel hand the blank cells over as zeros.`,
    todo: `End the range at ${end}${filledInstead(call, from, to)}.`,
  };
}

function* inCall(call: SeenCall, reading: Reading): Finds {
  for (const [i, { shape, references }] of call.given.entries()) {
    const parameter = parameterAt(call.definition, i);
    const [reference] = references;
    if (parameter?.takes !== "range" || parameter.endZeros === undefined) continue;
    if (shape.kind !== "reference" || reference === undefined) continue;
    const found = foundIn(call, reading.blockOf(call.cell, reference));
    if (found !== undefined) yield found;
  }
}

export const rangePastFigures: Check = {
  id: "range past its figures",
  title: "A range reaches past its filled cells",
  weight: "doubtful",
  source: "Reports of versions of Excel that hand the blank cells of a range over as 0.",
  calls: { of: "any", look: inCall },
};
