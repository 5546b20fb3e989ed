/** Gives back what somebody typed and a work wrote over, once the workbook answers again. */
import type { RequestContext } from "../host";
import type { OwedCell } from "../marks";
import { owedFor, oweOnly } from "../marks";
import { putBack } from "./put-back";
import { namedRanges } from "./take-back-named";

/**
 * Gives back what is owed for the mark of a work, where our own content stands by now. What cannot be given back, since
 * its cell has gone or holds something else, is answered with, and stays owed until the work is settled.
 */
export async function giveBackOwed(context: RequestContext, id: string): Promise<readonly OwedCell[]> {
  const cells = owedFor(id);
  if (cells === undefined) return [];
  const owes = (rest: readonly OwedCell[]): void => oweOnly(id, rest);
  const written = await namedRanges(context, id);
  const left = await putBack(context, cells, { written, owes });
  owes(left);
  return left;
}
