import { formula } from "../formula";
import { amount } from "../parameters";

/** Markup is a share of the cost: a 50 % markup is a margin of one third. */
export const marginPrice = formula({
  id: "MARGIN_PRICE",
  step: "price",
  sentence:
    "Price that leaves a margin on a cost, in the currency of the cost; margin is a share of the price, not of the cost.",
  equation: "cost ÷ (1 − margin)",
  result: { name: "price", kind: "money" },
  parameters: [
    amount("cost", "money", "cost"),
    {
      takes: "number",
      id: "margin",
      kind: "share",
      about: "margin wanted, as a share of the price",
      blank: "refused",
      above: 0,
      below: 1,
    },
  ],
  sources: [
    {
      title: "Gross margin 40 % on a cost of 60 is a price of 100 (markup 66.7 %)",
      publisher: "published pricing example C03 of the checks",
    },
  ],
  example: { given: [60, 0.4], gives: 100, story: "a cost of 60 at a margin of 40 %" },
  body: (m, _unit, cost, margin) => m.div(cost, m.sub(m.of(1), margin)),
});
