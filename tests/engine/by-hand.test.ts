/**
 * Every optional argument of every function in a case whose answer is arithmetic or geometry in the case itself.
 * What publications print is in `tests/published`; these are the arguments that they leave out.
 */
import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import { Refusal } from "../../src/engine/refusal";
import { publishedSources } from "../published/sources";

interface ByHand {
  readonly function: string;
  readonly given: readonly unknown[];
  /** Worked out in the case. */
  readonly wanted: number | readonly number[];
  readonly because: string;
}

/** A frame of even width inside a rectangle: what its outside holds less what its inside holds. */
const frame = (length: number, width: number, strip: number): number =>
  length * width - (length - 2 * strip) * (width - 2 * strip);

const cases: readonly ByHand[] = [
  {
    function: "EDGE_AREA",
    given: [2 * (100 + 75), 22, 4],
    wanted: frame(100, 75, 22 / 12),
    because: "a pass of 22 in inside a lawn of 100 by 75 ft is a frame with four inside corners",
  },
  {
    function: "EDGE_AREA",
    given: [2 * (30 + 20), 60, 4, "metric"],
    wanted: frame(30, 20, 0.6),
    because: "the same of 60 cm in 30 by 20 m",
  },
  {
    function: "EDGE_AREA",
    given: [300, 24, 1],
    wanted: 300 * 2 - 2 * 2,
    because: "300 ft by 2 ft, one square of 2 ft counted twice",
  },
  {
    function: "SEED_WEIGHT",
    given: [400, 35, 0.7, "metric"],
    wanted: 14 / 0.7,
    because: "400 m2 at 35 g are 14 kg of live seed",
  },
  {
    function: "SEED_DENSITY",
    given: [7, 230_000, 0.8],
    wanted: (7 * 230_000 * 0.8) / (1000 * 144),
    because: "7 lb of 230,000 seeds, four in five alive, over 1000 ft2 of 144 in2",
  },
  {
    function: "SEED_DENSITY",
    given: [35, 500_000, 0.8, "metric"],
    wanted: (0.035 * 500_000 * 0.8) / 10_000,
    because: "35 g of 500,000 seeds a kg over 10,000 cm2",
  },
  {
    function: "SEED_MIX",
    given: [400, 20, [[0.75], [0.25]], [[0.8], [0.5]], "metric"],
    wanted: [(8 * 0.75) / 0.8, (8 * 0.25) / 0.5],
    because: "400 m2 at 20 g are 8 kg, three quarters of them of the first",
  },
  {
    function: "FERTILISER_WEIGHT",
    given: [500, 5, 0.25, "metric"],
    wanted: 2.5 / 0.25,
    because: "500 m2 at 5 g of the nutrient are 2.5 kg",
  },
  {
    function: "NUTRIENT_RATE",
    given: [10, 500, 0.25, "metric"],
    wanted: 2500 / 500,
    because: "10 kg hold 2,500 g of the nutrient",
  },
  {
    function: "BAG_COVERAGE",
    given: [10, 5, 0.25, "metric"],
    wanted: 2500 / 5,
    because: "10 kg hold 2,500 g of the nutrient, 5 g for each m2",
  },
  {
    function: "LABEL_DOSE",
    given: [2500, 2000, "metric"],
    wanted: 2000 / 4,
    because: "2,500 m2 are a quarter of a hectare",
  },
  {
    function: "ACTIVE_RATE",
    given: [2500, 480, "metric"],
    wanted: 2.5 * 480,
    because: "2,500 mL are 2.5 L of 480 g",
  },
  {
    function: "GRANULE_ACTIVE_RATE",
    given: [15, 0.02, "metric"],
    wanted: 15 * 10_000 * 0.02,
    because: "15 g on each of 10,000 m2, a fiftieth of it active",
  },
  {
    function: "TANK_LOADS",
    given: [5000, 3000, 400, 150, "metric"],
    // 200 L: a full load of 150 L and one of 50 L, three quarters and a quarter of the area and of its 1,500 mL.
    wanted: [1, 3750, 150, 1125, 2, 1250, 50, 375],
    because: "half a hectare at 400 L",
  },
  {
    function: "SPRAY_VOLUME",
    given: [2000, 50, "metric"],
    wanted: 2 * (10_000 / 50),
    because: "2 L on a 200th of a hectare",
  },
  {
    function: "NOZZLE_VOLUME",
    given: [1.2, 6, 0.5, "metric"],
    wanted: 1.2 / ((6000 / 60) * 0.5 * 1e-4),
    because: "100 m a minute, half a meter wide, are 50 m2",
  },
  {
    function: "TOPDRESS_VOLUME",
    given: [300, 6, "metric"],
    wanted: 300 * 6,
    because: "a mm on a m2 is a liter",
  },
  {
    function: "TOPDRESS_BAGS",
    given: [300, 6, 50, 0.1, 1.2, "metric"],
    wanted: Math.ceil(1800 / (50 * 1.2 * 0.9)),
    because: "1,800 L of bags that give 54 L, 33.3",
  },
  {
    function: "TOPDRESS_DEPTH",
    given: [300, 30, 50, 0.1, 1.2, "metric"],
    wanted: (30 * 50 * 1.2 * 0.9) / 300,
    because: "1,620 L on 300 m2",
  },
  {
    function: "TOPDRESS_DEPTH",
    given: [1200, 40, 3, 0.25, 1.2],
    wanted: ((40 * 3 * 1.2 * 0.75) / 1200) * 12,
    because: "108 ft3 on 1,200 ft2",
  },
  {
    function: "WALK_LENGTH",
    given: [600, 1.5, 2, "metric"],
    wanted: 800,
    because: "400 m, there and across",
  },
  {
    function: "DELIVERED_RATE",
    given: [900, 1.5, 30, "metric"],
    wanted: 900 / 45,
    because: "900 g on 45 m2",
  },
  { function: "WATER_VOLUME", given: [300, 4, "metric"], wanted: 1200, because: "a mm on a m2 is a liter" },
  {
    function: "PACK_MIX",
    given: [70, [[50], [20]], [[30], [20]]],
    // 50 and 20 cost 50; two of 50 cost 60, four of 20 cost 80.
    wanted: [1, 1],
    because: "the cheapest of three mixes",
  },
  {
    function: "PACK_MIX",
    given: [60, [[50], [20]]],
    // 50 and 20 leave 10 over, two of 50 leave 40, three of 20 none.
    wanted: [0, 3],
    because: "without prices the least is left over",
  },
  {
    function: "EACH_ROW",
    given: ["PACKS", [[10], [21], [30]], 10],
    wanted: [1, 3, 3],
    because: "each row by itself",
  },
  // What divides evenly but for the last bits of a double is no further pack.
  { function: "PACKS", given: [0.1 + 0.2, 0.1], wanted: 3, because: "0.3 are three of 0.1" },
  { function: "PACKS", given: [1.1 * 3, 1.1], wanted: 3, because: "3.3 are three of 1.1" },
  { function: "PACKS", given: [3.000001, 1], wanted: 4, because: "a millionth is a need" },
  { function: "PACKS", given: [100, 25, 0.05], wanted: 4, because: "95 of 100, in packs of 25" },
  { function: "PACKS", given: [20_000_001, 2], wanted: 10_000_001, because: "half a pack is a pack" },
  { function: "PACKS", given: [1e305, 1], wanted: 1e305, because: "no number is too large to be rounded" },
];

