import { formula } from "../formula";
import { size } from "../parameters";
import { lengthsInOrder } from "./series";

/**
 * Simpson's rule is interval / 3 x (ends + 4 x odd + 2 x even offsets), the offsets counted from 0. It suits a curved
 * edge; the trapezoids suit a broken one. The offsets may end in one 0, where the ground runs out on the line; two or
 * more may be blank cells that arrive as 0, and are refused.
 */
export const offsetArea = formula({
  id: "OFFSET_AREA",
  step: "measure",
  sentence: "Irregular area from offsets at a fixed interval along a line, in the square of their unit.",
  equation: "interval × (half the end offsets + the offsets between), or Simpson's rule",
  result: { name: "area", kind: "any" },
  parameters: [
    lengthsInOrder("offsets", "offsets in order along the line, the ones at both ends included", 2, {
      most: 1,
      otherwise: "or at the first 0 of the end",
    }),
    size("interval", "any", "distance from one offset to the next"),
    {
      takes: "text",
      id: "rule",
      kind: "text",
      about: "rule for the strips between offsets",
      blank: "default",
      default: "trapezoid",
      choices: ["trapezoid", "simpson"],
    },
  ],
  sources: [
    {
      title: "Calculation of areas from offsets to a base line",
      publisher: "surveying course notes",
      note: "both rules on one set of offsets",
    },
    {
      title: "Trapezoidal and Simpson rules, survey handout 6",
      publisher: "university handout",
      note: "an even number of offsets takes the last strip as a trapezoid",
    },
  ],
  example: {
    given: [[[3.15], [4.3], [8.2], [5.6], [6.85], [7.6], [4.2], [5.6], [4.3]], 10],
    gives: 460.75,
    story: "nine offsets at 10 m along a base line",
  },
  body: (m, _unit, offsets, interval, rule) => {
    const last = m.fromLast(offsets, 0);
    const ends = m.add(m.first(offsets), last);
    const strips = m.sub(m.alternating(offsets, 1, 1), m.div(ends, m.of(2)));
    const weighted = m.alternating(offsets, 2, 4);
    const beforeLast = m.fromLast(offsets, 1);
    const arcs = (sum: typeof weighted, end: typeof last) =>
      m.div(m.sub(m.sub(sum, m.first(offsets)), end), m.of(3));
    const withLastStrip = m.add(
      arcs(m.sub(weighted, m.mul(m.of(4), last)), beforeLast),
      m.div(m.add(beforeLast, last), m.of(2)),
    );
    const simpson = m.when(m.isEven(m.count(offsets)), withLastStrip, arcs(weighted, last));
    return m.mul(interval, m.choose(rule, { trapezoid: strips, simpson }));
  },
});
