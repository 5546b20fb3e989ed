import { showsErrorNamed } from "../../host";
import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";
import { isTyped } from "../seen";
import type { Run } from "../runs";
import { formOf, runsIn } from "../runs";

/**
 * The odd formulas of a run: alone between two copies, or at an end of a run that is otherwise all copies. Where several
 * differ side by side, or at both ends, they were meant to.
 */
function oddOnes({ cells, form }: Run): readonly SeenCell[] {
  const isOdd = cells.map((cell) => formOf(cell) !== form);
  const many = isOdd.filter(Boolean).length;
  return cells.filter((cell, place) => {
    if (isOdd[place] !== true || isTyped(cell)) return false;
    if (isOdd[place - 1] === true || isOdd[place + 1] === true) return false;
    const isInside = place > 0 && place < cells.length - 1;
    return isInside || many === 1;
  });
}

function* down(cells: readonly SeenCell[], reading: Reading): Finds {
  for (const run of runsIn(cells)) {
    const usual = run.cells.find((cell) => formOf(cell) === run.form);
    for (const { sheet, row, column } of oddOnes(run)) {
      const at = reading.cell(sheet, { row, column });
      // A function that the workbook has lost is told by a check of its own.
      if (showsErrorNamed(at, "#NAME?") || /_xldudf_/i.test(at.formula)) continue;
      yield {
        at,
        sentence: `The formula differs from the others of its column, such as ${usual?.address ?? ""}.`,
        todo: "Copy the formula of a neighbor, or note why this row is worked out another way.",
      };
    }
  }
}

export const unlikeNeighbours: Check = {
  id: "formula unlike neighbours",
  title: "A formula differs from its neighbors",
  weight: "doubtful",
  source: "The formulas above and below.",
  columns: down,
};
