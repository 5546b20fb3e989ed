import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall } from "../seen";
import { numberGiven } from "../seen";
import { perCent } from "../told";

function* inCall({ given: [, margin] }: SeenCall, reading: Reading): Finds {
  const share = margin === undefined ? undefined : numberGiven(margin);
  if (margin?.cell === undefined || share === undefined || share <= 0) return;
  const label = reading.labelOf(margin.cell);
  if (!/mark-?\s?up/i.test(label) || /margin/i.test(label)) return;
  yield {
    at: margin.cell,
    sentence: `“${label}” is reckoned as a margin: ${perCent(share)} of the price is ${perCent(share / (1 - share))} on cost.`,
    todo: `For a markup, the cost × (1 + markup) is the price; for a margin, call it one. A markup of ${perCent(share)} is a margin of ${perCent(share / (1 + share))}.`,
  };
}

export const marginOrMarkup: Check = {
  id: "margin where markup was meant",
  title: "A markup is reckoned as a margin",
  weight: "wrong",
  source: "Arithmetic: a margin is a share of the price, a markup a share of the cost.",
  calls: { of: ["MARGIN_PRICE"], look: inCall },
};
