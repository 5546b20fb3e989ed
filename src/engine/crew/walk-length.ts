import { formula } from "../formula";
import { amount, size } from "../parameters";

export const walkLength = formula({
  id: "WALK_LENGTH",
  step: "crew",
  sentence: "Distance walked behind a spreader over the whole area, in feet (metric: meters).",
  equation: "area ÷ swath × directions",
  result: { name: "distance walked", kind: "length" },
  parameters: [
    amount("area", "area", "area to spread"),
    size("swath", "length", "distance from one pass to the next"),
    {
      takes: "number",
      id: "directions",
      kind: "count",
      about: "number of passes over the whole area, 2 for half the rate each way",
      blank: "default",
      default: 1,
      least: 1,
      whole: true,
    },
  ],
  sources: [
    {
      title: "Broadcast spreader calibration steps",
      publisher: "LSU AgCenter",
      note: "a course of 1000 ft² is 1000 over the swath long",
    },
  ],
  example: {
    given: [12_000, 6, 2],
    gives: 4000,
    story: "12,000 ft² with a 6 ft swath, half the rate each way",
  },
  body: (m, _unit, area, swath, directions) =>
    m.mul(m.step("one way", "length", m.div(area, swath)), directions),
});
