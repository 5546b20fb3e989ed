import { formula } from "../formula";
import type { Matrix, RangeParameter } from "../parameters";
import { mostCorners, refuseCrossing } from "./outline";
import { siteMeasuring } from "./sources";

/** Corners as surveyed: one a row, in order round the outline, either way round, the first repeated at the end or not. */
export const outlineCorners = {
  takes: "range",
  id: "corners",
  kind: "any",
  about: "corners in order round the outline, one a row, x and y",
  blank: "nothing to cover",
  columns: 2,
  leastRows: 3,
  mostRows: mostCorners,
  endZeros: { most: 0, otherwise: "and begin with the corner at 0, 0" },
} as const satisfies RangeParameter;

/**
 * In the form of its equation the sum keeps its figures where coordinates are large. A last row of zeros may be a blank
 * one that arrives so: where the first corner is at 0, 0 it only closes the outline, elsewhere it is refused.
 */
export const polygonArea = formula({
  id: "POLYGON_AREA",
  step: "measure",
  sentence: "Area inside surveyed corners, in the square of their unit (corners in ft give ft²).",
  equation: "half the sum over the sides of (x₁ − x₂) × (y₁ + y₂)",
  result: { name: "area inside the corners", kind: "any" },
  parameters: [outlineCorners],
  inspect: ([corners]) => {
    refuseCrossing("corners", corners as Matrix);
  },
  unchecked: "that the outline does not cross itself",
  sources: [siteMeasuring],
  example: {
    given: [
      [
        [0, 0],
        [60, 0],
        [60, 40],
        [20, 40],
        [0, 25],
      ],
    ],
    gives: 2250,
    story: "a front lawn of 60 by 40 ft with one corner cut off",
  },
  body: (m, _unit, corners) =>
    m.div(
      m.abs(m.sumOverSides(corners, (from, to) => m.mul(m.sub(from.x, to.x), m.add(from.y, to.y)))),
      m.of(2),
    ),
});
