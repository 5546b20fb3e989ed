import fc from "fast-check";
import { expect, test } from "vitest";
import { isDrawing } from "../../../src/workbook/drawings/drawing";
import { drawMoney, moneyParts } from "../../../src/workbook/drawings/money";
import type { MoneyFigures } from "../../../src/workbook/drawings/read-bid";
import { bought, stepNames } from "../../../src/workbook/bid/sheets/steps";
import { paperInk } from "../../../src/workbook/drawings/svg";
import { bidOf } from "./figures";
import { readSvg, textsOf } from "./reading-svg";

const canvas = { width: 720, ink: paperInk, id: "money" };

/** As Order reckons: each step's price rounded to cents, tax on the sum. */
function reckoned(steps: MoneyFigures["steps"], overhead: number, margin: number, tax: number): MoneyFigures {
  const cents = (value: number) => Math.round(value * 100) / 100;
  const costs = steps.map(({ labour, materials, equipment }) => labour + materials + equipment);
  const cost = costs.reduce((sum, one) => sum + one, 0);
  const price = cents(costs.reduce((sum, one) => sum + cents((one * (1 + overhead)) / (1 - margin)), 0));
  return { steps, cost, withOverhead: cost * (1 + overhead), price, withTax: cents(price * (1 + tax)) };
}

const sum = fc.double({ min: 0, max: 9000, noNaN: true });
const anyMoney = fc
  .tuple(
    fc.array(fc.record({ labour: sum, materials: sum, equipment: sum }), { minLength: 1, maxLength: 5 }),
    fc.double({ min: 0, max: 0.5, noNaN: true }),
    fc.double({ min: 0, max: 0.8, noNaN: true }),
    fc.double({ min: 0, max: 0.2, noNaN: true }),
  )
  .map(([steps, ...terms]) =>
    reckoned(
      steps.map((step, i) => {
        const which = bought[i] ?? "seed";
        return { step: which, name: stepNames[which], ...step };
      }),
      ...terms,
    ),
  );

test("the parts add up to the price with tax, and the bars are as long as their amounts", () => {
  fc.assert(
    fc.property(anyMoney, (money) => {
      const parts = moneyParts(money);
      const all = parts.reduce((total, { amount }) => total + amount, 0);
      // Parts of less than half a cent are not listed.
      expect(Math.abs(all - money.withTax)).toBeLessThan(0.05);
      const drawing = drawMoney(bidOf({ money }), canvas);
      if (!isDrawing(drawing)) return;
      const bars = readSvg(drawing.svg)
        .filter(({ name, attributes }) => name === "rect" && attributes.height === "14")
        .map(({ attributes }) => Number(attributes.width));
      const sorted = [...parts].map(({ amount }) => amount).sort((a, b) => b - a);
      const drawn = sorted.filter((amount) => amount > 0);
      expect(bars).toHaveLength(drawn.length);
      const perUnit = (bars[0] ?? 0) / (drawn[0] ?? 1);
      bars.forEach((bar, i) => {
        // A bar is a pixel at the least, and two decimals of a pixel long.
        expect(Math.abs(bar - Math.max(1, (drawn[i] ?? 0) * perUnit))).toBeLessThan(0.05);
      });
    }),
  );
});

test("every step's material is named; a step below cost is a loss, told with its sign and without a bar", () => {
  const steps = [
    { step: "topdress" as const, name: "Topdressing", labour: 100, materials: 400, equipment: 0 },
  ];
  const money = { steps, cost: 500, withOverhead: 550, price: 520, withTax: 546 };
  const drawing = drawMoney(bidOf({ money }), canvas);
  if (!isDrawing(drawing)) throw new Error(drawing.missing);
  expect(drawing.table.rows).toEqual([
    ["Topdressing", "$400.00", "73.3 %"],
    ["Labor", "$100.00", "18.3 %"],
    ["Overhead", "$50.00", "9.2 %"],
    ["Sales tax", "$26.00", "4.8 %"],
    ["Loss", "−$30.00", "−5.5 %"],
    ["Price with tax", "$546.00", "100.0 %"],
  ]);
  expect(textsOf(readSvg(drawing.svg))).toContain("−$30.00");
});

test("a currency's sign is text, whatever it is", () => {
  const steps = [{ step: "seed" as const, name: "Seed", labour: 1, materials: 2, equipment: 0 }];
  const money = { steps, cost: 3, withOverhead: 3, price: 3, withTax: 3 };
  const drawing = drawMoney(bidOf({ money, currency: "<&" }), canvas);
  if (!isDrawing(drawing)) throw new Error(drawing.missing);
  expect(textsOf(readSvg(drawing.svg))).toContain("<&2.00");
});

test("a bid without a price is a sentence that says what to enter", () => {
  expect(drawMoney(bidOf({ money: reckoned([], 0.1, 0.3, 0.06) }), canvas)).toEqual({
    missing: expect.stringMatching(/^The bid has no price yet: .+\.$/) as string,
  });
});

test("where part of the sheets is gone, what is missing stands in the place of the drawing", () => {
  const missing = "Order is gone.";
  expect(drawMoney(bidOf({ money: { missing } }), canvas)).toEqual({ missing });
});
