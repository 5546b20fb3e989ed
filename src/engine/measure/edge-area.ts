import { formula } from "../formula";
import { amount, size } from "../parameters";
import { conversion } from "../units";

/**
 * What the drop spreader has done before the broadcast begins. Each inside right-angled corner would otherwise count
 * its square twice. Of all shapes of one perimeter the circle holds the most: a strip that would cover more than that
 * is refused.
 */
export const edgeArea = formula({
  id: "EDGE_AREA",
  step: "measure",
  sentence: "Ground covered by one pass along an edge, in ft² (metric: m²).",
  equation: "perimeter × width − corners × width²",
  result: { name: "strip along the edge", kind: "area" },
  parameters: [
    amount("perimeter", "length", "length of the edge walked"),
    size("width", "stripWidth", "width of the strip"),
    {
      takes: "number",
      id: "corners",
      kind: "count",
      about: "number of right-angled corners walked on the inside",
      blank: "default",
      default: 0,
      least: 0,
      whole: true,
    },
  ],
  conversions: { width: conversion(["stripWidth"], ["length"]) },
  sources: [{ title: "A 22 in drop spreader along 350 ft covers 641.67 ft²", publisher: "common practice" }],
  example: { given: [350, 22], gives: 641.67, story: "a 22 in drop spreader walked along 350 ft" },
  body: (m, unit, perimeter, width, corners) => {
    const wide = m.step("width of the strip", "length", m.scale(width, unit.width));
    const strip = m.sub(m.mul(perimeter, wide), m.mul(corners, m.square(wide)));
    const most = m.div(m.square(perimeter), m.of(4 * Math.PI));
    return m.refuseWhen(
      m.greater(strip, most),
      "width",
      "width is so wide that the strip would cover more ground than any shape of that perimeter holds: check that width is in inches (cm) and perimeter in feet (meters).",
      m.refuseWhen(
        m.greater(m.of(0), strip),
        "corners",
        "corners take away more than the strip covers: enter only the right-angled corners walked on the inside.",
        strip,
      ),
    );
  },
});
