import { formula } from "../formula";
import { outlineCorners } from "./polygon-area";
import { siteMeasuring } from "./sources";

/** The side from the last corner back to the first is included. Zeros at the end are taken as in POLYGON_AREA. */
export const perimeter = formula({
  id: "PERIMETER",
  step: "measure",
  sentence: "Length around the outline through surveyed corners, in the unit of the corners.",
  equation: "sum over the sides of √(Δx² + Δy²)",
  result: { name: "length around the outline", kind: "any" },
  parameters: [outlineCorners],
  sources: [siteMeasuring],
  example: {
    given: [
      [
        [0, 0],
        [30, 0],
        [30, 40],
        [0, 40],
      ],
    ],
    gives: 140,
    story: "a rectangle of 30 by 40 ft",
  },
  body: (m, _unit, corners) =>
    m.sumOverSides(corners, (from, to) =>
      m.root(m.add(m.square(m.sub(to.x, from.x)), m.square(m.sub(to.y, from.y)))),
    ),
});
