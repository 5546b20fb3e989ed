/** Gives back what somebody typed and a work wrote over, once the workbook answers again. */
import type { RequestContext } from "../host";
import { forgetOwed, owe, owedFor } from "../marks";
import { putBack } from "./put-back";

/** Gives back what is owed for the mark of a work, where our own content stands by now. */
export async function giveBackOwed(context: RequestContext, id: string): Promise<void> {
  const cells = owedFor(id);
  if (cells === undefined) return;
  const owes = (rest: typeof cells): void => {
    forgetOwed(id);
    owe(id, rest);
  };
  await putBack(context, cells, { written: [], owes });
  forgetOwed(id);
}
