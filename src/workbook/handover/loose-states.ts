/** Formulas of ours that are no cell's - of names, conditional formats and limits - as the sheets are told apart by. */
import type { RequestContext } from "../host";
import { mayHoldCalls } from "../formulas";
import { mentionsCarrier } from "./carrier";
import { namedFormulas } from "./names";
import { rulesOn } from "./rules/hand-rules";

export interface LooseState {
  readonly sheet: string;
  readonly isHandedOver: boolean;
}

const isOurs = (formula: string): boolean => mayHoldCalls(formula) || mentionsCarrier(formula);

/** One for each of them, with its sheet; a name of the whole workbook counts for the first sheet that is given. */
export async function looseStates(
  context: RequestContext,
  sheets: readonly string[],
): Promise<readonly LooseState[]> {
  const named = await namedFormulas(context, sheets);
  const ruled = await rulesOn(context, sheets, isOurs);
  const [first = ""] = sheets;
  return [
    ...named
      .filter(({ formula }) => isOurs(formula))
      .map(({ sheet, formula }) => ({ sheet: sheet || first, isHandedOver: mentionsCarrier(formula) })),
    ...ruled.map(({ sheet, formulas }) => ({ sheet, isHandedOver: formulas.some(mentionsCarrier) })),
  ];
}
