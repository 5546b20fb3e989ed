import { formula } from "../formula";
import { amount, size } from "../parameters";

export const hopperLoads = formula({
  id: "HOPPER_LOADS",
  step: "order",
  sentence: "Whole fills of a hopper for an amount of material, in fills.",
  equation: "amount ÷ capacity, rounded up",
  result: { name: "hopper fills", kind: "count", counted: "fills" },
  parameters: [
    amount("amount", "any", "amount to spread"),
    size("capacity", "any", "what the hopper holds, in the unit of the amount"),
  ],
  sources: [{ title: "Whole fills, rounded up", publisher: "common practice" }],
  example: { given: [260, 80], gives: 4, story: "260 lb through a hopper that holds 80 lb" },
  body: (m, _unit, need, capacity) => m.wholeUp(m.step("fills needed", "count", m.div(need, capacity))),
});
