/** Gives back what somebody typed and a work wrote over, once the workbook answers again. */
import { forgetOwed, owedFor } from "../marks";
import { writeWhereStands } from "./where-stands";

/** Gives back what is owed, where our own content still stands in its place. */
export async function giveBackOwed(context: Excel.RequestContext, mark: string): Promise<void> {
  const cells = owedFor(mark);
  if (cells === undefined) return;
  await writeWhereStands(context, cells);
  forgetOwed(mark);
}
