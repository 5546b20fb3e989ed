import { formula } from "../formula";
import { lengthsInOrder } from "./series";

/**
 * The rule "mean" squares the mean, as some manuals print it, which is low for an irregular outline. The radii may not
 * end in 0, which may be a blank cell that arrives so: they go round, and can begin with it.
 */
export const radialArea = formula({
  id: "RADIAL_AREA",
  step: "measure",
  sentence: "Area around a center from radii at equal angles, in the square of their unit.",
  equation: "π × mean of the squares of the radii, or π × square of their mean",
  result: { name: "area", kind: "any" },
  parameters: [
    lengthsInOrder("radii", "radii at equal angles around the center", 3, {
      most: 0,
      otherwise: "and begin with the radii that are 0",
    }),
    {
      takes: "text",
      id: "rule",
      kind: "text",
      about: "rule for the sectors",
      blank: "default",
      default: "sectors",
      choices: ["sectors", "mean"],
    },
  ],
  sources: [
    {
      title: "How to measure a putting green: 16-point formula",
      publisher: "installation manual",
      note: "the square of the mean radius",
    },
    { title: "Plane geometry of equal sectors", publisher: "common practice" },
  ],
  example: {
    given: [[[10], [12], [11], [9]]],
    gives: 350.3,
    story: "four radii of 9 to 12 ft at right angles",
  },
  body: (m, _unit, radii, rule) => {
    const count = m.count(radii);
    const mean = m.div(m.alternating(radii, 1, 1), count);
    return m.mul(
      m.pi(),
      m.choose(rule, { sectors: m.div(m.sumOfSquares(radii), count), mean: m.square(mean) }),
    );
  },
});
