import { describe, expect, test } from "vitest";
import { area, fixture } from "./support";

/**
 * Larkfield House was laid out in metres from its gate: the front lawn is 30 by 20 with a bed of 4 by 3 in it,
 * the back lawn 25 by 20 with a gable 10 high on top. The files hold those corners to about a millimetre.
 */
const metres = { front: 30 * 20, bed: 4 * 3, back: 25 * 20 + (25 * 10) / 2 };

const front = [
  [39.9612, -75.6031],
  [39.9612, -75.60274889],
  [39.96138012, -75.60274888],
  [39.96138013, -75.6031],
];
const back = [
  [39.96156025, -75.6031],
  [39.96156025, -75.6028074],
  [39.96174038, -75.6028074],
  [39.96183044, -75.60295955],
  [39.96174038, -75.6031],
];

const files = [
  {
    name: "larkfield-house.geojson",
    outlines: ["Front lawn: area", "Front lawn, left out: left out", "Back lawn: area"],
    notes: ["1 point and 1 line were passed over: only areas are brought in."],
  },
  {
    name: "larkfield-house.kml",
    outlines: ["Front lawn: area", "Front lawn, left out: left out", "Back lawn & swing: area"],
    notes: ["1 point was passed over: only areas are brought in."],
  },
  {
    name: "larkfield-house.gpx",
    outlines: ["Front lawn: area", "Back lawn: area"],
    notes: [
      "1 point was passed over: only areas are brought in.",
      'Walks that end away from their start were closed with a straight line: "Back lawn" over 20 m.',
    ],
  },
];

describe.each(files)("$name", ({ name, outlines, notes }) => {
  const brought = fixture(name);
  const named = (start: string, counts: string) => {
    const found = brought.outlines.find(
      (outline) => outline.name.startsWith(start) && outline.counts === counts,
    );
    if (found === undefined) throw new Error(`no ${start}`);
    return found.points;
  };

  test("names and counts every outline", () => {
    expect(brought.outlines.map((outline) => `${outline.name}: ${outline.counts}`)).toEqual(outlines);
  });

  test("says what was passed over or joined", () => {
    expect(brought.notes).toEqual(notes);
  });

  test("gives latitude before longitude, each corner once, without altitude", () => {
    expect(named("Front", "area")).toEqual(front);
    expect(named("Back", "area")).toEqual(back);
  });

  test("has the areas that were laid out", () => {
    expect(area(named("Front", "area"))).toBeCloseTo(metres.front, 0);
    expect(area(named("Back", "area"))).toBeCloseTo(metres.back, 0);
    if (outlines.length === 3) expect(area(named("Front", "left out"))).toBeCloseTo(metres.bed, 1);
  });
});
