/** The sheets of a bid in a host that hands blank cells over as 0: they give their functions what is filled and no more. */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { besideLabel, letters } from "./reading";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { blanks: "zero" } });
  await writeBid(
    { system: "us", currency: "$", property: "Larkfield House, 14 Quarry Lane", sample: true },
    unwatched,
  );
});

const sheet = "Outlines";
const firstPoint = 15;
const valueIn = (label: string, column: number) => besideLabel(bench, sheet, label, column);

/** Fills the block of two columns that begins at this one. */
function outline(
  column: number,
  method: string,
  points: readonly (readonly (number | string)[])[],
  interval = "",
): void {
  const cells: Record<string, string> = {};
  const at = (row: number, right = 0) => `${letters(column + right)}${row}`;
  cells[at(6)] = "Back lawn";
  cells[at(7)] = method;
  cells[at(8)] = interval;
  for (let i = 0; i < 14; i++)
    for (const right of [0, 1]) cells[at(firstPoint + i, right)] = String(points[i]?.[right] ?? "");
  bench.setCells(sheet, cells);
}

const area = "Area, ft²";
const edge = "Edge, ft";

/** A bed of five corners, all away from 0, 0: 40 by 30 ft with a corner of 10 by 12 ft cut off. */
const bed = [
  [20, 10],
  [60, 10],
  [60, 28],
  [50, 40],
  [20, 40],
] as const;
const bedArea = 40 * 30 - (10 * 12) / 2;

describe("an outline that ends before its block does", () => {
  test("of corners off the origin has the area and the edge of its corners", () => {
    outline(4, "corners", bed);
    expect(valueIn(area, 4)).toBe(bedArea);
    expect(Number(valueIn(edge, 4))).toBeCloseTo(40 + 18 + Math.hypot(10, 12) + 30 + 30, 9);
  });

  test("of offsets, of radii and of coordinates likewise", () => {
    outline(4, "offsets", [[3], [4], [5]], "10");
    expect(valueIn(area, 4)).toBe(35 + 45);
    outline(4, "radii", [[10], [12], [11]]);
    expect(Number(valueIn(area, 4))).toBeCloseTo((Math.PI * (100 + 144 + 121)) / 3, 9);
    // A ten-thousandth of a degree north and south is 36.4 ft at 42 degrees, east and west 27.1 ft.
    outline(4, "coordinates", [
      [42, -93],
      [42, -92.9999],
      [42.0001, -92.9999],
      [42.0001, -93],
    ]);
    expect(Number(valueIn(area, 4)) / (36.44 * 27.17)).toBeCloseTo(1, 2);
  });

  test("from the sample has its 3,160 square feet", () =>
    expect(valueIn(area, 2)).toBe(64 * 52 - (24 * 14) / 2));

  test("and grows with another corner", () => {
    outline(4, "corners", [...bed, [10, 25]]);
    expect(valueIn(area, 4)).toBe(bedArea + (30 * 10) / 2);
  });
});

describe("a gap among the points", () => {
  test.each([
    ["a blank row", [...bed.slice(0, 2), ["", ""], ...bed.slice(2)]],
    ["a missing y", [...bed.slice(0, 4), [20, ""]]],
    ["a missing x", [...bed.slice(0, 4), ["", 40]]],
  ])("%s is said, and gives no area", (_what, points) => {
    outline(4, "corners", points);
    expect(bench.value(sheet, "E6")).toBe("fill the gap");
    expect(valueIn(area, 4)).toBe("#N/A");
    expect(valueIn(edge, 4)).toBe("#N/A");
    outline(4, "corners", bed);
    expect(bench.value(sheet, "E6")).toBe("");
    expect(valueIn(area, 4)).toBe(bedArea);
  });

  test("an empty block is nothing", () => {
    outline(4, "corners", []);
    expect(valueIn(area, 4)).toBe(0);
    outline(4, "", []);
    expect(valueIn(area, 4)).toBe(0);
  });
});