const answerOf = ({ function: name, given }: ByHand): readonly number[] => {
  const definition = functionNamed(name);
  if (definition === undefined) throw new Error(`${name} is not in the catalogue`);
  const answer = anyCalculator(definition)(...asHandedOver(definition.parameters, given));
  return (Array.isArray(answer) ? (answer as unknown[][]).flat() : [answer]).map(Number);
};

describe("by hand", () => {
  test.each(
    cases.map((one) => [`${one.function} ${JSON.stringify(one.given)}: ${one.because}`, one] as const),
  )("%s", (_, one) => {
    const answer = answerOf(one);
    const wanted = typeof one.wanted === "number" ? [one.wanted] : one.wanted;
    expect(answer).toHaveLength(wanted.length);
    wanted.forEach((value, i) =>
      expect(Math.abs((answer[i] ?? Number.NaN) - value)).toBeLessThanOrEqual(1e-12 * Math.abs(value)),
    );
  });

  test("more corners than a strip has squares are refused", () => {
    // 40 ft by 2 ft are 80 ft2, 21 squares of 4 ft2 are more.
    expect(() => answerOf({ function: "EDGE_AREA", given: [40, 24, 21], wanted: 0, because: "" })).toThrow(
      Refusal,
    );
  });
});

test("every optional argument is given in a case from outside", () => {
  const outside = [...cases, ...publishedSources.flatMap((source) => source.cases)];
  const missing = catalogue.flatMap(({ id, parameters }) =>
    parameters.flatMap((parameter, i) =>
      parameter.blank === "default" &&
      !outside.some(({ function: name, given }) => name === id && given[i] !== undefined && given[i] !== null)
        ? [`${id} ${parameter.id}`]
        : [],
    ),
  );
  expect(missing).toEqual([]);
});
