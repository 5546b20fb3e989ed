/** Takes back what a work wrote and what has moved since. */
import type { RequestContext } from "../host";
import type { Step } from "../marks";
import { owedFor, oweOnly } from "../marks";
import type { CellChange } from "../writing";
import { placeOf, takeBackNamed } from "../writing";

/** Answers with the steps that are left then. What somebody typed as it was written over is given back with them. */
export async function movedBack(
  context: RequestContext,
  steps: readonly Step[],
  mark: string,
): Promise<readonly Step[]> {
  const owed = owedFor(mark) ?? [];
  const theirs = new Map(owed.map((one) => [placeOf(one), one]));
  const formats = new Map<string, string>();
  const changes = new Map<string, CellChange>();
  for (const step of steps) {
    if (step.kind !== "cells") continue;
    for (const { row, column, was, to, format } of step.cells) {
      const cell = { sheet: step.sheet, row, column };
      const place = placeOf(cell);
      if (format !== undefined) formats.set(place, format);
      // What was written twice goes back to what it was at first.
      const first = changes.get(place)?.after ?? was;
      changes.set(place, theirs.get(place) ?? { ...cell, before: to, after: first });
    }
  }
  const formatFor = (cell: CellChange) => formats.get(placeOf(cell));
  const { named, back } = await takeBackNamed(context, mark, [...changes.values()], formatFor);
  oweOnly(
    mark,
    owed.filter((one) => !back.has(placeOf(one))),
  );
  return steps.flatMap((step): readonly Step[] => {
    if (step.kind === "guard" && step.isNamed === true) return [];
    if (step.kind !== "cells") return [step];
    const cells = step.cells.filter((cell) => {
      const place = placeOf({ ...cell, sheet: step.sheet });
      // A cell may have lost its format before it was written.
      const isWritten = step.isNamed !== true || named.has(place) || cell.format !== undefined;
      return isWritten && !back.has(place);
    });
    return [{ ...step, cells }];
  });
}
