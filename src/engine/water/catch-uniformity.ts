import { formula } from "../formula";
import type { RangeParameter } from "../parameters";

const catches = {
  takes: "range",
  id: "catches",
  kind: "any",
  about: "catch of each can, one column or row, in one unit",
  blank: "refused",
  least: 0,
  series: true,
  leastRows: 4,
  endZeros: { most: 1, otherwise: "and enter dry cans before the others" },
} as const satisfies RangeParameter;

/**
 * A quarter that is not a whole number of cans takes the fraction of the next can. The catches may end in one dry can;
 * two or more zeros at the end may be blank cells that arrive so, and are refused: the order of the cans does not
 * matter.
 */
export const catchUniformity = formula({
  id: "CATCH_UNIFORMITY",
  step: "water",
  sentence: "Low-quarter distribution uniformity of a catch-can test, a share from 0 to 1.",
  equation: "mean of the lowest quarter of the catches ÷ mean of all catches",
  result: { name: "distribution uniformity", kind: "share" },
  parameters: [catches],
  sources: [
    {
      title: "Farm Irrigation System Evaluation",
      publisher: "Merriam & Keller, Utah State University",
      year: 1978,
      note: "low-quarter uniformity",
    },
  ],
  example: {
    given: [[[0.5], [0.6], [0.7], [0.4], [0.6], [0.5], [0.7], [0.8]]],
    gives: 0.75,
    story: "eight cans, the lowest two hold 0.4 and 0.5 in",
  },
  body: (m, _unit, cans) => {
    const quarter = m.step("a quarter of the cans", "count", m.div(m.count(cans), m.of(4)));
    const all = m.alternating(cans, 1, 1);
    const low = m.step("in the lowest quarter", "any", m.lowest(cans, quarter));
    return m.refuseWhen(
      m.equal(all, m.of(0)),
      "catches",
      "catches holds no water at all: enter the depth or volume in each can of the test.",
      m.div(m.div(low, quarter), m.step("mean of all cans", "any", m.div(all, m.count(cans)))),
    );
  },
});
