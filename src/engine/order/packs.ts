import { formula } from "../formula";
import { amount, lostShare, size } from "../parameters";

export const packs = formula({
  id: "PACKS",
  step: "order",
  sentence: "Whole packs that cover a need, in packs.",
  equation: "need × (1 − short allowed) ÷ pack, rounded up",
  result: { name: "packs to buy", kind: "count", counted: "packs" },
  parameters: [
    amount("need", "any", "amount needed"),
    size("pack", "any", "size of one pack, in the unit of the need"),
    lostShare("short_allowed", "share of the need that may be left short"),
  ],
  sources: [{ title: "Whole packs, rounded up", publisher: "common practice" }],
  example: { given: [20.83, 20], gives: 2, story: "20.83 lb from 20 lb bags" },
  body: (m, _unit, need, pack, shortAllowed) =>
    m.wholeUp(m.step("packs needed", "count", m.div(m.mul(need, m.sub(m.of(1), shortAllowed)), pack))),
});
