/** Gives back what somebody typed and a work wrote over, once the workbook answers again. */
import type { Step } from "../marks";
import { forgetOwed, owe, owedFor } from "../marks";
import { putBack } from "./put-back";

interface Told {
  readonly id: string;
  readonly steps: readonly Step[];
}

/** Gives back what is owed for the mark of a work, where our own content stands by now. */
export async function giveBackOwed(context: Excel.RequestContext, { id, steps }: Told): Promise<void> {
  const cells = owedFor(id);
  if (cells === undefined) return;
  const planned = steps.flatMap((step) =>
    step.kind === "cells"
      ? step.cells.map(({ row, column, was, to }) => ({
          sheet: step.sheet,
          row,
          column,
          before: was,
          after: to,
        }))
      : [],
  );
  const owes = (rest: typeof cells): void => {
    forgetOwed(id);
    owe(id, rest);
  };
  await putBack(context, cells, { planned, owes });
  forgetOwed(id);
}
