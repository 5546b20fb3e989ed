import { describe, expect, test, vi } from "vitest";
import { conversion, quantityKinds, toNumber, unitSystems, unitText } from "../../src/engine/units";
import type * as Units from "../../src/engine/units";
import type { Fraction, QuantityKind, UnitSystem } from "../../src/engine/units";
import { unitRatio } from "../support/quantities";

const kinds = Object.keys(quantityKinds) as QuantityKind[];
const size = (kind: QuantityKind, system: UnitSystem) => toNumber(quantityKinds[kind][system].size);

/** Equal to twelve figures. */
const closeTo = (value: number, wanted: number) => {
  expect(Math.abs(value / wanted - 1)).toBeLessThan(5e-13);
};

describe("every unit pair", () => {
  test.each(kinds)("%s has the ratio that mathjs has", (kind) => {
    closeTo(size(kind, "us") / size(kind, "metric"), unitRatio(kind, "us", "metric"));
  });

  test.each(kinds)("%s there and back is where it began", (kind) => {
    const there = conversion([kind], ["weight"]);
    const back = conversion(["weight"], [kind]);
    for (const system of unitSystems) {
      const [one, other] = [there[system], back[system]].map(({ operation, by }) =>
        operation === "times" ? by : 1 / by,
      );
      closeTo((one ?? 0) * (other ?? 0), 1);
    }
  });

  test.each(kinds)("%s is named in both systems", (kind) => {
    expect(unitText(kind, "us")).not.toBe("");
    expect(unitText(kind, "metric")).not.toBe(unitText(kind, "us"));
  });
});

describe("the constants that everything is derived from", () => {
  // NIST Handbook 44, appendix C, and the international yard and pound agreement: all of these are exact.
  test("twelve inches are a foot exactly", () => {
    expect(conversion(["stripWidth"], ["length"]).us).toEqual({ operation: "over", by: 12 });
  });

  test("a hundred centimetres are a metre exactly", () => {
    expect(conversion(["stripWidth"], ["length"]).metric).toEqual({ operation: "over", by: 100 });
  });

  test("an area is a length squared, in both systems", () => {
    for (const system of unitSystems) {
      expect(conversion(["length", "length"], ["area"])[system].by).toBe(1);
    }
  });

  test("an inch over a square foot is a twelfth of a cubic foot, a millimetre over a square metre a litre", () => {
    expect(conversion(["area", "depth"], ["bagVolume"])).toEqual({
      us: { operation: "over", by: 12 },
      metric: { operation: "over", by: 1 },
    });
  });

  test("a rate per 1000 ft² over an area in ft² divides by 1000 exactly, g per m² to kg as well", () => {
    expect(conversion(["area", "spreadRate"], ["weight"])).toEqual({
      us: { operation: "over", by: 1000 },
      metric: { operation: "over", by: 1000 },
    });
  });

  test("an acre has 43,560 ft², a hectare 10,000 m²", () => {
    expect(conversion(["area", "labelRate"], ["liquidDose"])).toEqual({
      us: { operation: "over", by: 43_560 },
      metric: { operation: "over", by: 10_000 },
    });
  });

  test("a gallon has 231 in³ and 128 fl oz", () => {
    expect(conversion(["concentration", "liquidDose"], ["weight"]).us).toEqual({
      operation: "over",
      by: 128,
    });
    expect(size("tank", "us") / size("sprayWidth", "us") ** 3).toBeCloseTo(231, 9);
  });

  // NIST SP 811 (2008), appendix B.8, to the figures that are printed there; from memory.
  test.each([
    ["area", 0.09290304],
    ["length", 0.3048],
    ["weight", 0.45359237],
  ] as const)("the US unit of %s is %d of the metric one", (kind, printed) => {
    expect(size(kind, "us") / size(kind, "metric")).toBeCloseTo(printed, 12);
  });
});

/** The kinds that every conversion of the catalogue was asked for. */
const asked = vi.hoisted((): { multiplied: readonly string[]; result: readonly string[] }[] => []);
vi.mock("../../src/engine/units", async (original) => {
  const units = await original<typeof Units>();
  const recorded: typeof units.conversion = (multiplied, result) => {
    asked.push({ multiplied, result });
    return units.conversion(multiplied, result);
  };
  return { ...units, conversion: recorded };
});

describe("every factor of the catalogue is its exact fraction, rounded once", async () => {
  await import("../../src/engine/catalogue");

  /** Above and below the line, in whole numbers of any size. */
  const wholes = (kindsOf: readonly string[], system: UnitSystem): { top: bigint; bottom: bigint } => {
    let [top, bottom] = [1n, 1n];
    for (const kind of kindsOf) {
      const exact: Fraction = quantityKinds[kind as QuantityKind][system].size;
      for (const [prime, power] of exact) {
        if (power > 0) top *= BigInt(prime) ** BigInt(power);
        else bottom *= BigInt(prime) ** BigInt(-power);
      }
    }
    return { top, bottom };
  };
  const common = (a: bigint, b: bigint): bigint => (b === 0n ? a : common(b, a % b));

  test.each(
    asked.flatMap(({ multiplied, result }) =>
      unitSystems.map((system) => [multiplied, result, system] as const),
    ),
  )("%s to %s (%s)", (multiplied, result, system) => {
    const [above, below] = [wholes(multiplied, system), wholes(result, system)];
    const [top, bottom] = [above.top * below.bottom, above.bottom * below.top];
    const shared = common(top, bottom);
    const [least, most] = [Number(top / shared), Number(bottom / shared)];
    expect([least, most].every(Number.isSafeInteger)).toBe(true);
    const factor = conversion(multiplied as QuantityKind[], result as QuantityKind[])[system];
    expect(factor.by).toBe(factor.operation === "times" ? least / most : most / least);
  });

  test("there are some", () => expect(asked.length).toBeGreaterThan(20));
});
