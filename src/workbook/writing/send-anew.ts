/** Sends texts once more that came into cells of another format, since a row or a column was put in that very moment. */
import type { RequestContext } from "../host";
import { codeOf, letGo } from "../host";
import { asSent } from "./content";
import type { HeldSince } from "./put-back";
import { heldWith, neverHeld } from "./put-back";
import { heldRangesOf, told } from "./seen";
import type { CellChange } from "./where-stands";

/** Numbers that the host made of our texts become those texts, so that they can be told from somebody's. */
export async function sendAnew(
  context: RequestContext,
  changes: readonly CellChange[],
  written: readonly HeldSince[],
  owes: ((cells: readonly CellChange[]) => void) | undefined,
): Promise<void> {
  if (changes.length === 0) return;
  const rangeOf = heldRangesOf(context);
  const cells = changes.map((change) => {
    const found = heldWith(written, change);
    return {
      change,
      cell: found?.held.getCell(found.down, 0) ?? rangeOf({ ...change, cells: [change] }),
    };
  });
  try {
    for (const { cell } of cells) cell.load(told);
    await context.sync();
    const numbers = cells.flatMap(({ change, cell }) => {
      const held: unknown = cell.formulas[0]?.[0];
      return typeof held === "number" ? [{ change, cell, held }] : [];
    });
    for (const { change, cell } of numbers)
      cell.formulas = [[asSent(change.after, String(cell.numberFormat[0]?.[0]))]];
    await context.sync().catch((error: unknown) => {
      owes?.(numbers.map(({ change, held }) => ({ ...change, before: held })));
      throw error;
    });
  } catch (error) {
    // Of a request that failed the host came to hold nothing.
    if (codeOf(error) !== neverHeld || written.length === 0) throw error;
    await sendAnew(context, changes, [], owes);
  } finally {
    letGo(cells.map(({ cell }) => cell));
  }
}
