import { expect, test } from "vitest";
import type { Corner } from "../../../src/workbook/outlines/outline";
import { area, away, gate, polygon, readOutlines } from "./support";

const blob = (from: Corner, corners: number, radius: (turn: number) => number): Corner[] =>
  Array.from({ length: corners }, (_, i) => {
    const turn = (2 * Math.PI * i) / corners;
    return away(from, radius(turn) * Math.cos(turn), radius(turn) * Math.sin(turn));
  });
const read = (ring: readonly Corner[]) => {
  const { outlines, notes } = readOutlines("walk.geojson", JSON.stringify(polygon(ring)));
  return { points: outlines[0]?.points ?? [], notes };
};

test("200 corners are left as they are", () => {
  const ring = blob(gate, 200, () => 15);
  expect(read(ring)).toEqual({ points: ring, notes: [] });
});

test.each([
  ["a round lawn", gate, () => 15],
  ["a wavy bed edge", gate, (turn: number) => 20 + 2 * Math.sin(9 * turn)],
  ["a small ring", gate, () => 0.8],
  ["across the date line", [-16.8, 180] as const, (turn: number) => 25 + Math.cos(3 * turn)],
])("%s of 3,000 corners loses many of them and next to no area", (_name, from, radius) => {
  const ring = blob(from, 3000, radius);
  const { points, notes } = read(ring);
  expect(points.length).toBeLessThan(600);
  expect(Math.abs(area(points) / area(ring) - 1)).toBeLessThan(0.0005);
  expect(ring).toEqual(expect.arrayContaining([...points]));
  expect(notes).toEqual([
    `Long outlines were thinned, each area by less than 0.05 %: "Outline 1" from 3000 to ${points.length} points.`,
  ]);
});

test("a ring in which every corner matters keeps them all, and nothing is said", () => {
  const star = blob(gate, 300, (turn) => (Math.round((turn * 150) / Math.PI) % 2 === 0 ? 60 : 20));
  expect(read(star)).toEqual({ points: star, notes: [] });
});
