/** Comments on cells that do not follow as their function did: whoever opens the sheet reads why. */
import type { CellNote, RequestContext } from "../host";
import { qualified } from "../host";
import { addNotes, openings } from "../writing";
import type { UncheckedNote, ValueNote } from "./plan";

/** One cell may hold several values: it gets one comment with every reason. */
function textsByCell(
  values: readonly ValueNote[],
  plainer: readonly UncheckedNote[],
): ReadonlyMap<string, readonly string[]> {
  const cells = new Map<string, readonly string[]>();
  const add = (one: CellNote, opening: string): void => {
    const texts = cells.get(qualified(one)) ?? [opening];
    if (!texts.includes(one.note)) cells.set(qualified(one), [...texts, one.note]);
  };
  for (const one of values) add(one, openings[one.isWhole ? "whole" : "part"]);
  for (const one of plainer) add(one, openings.plainer);
  return cells;
}

/** Comments on cells that have none of the estimator's own; a value that would have followed nothing gets none. */
export async function addValueNotes(
  context: RequestContext,
  values: readonly ValueNote[],
  unchecked: readonly UncheckedNote[],
): Promise<void> {
  const texts = textsByCell(
    values.filter(({ isFrozen }) => isFrozen),
    unchecked.filter(({ isPlainer }) => isPlainer),
  );
  await addNotes(context, new Map([...texts].map(([cell, all]) => [cell, all.join(" ")])));
}
