import { formula } from "../formula";
import { amount, size } from "../parameters";

/** The division by the uniformity gives the driest quarter the depth as well. */
export const runTime = formula({
  id: "RUN_TIME",
  step: "water",
  sentence: "Time of sprinkling for a depth of water, in minutes; depth and depth per hour in one unit.",
  equation: "depth ÷ application rate × 60 ÷ uniformity",
  result: { name: "time of sprinkling", kind: "minutes" },
  parameters: [
    amount("depth", "any", "depth of water wanted"),
    size("application_rate", "any", "depth that falls in an hour, in the unit of the depth"),
    {
      takes: "number",
      id: "uniformity",
      kind: "share",
      about: "distribution uniformity of the sprinklers",
      blank: "default",
      default: 1,
      above: 0,
      most: 1,
    },
  ],
  sources: [
    {
      title: "Calibrating your irrigation system, ENH61",
      publisher: "University of Florida IFAS",
      note: "depth per hour from a catch over minutes",
    },
  ],
  example: {
    given: [0.15, 0.6, 0.75],
    gives: 20,
    story: "0.15 in from sprinklers that give 0.6 in an hour, 75 % uniform",
  },
  body: (m, _unit, depth, applicationRate, uniformity) =>
    m.div(m.step("at even spread", "minutes", m.mul(m.div(depth, applicationRate), m.of(60))), uniformity),
});
