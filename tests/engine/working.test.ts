import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import { Refusal } from "../../src/engine/refusal";
import { workingOf } from "../../src/engine/working/working";
import { exactly, quantity, readable } from "../../src/engine/working/figures";

/** The working as lines of text, as the pane shows it. */
function lines(id: string, ...given: readonly unknown[]): readonly string[] {
  const definition = functionNamed(id);
  if (definition === undefined) throw new Error(`${id} is not in the catalogue`);
  return workingOf(definition, asHandedOver(definition.parameters, given)).lines.map(
    ({ name, sum, gives }) => (sum === "" ? `${name}: ${gives}` : `${name}: ${sum} = ${gives}`),
  );
}

describe("the working reads as an estimator writes it", () => {
  test.each([
    [
      lines("SEED_WEIGHT", 4000, 7, 0.85),
      [
        "pure live seed needed: 4,000 ft² × 7 lb per 1000 ft² ÷ 1,000 = 28 lb",
        "bulk seed to buy: 28 lb ÷ 85 % = 32.94 lb",
      ],
    ],
    [
      lines("EDGE_AREA", 350, 24, 4),
      [
        "width of the strip: 24 in ÷ 12 = 2 ft",
        "strip along the edge: 350 ft × 2 ft − 4 × (2 ft)² = 684 ft²",
      ],
    ],
    [lines("SEED_WEIGHT", 4000, 7), ["bulk seed to buy: 4,000 ft² × 7 lb per 1000 ft² ÷ 1,000 = 28 lb"]],
    [
      lines("SEED_WEIGHT", 400, 35, 0.85, "metric"),
      [
        "pure live seed needed: 400 m² × 35 g per m² ÷ 1,000 = 14 kg",
        "bulk seed to buy: 14 kg ÷ 85 % = 16.47 kg",
      ],
    ],
    [
      lines("PURE_LIVE_SEED", 0.95, 0.8, 0.05),
      ["live seed: 80 % + 5 % = 85 %", "pure live seed: 95 % × 85 % = 80.75 %"],
    ],
    [
      lines("TOPDRESS_BAGS", 2500, 0.25, 3, 0.2),
      [
        "loose volume: 2,500 ft² × 0.25 in ÷ 12 = 52.08 ft³",
        "spread from one bag: 3 ft³ × (1 − 20 %) = 2.4 ft³",
        "bags needed: 52.08 ft³ ÷ 2.4 ft³ = 21.7",
        "bags to buy: 21.7, rounded up = 22 bags",
      ],
    ],
    [
      lines("EDGE_AREA", 350, 22),
      ["width of the strip: 22 in ÷ 12 = 1.833 ft", "strip along the edge: 350 ft × 1.833 ft = 641.7 ft²"],
    ],
    [
      lines("SEASON_ROOM", 1.5, 0.5, 0.75),
      ["given this season: 0.5 + 0.75 = 1.25", "room left this season: 1.5 − 1.25 = 0.25"],
    ],
    [lines("RADIAL_AREA", [[10], [12], [11], [9]]), ["area: π × (10² + 12² + 11² + 9²) ÷ 4 = 350.3"]],
    [
      lines("SEED_MIX", 4000, 4, [[0.6], [0.4]], [[0.8], [0.85]]),
      [
        "pure live seed of the mix: 4,000 ft² × 4 lb per 1000 ft² ÷ 1,000 = 16 lb",
        "component 1: 16 lb × 60 % ÷ 80 % = 12 lb",
        "component 2: 16 lb × 40 % ÷ 85 % = 7.529 lb",
      ],
    ],
    [
      lines("PACK_MIX", 110, [[50], [20], [5]], [[30], [15], [5]]),
      ["bought: 2 × 50 + 2 × 5 = 110", "left over: 110 − 110 = 0", "cost: each pack at its price = 70"],
    ],
    [
      lines("SEED_RATE", "tall fescue", "new"),
      ["seeding rate: 7 in the table for tall fescue, new, mid = 7 lb per 1000 ft²"],
    ],
    [
      lines("RUN_TIME", 0.15, 0.6, 0.75),
      ["at even spread: 0.15 ÷ 0.6 × 60 = 15 min", "time of sprinkling: 15 min ÷ 75 % = 20 min"],
    ],
    [lines("MARGIN_PRICE", 60, 0.4), ["price: 60 ÷ (1 − 40 %) = 100"]],
    [lines("SEED_WEIGHT", null, 7), ["bulk seed to buy: nothing to cover = 0 lb"]],
  ])("%s", (said, wanted) => {
    expect(said).toEqual(wanted);
  });
});

test("the working refuses what the function refuses", () => {
  expect(() => lines("SEED_WEIGHT", 4000, -7)).toThrow(Refusal);
  expect(() => lines("SEED_MIX", 4000, 7, [[0.5], [0.3]])).toThrow("shares do not add up to 1");
});

test("the last line gives what the function answers", () => {
  for (const definition of catalogue) {
    const given = asHandedOver(definition.parameters, definition.example.given);
    const answer = anyCalculator(definition)(...given);
    const { lines: told, answer: text } = workingOf(definition, given);
    expect(told.length, definition.id).toBeGreaterThan(0);
    if (typeof answer !== "number") continue;
    expect(told[told.length - 1]?.gives, definition.id).toBe(text);
    const read = Number(text.replaceAll(",", "").split(" ")[0]) / (text.endsWith("%") ? 100 : 1);
    // Rounded for reading to four figures, or to one decimal from a thousand up.
    expect(Math.abs(read - answer), definition.id).toBeLessThanOrEqual(
      Math.max(Math.abs(answer) * 5.1e-4, 1e-12),
    );
  }
});

describe("a number rounded for reading", () => {
  const grouped = (digits: Intl.NumberFormatOptions) => new Intl.NumberFormat("en-US", digits);
  const [small, large] = [grouped({ maximumSignificantDigits: 4 }), grouped({ maximumFractionDigits: 1 })];

  test.each([
    0, 0.15, 999.94, 999.96, 1000, 1000.05, 16.895, 1e-7, 0.000123456, 123456789.25, 1e15, -0.25, -1234.56,
  ])("%d is written as the language library writes it", (value) =>
    expect(readable(value)).toBe((Math.abs(value) >= 1000 ? large : small).format(value)),
  );

  test("so is any other", () => {
    const any = fc.double({ min: -1e14, max: 1e14, noNaN: true }).filter((value) => Math.abs(value) > 1e-8);
    fc.assert(
      fc.property(any, (value) => {
        expect(readable(value)).toBe((Math.abs(value) >= 1000 ? large : small).format(value));
        expect(quantity(value, "any", "us", exactly)).toBe(
          grouped({ maximumSignificantDigits: 12 }).format(value),
        );
      }),
    );
  });
});
