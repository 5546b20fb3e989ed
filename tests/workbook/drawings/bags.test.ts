import fc from "fast-check";
import { expect, test } from "vitest";
import { bagModel } from "../../../src/workbook/drawings/bag-model";
import { drawBags } from "../../../src/workbook/drawings/bags";
import { isDrawing } from "../../../src/workbook/drawings/drawing";
import type { BagFigures } from "../../../src/workbook/drawings/read-bid";
import { themeInk } from "../../../src/workbook/drawings/svg";
import { bidOf } from "./figures";
import { readSvg, textsOf } from "./reading-svg";

const canvas = { width: 288, ink: themeInk, id: "bags" };

const bags = (more: Partial<BagFigures> = {}): BagFigures => ({
  material: "Peat",
  area: 7882,
  depth: 0.25,
  screenLoss: 0.2,
  swell: 1,
  packs: [{ size: 3, bought: 69 }],
  inStock: 0,
  ...more,
});

/** Bags that have to be opened, before they are rounded up: cubic feet of layer over what one bag leaves. */
const opened = ({ area, depth, screenLoss, swell }: BagFigures, size: number): number =>
  (area * depth) / 12 / (size * swell * (1 - screenLoss));

test("the steps are where one more bag is opened: loss and depth solved by hand", () => {
  const model = bagModel(bags(), "us", 80);
  // 7,882 ft2 at 1/4 in is 164.2083 ft3; 69 bags hold 207 ft3, 80 bags 240 ft3.
  const volume = (7882 * 0.25) / 12;
  expect(model?.bags).toBe(69);
  expect(model?.loss.nextBag).toBeCloseTo(1 - volume / (69 * 3), 6);
  expect(model?.loss.nextLoad).toBeCloseTo(1 - volume / (80 * 3), 6);
  expect(model?.depth.nextBag).toBeCloseTo((69 * 3 * 0.8 * 12) / 7882, 6);
  expect(model?.depth.nextLoad).toBeCloseTo((80 * 3 * 0.8 * 12) / 7882, 6);
});

const anyBags = fc
  .record({
    area: fc.double({ min: 50, max: 80_000, noNaN: true }),
    depth: fc.double({ min: 0.05, max: 1, noNaN: true }),
    screenLoss: fc.double({ min: 0, max: 0.6, noNaN: true }),
    swell: fc.double({ min: 1, max: 2.5, noNaN: true }),
    size: fc.constantFrom(0.75, 1.5, 2, 3, 3.8),
  })
  .map(({ size, ...more }) => bags({ ...more, packs: [{ size, bought: 0 }] }));

test("the steps climb without a gap from end to end, each holding the count that the arithmetic gives", () => {
  fc.assert(
    fc.property(anyBags, (figures) => {
      const [{ size } = { size: 0 }] = figures.packs;
      const model = bagModel(figures, "us", undefined);
      if (model === undefined) throw new Error("Nothing was counted.");
      const exact = opened(figures, size);
      expect(model.bags).toBeGreaterThanOrEqual(exact - 1e-6);
      expect(model.bags).toBeLessThan(exact + 1);
      for (const [curve, key] of [
        [model.loss, "screenLoss"],
        [model.depth, "depth"],
      ] as const) {
        expect(curve.steps[0]?.from).toBe(curve.from);
        expect(curve.steps[curve.steps.length - 1]?.to).toBeCloseTo(curve.to, 9);
        curve.steps.forEach(({ from, to, count }, i) => {
          const before = curve.steps[i - 1];
          if (before !== undefined) {
            expect(count).toBeGreaterThanOrEqual(before.count);
            expect(from).toBeCloseTo(before.to, 6);
          }
          const middle = opened({ ...figures, [key]: (from + to) / 2 }, size);
          // Very many steps are drawn one for several.
          if (curve.steps.length < 160)
            expect(Math.abs(count - Math.ceil(middle))).toBeLessThanOrEqual(to - from < 1e-6 ? 1 : 0);
        });
        const at = curve.steps.find(({ from, to }) => from <= curve.present && curve.present <= to);
        if (curve.steps.length < 160) expect(Math.abs((at?.count ?? 0) - model.bags)).toBeLessThanOrEqual(1);
      }
    }),
    { numRuns: 60 },
  );
});

test("metric bags in litres and millimetres", () => {
  const figures = bags({ area: 730, depth: 6, packs: [{ size: 80, bought: 69 }] });
  const model = bagModel(figures, "metric", undefined);
  // 730 m2 at 6 mm is 4,380 L; an 80 L bag leaves 64 L.
  expect(model?.bags).toBe(Math.ceil(4380 / 64));
  expect(model?.depth.nextBag).toBeCloseTo((69 * 64) / 730, 6);
});

test("the bid is marked, the next bag and the next load are told, stock is told", () => {
  const drawing = drawBags(bidOf({ bags: bags({ inStock: 9 }) }), canvas, 40);
  if (!isDrawing(drawing)) throw new Error(drawing.missing);
  const texts = textsOf(readSvg(drawing.svg));
  expect(texts.filter((text) => text === "69 bags")).toHaveLength(2);
  expect(drawing.description).toMatch(/One more bag beyond 20\.7 % loss or 0\.252 in\./);
  expect(drawing.description).toMatch(/At 40 bags a load: 2 loads, one more beyond/);
  expect(drawing.description).toMatch(/9 ft³ of it are in stock\./);
  expect(drawing.table.rows.find(([count]) => count === "69, the bid")?.[1]).toBe("19.5 % to 20.7 %");
});

test("a job of one bag, no loss and no topdressing", () => {
  const one = drawBags(bidOf({ bags: bags({ area: 10, screenLoss: 0 }) }), canvas);
  expect(isDrawing(one) && one.description).toMatch(/^1 bag of 3 ft³/);
  for (const none of [{ area: 0 }, { depth: 0 }, { packs: [] }]) {
    expect(drawBags(bidOf({ bags: bags(none) }), canvas)).toEqual({
      missing: expect.stringMatching(/^There is no topdressing to count yet: .+\.$/) as string,
    });
  }
});
