import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { packMix } from "../../src/engine/order/pack-mix";
import type { NativeArgument } from "../../src/engine/native/pieces";
import { nativeCell } from "../../src/engine/native/spilled";
import { binding, leftOut } from "../../src/engine/native/pieces";
import { Refusal } from "../../src/engine/refusal";
import { recalculateInIronCalc } from "../support/ironcalc";
import type { CellContent, CellValue, SheetValues } from "../support/libreoffice";
import { recalculateFormulas } from "../support/libreoffice";
import { beyondLimits } from "../../src/workbook/formulas/formula-limits";

const calculate = anyCalculator(packMix);

interface Problem {
  readonly need: number;
  /** A blank cell is null. */
  readonly sizes: readonly (number | null)[];
  /** Undefined where the argument is left out. */
  readonly prices: readonly (number | null)[] | undefined;
}

const reference = (text: string): NativeArgument => ({ text, binding: binding.whole });
const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/** The need stands in A, the sizes from B on, the prices from J on, the counts from R on. */
const [firstSize, firstPrice, firstCount] = [1, 9, 17];
const at = (column: number, row: number): string => `${letters[column] ?? ""}${row}`;

/** The native formulas of a problem's counts, from references alone: what stands in the cells is not known to them. */
function formulasOf({ sizes, prices }: Problem, row: number, sheet = ""): readonly string[] {
  const many = sizes.length;
  const range = (first: number) => reference(`${sheet}${at(first, row)}:${at(first + many - 1, row)}`);
  const given = [
    reference(`${sheet}${at(0, row)}`),
    range(firstSize),
    prices === undefined ? leftOut : range(firstPrice),
  ];
  return sizes.map(
    (_size, column) => nativeCell(packMix, given, { rows: 1, columns: many, row: 0, column }).text,
  );
}

const cellsOf = (problem: Problem, row: number): readonly CellContent[] => {
  const put = (first: number, values: readonly (number | null)[]) =>
    values.flatMap((content, i) =>
      content === null ? [] : [{ sheet: "S", address: at(first + i, row), content }],
    );
  return [
    { sheet: "S", address: at(0, row), content: problem.need },
    ...put(firstSize, problem.sizes),
    ...put(firstPrice, problem.prices ?? []),
    ...formulasOf(problem, row).map((text, i) => ({
      sheet: "S",
      address: at(firstCount + i, row),
      content: `=${text}`,
    })),
  ];
};

const countsIn = (values: SheetValues, { sizes }: Problem, row: number): readonly CellValue[] =>
  (values.get("S")?.[row - 1] ?? []).slice(firstCount, firstCount + sizes.length);

/** What our own function answers, proven elsewhere against brute force and a mixed-integer solver. */
function answerOf({ need, sizes, prices }: Problem): readonly number[] | undefined {
  try {
    return (calculate(need, [sizes], prices === undefined ? null : [prices]) as number[][])[0] ?? [];
  } catch (refusal) {
    if (refusal instanceof Refusal) return undefined;
    throw refusal;
  }
}

/** Cost in cents, what is bought in thousandths, packs: whole numbers. */
function scoreOf(counts: readonly CellValue[], { sizes, prices }: Problem): readonly number[] {
  const sum = (values: readonly (number | null)[], unit: number) =>
    counts.reduce<number>(
      (total, count, i) => total + Number(count) * Math.round((values[i] ?? 0) * unit),
      0,
    );
  return [
    sum(prices ?? [], 100),
    sum(sizes, 1000),
    counts.reduce<number>((total, count) => total + Number(count), 0),
  ];
}

/** The best score of every mix there is, tried one by one. */
function bruteForce(problem: Problem): readonly number[] {
  let best: readonly number[] | undefined;
  const better = (one: readonly number[], other: readonly number[]): boolean => {
    const differs = one.findIndex((value, i) => value !== other[i]);
    return differs >= 0 && (one[differs] ?? 0) < (other[differs] ?? 0);
  };
  const visit = (counts: readonly number[]): void => {
    const size = problem.sizes[counts.length];
    if (size === undefined) {
      const score = scoreOf(counts, problem);
      const covers = (score[1] ?? 0) >= Math.round(problem.need * 1000);
      if (covers && (best === undefined || better(score, best))) best = score;
      return;
    }
    const most = size === null ? 0 : Math.ceil(problem.need / size);
    for (let many = 0; many <= most; many++) visit([...counts, many]);
  };
  visit([]);
  return best ?? [];
}

const covers = (counts: readonly CellValue[], problem: Problem): boolean =>
  (scoreOf(counts, problem)[1] ?? 0) >= problem.need * 1000 - 1e-3;

/** What packs of the trade hold, in pounds, cubic feet and kilograms, and sizes that no trade has. */
const tradeSizes = [50, 40, 25, 20, 15, 10, 5, 2.5, 22.68, 11.34, 1.5, 0.75, 2];
const anySize = fc.oneof(fc.constantFrom(...tradeSizes), fc.integer({ min: 1, max: 60 }));
const sizes = fc
  .tuple(fc.array(anySize, { minLength: 2, maxLength: 3 }), fc.integer({ min: 0, max: 9 }))
  .map(([some, blank]): readonly (number | null)[] =>
    some.map((size, i) => (i === blank && some.length === 3 ? null : size)),
  );
/** Prices by the pound that come near one another, so that every size has its chance. */
const rates = fc.array(fc.integer({ min: 85, max: 130 }), { minLength: 3, maxLength: 3 });
type Pricing = "none" | "blank" | "by size" | "as the size";
const pricing = fc.constantFrom<Pricing>("none", "blank", "by size", "by size", "by size", "as the size");

const problems = (need: fc.Arbitrary<number>): fc.Arbitrary<Problem> =>
  fc.tuple(need, sizes, rates, pricing).map(([amount, packs, perPound, how]) => ({
    need: amount,
    sizes: packs,
    prices:
      how === "none"
        ? undefined
        : packs.map((size, i) =>
            size === null || how === "blank"
              ? null
              : how === "as the size"
                ? size
                : Math.round(size * (perPound[i] ?? 100)) / 100,
          ),
  }));

const smallNeed = fc.integer({ min: 1, max: 900 }).map((tenths) => tenths / 10);
const anyNeed = fc.oneof(
  smallNeed,
  fc.integer({ min: 1, max: 3_000_000 }).map((value) => value / 1000),
);

/** So that neither the need nor the sizes pass the bounds, whatever the prices. */
const isWithin = ({ need, sizes: packs }: Problem): boolean => {
  const filled = packs.filter((size): size is number => size !== null);
  const [least, largest] = [Math.min(...filled), Math.max(...filled)];
  return largest <= 4 * least && need <= (packs.length === 2 ? 63 : 31) * least;
};

const toTheHundredth = (problem: Problem): Problem => ({
  ...problem,
  sizes: problem.sizes.map((size) => (size === null ? null : Math.round(size * 100) / 100)),
});

const many = Number(process.env.PACK_PROBLEMS ?? 500);

test("the native form finds the mix that trying every mix finds, in LibreOffice", async () => {
  const all = fc.sample(problems(smallNeed).filter(isWithin), { numRuns: many, seed: 11 });
  const values = await recalculateFormulas(all.flatMap((problem, i) => cellsOf(problem, i + 1)));
  all.forEach((problem, i) => {
    const counts = countsIn(values, problem, i + 1);
    expect({ problem, score: scoreOf(counts, problem) }).toEqual({ problem, score: bruteForce(problem) });
    expect({ problem, counts }).toEqual({ problem, counts: answerOf(problem) });
  });
}, 120_000);

test("needs of any size: the same counts as the function, or whole packs of one size that cover", async () => {
  const all = fc.sample(problems(anyNeed), { numRuns: many, seed: 12 });
  const values = await recalculateFormulas(all.flatMap((problem, i) => cellsOf(problem, i + 1)));
  let alone = 0;
  all.forEach((problem, i) => {
    const counts = countsIn(values, problem, i + 1);
    const wanted = answerOf(problem);
    if (JSON.stringify(counts) === JSON.stringify(wanted)) return;
    alone += 1;
    const bought = counts.filter((count) => count !== 0);
    expect({ problem, bought: bought.length, covers: covers(counts, problem) }).toEqual({
      problem,
      bought: 1,
      covers: true,
    });
    // No pack too many: one less would not cover.
    const less = counts.map((count) => (count === 0 ? 0 : Number(count) - 1));
    expect(covers(less, problem)).toBe(false);
  });
  console.log(`${all.length - alone} of ${all.length} mixes exact, ${alone} covered by one size`);
  expect(alone).toBeLessThan(all.length / 5);
}, 120_000);

test("follows every input after the hand-over: need, sizes, prices, a size taken off sale", async () => {
  const before = fc.sample(problems(smallNeed).filter(isWithin), { numRuns: 60, seed: 13 });
  const changes: readonly ((problem: Problem) => Problem)[] = [
    (one) => ({ ...one, need: one.need / 1.37 }),
    (one) => ({ ...one, need: 0 }),
    (one) => ({ ...one, sizes: one.sizes.map((size) => (size === null ? null : size * 1.5)) }),
    (one) => ({ ...one, sizes: [...one.sizes].reverse(), prices: one.prices && [...one.prices].reverse() }),
    (one) => ({ ...one, prices: one.prices?.map((price, i) => (price === null ? null : price * (i + 1))) }),
    (one) => ({
      ...one,
      sizes: one.sizes.map((size, i) => (i === 0 ? null : size)),
      prices: one.prices?.map((price, i) => (i === 0 ? null : price)),
    }),
    (one) => ({ ...one, prices: one.prices?.map(() => null) }),
  ];
  const after = before.flatMap((problem) => changes.map((change) => change(problem))).map(toTheHundredth);
  // The formulas are those of before, at another row: nothing of the values is in them.
  after.forEach((problem, i) => {
    expect(formulasOf(problem, 1)).toEqual(formulasOf(before[Math.floor(i / changes.length)] ?? problem, 1));
  });
  const values = await recalculateFormulas(after.flatMap((problem, i) => cellsOf(problem, i + 1)));
  after.forEach((problem, i) => {
    const counts = countsIn(values, problem, i + 1);
    const wanted = answerOf(problem);
    if (wanted === undefined) {
      expect(counts.every((count) => typeof count === "string" && count.startsWith("#"))).toBe(true);
    } else {
      expect({ problem, counts }).toEqual({ problem, counts: wanted });
    }
  });
}, 120_000);

test("the second engine finds the same counts", () => {
  const all = fc.sample(problems(anyNeed), { numRuns: 40, seed: 14 });
  const values = recalculateInIronCalc(all.flatMap((problem, i) => cellsOf(problem, i + 1)));
  const exact = all.filter(
    (problem, i) => JSON.stringify(countsIn(values, problem, i + 1)) === JSON.stringify(answerOf(problem)),
  );
  for (const [i, problem] of all.entries())
    expect(covers(countsIn(values, problem, i + 1), problem)).toBe(true);
  expect(exact.length).toBeGreaterThan(30);
}, 60_000);

describe("hostile cases, each settled as the function settles it, or as an error", () => {
  const hostile: readonly (readonly [story: string, problem: Problem])[] = [
    ["two lots of one size at one price", { need: 130, sizes: [50, 50, 25], prices: [60, 60, 31] }],
    ["three lots of one size at one price", { need: 130, sizes: [50, 50, 50], prices: [60, 60, 60] }],
    ["one size at two prices, the dear one first", { need: 130, sizes: [50, 50], prices: [61, 60] }],
    [
      "mixes alike in everything: 20 + 20 or 10 + 30",
      { need: 40, sizes: [10, 20, 30], prices: [10, 20, 30] },
    ],
    ["the same from the large end", { need: 40, sizes: [30, 20, 10], prices: undefined }],
    ["a small pack on offer below the large one", { need: 115, sizes: [50, 10], prices: [70, 12] }],
    ["a need a hair above whole packs", { need: 100.00000000000003, sizes: [50, 25], prices: [60, 31] }],
    ["a need just above whole packs", { need: 100.001, sizes: [50, 25], prices: [60, 31] }],
    ["a need far below the smallest pack", { need: 0.01, sizes: [50, 25, 10], prices: [60, 31, 13] }],
    ["no need", { need: 0, sizes: [50, 25, 10], prices: [60, 31, 13] }],
    ["a size without its price", { need: 100, sizes: [50, 25], prices: [60, null] }],
    ["a price without its size", { need: 100, sizes: [50, null], prices: [60, 31] }],
    [
      "a price of a thousand for what is not on sale",
      { need: 110, sizes: [50, 50, 25], prices: [60, 61_000, 31] },
    ],
    ["the only size stands last", { need: 110, sizes: [null, null, 25], prices: [null, null, 31] }],
    ["no size at all", { need: 110, sizes: [null, null], prices: [60, 31] }],
    ["a large tote and bags", { need: 4620, sizes: [2000, 50], prices: [1900, 60] }],
    ["a need of a thousand bags", { need: 51_234, sizes: [50, 25, 10], prices: [60, 31, 13] }],
    [
      "a need of a thousand bags, one rate for all",
      { need: 51_234, sizes: [50, 25, 10], prices: [60, 30, 12] },
    ],
    ["sums near what a double holds", { need: 1234, sizes: [99, 98, 97.5], prices: [480, 478.01, 477.99] }],
    [
      "a dear tote, and drums that come near its rate",
      { need: 6600, sizes: [2000, 500, 250], prices: [1900, 475.51, 238.02] },
    ],
    ["nine decimals of need", { need: 208.333333333, sizes: [50, 25], prices: [60, 31] }],
  ];

  test("in LibreOffice and in the second engine", async () => {
    const cells = hostile.flatMap(([, problem], i) => cellsOf(problem, i + 1));
    const engines = { LibreOffice: await recalculateFormulas(cells), IronCalc: recalculateInIronCalc(cells) };
    for (const [engine, values] of Object.entries(engines)) {
      hostile.forEach(([story, problem], i) => {
        const counts = countsIn(values, problem, i + 1);
        const told = answerOf(problem) ?? "refused";
        const failed = counts.every((count) => typeof count === "string" && count.startsWith("#"));
        expect([engine, story, failed ? "refused" : counts]).toEqual([engine, story, told]);
      });
    }
  });
});

describe("beyond its bounds it is whole packs of one size, and follows the inputs", () => {
  const beyond: readonly Problem[] = [
    { need: 5000, sizes: [59, 53], prices: undefined },
    { need: 5000, sizes: [59, 53, 7], prices: [59, 53, 7] },
    { need: 100, sizes: [50, 25], prices: [60.001, 31] },
    { need: 100, sizes: [50.001, 25], prices: [60, 31] },
    { need: 6600, sizes: [2000, 500, 250], prices: [3400, 851.01, 426.02] },
    { need: 10_000, sizes: [2000, 50.5], prices: [1900, 60] },
    { need: 300, sizes: [50, 25, 10, 5], prices: [60, 31, 13, 8] },
    { need: 7, sizes: [50, 25, 10, 5], prices: [60, 31, 13, 8] },
    { need: 300, sizes: [50, null, 10, 5], prices: [60, null, 11, 8] },
    { need: 300, sizes: [50, 25, 10, 5, 50], prices: undefined },
    { need: 300, sizes: [50, 25, 10, 5], prices: [null, null, null, null] },
  ];

  test("in LibreOffice and in the second engine", async () => {
    const cells = beyond.flatMap((problem, i) => cellsOf(problem, i + 1));
    for (const values of [await recalculateFormulas(cells), recalculateInIronCalc(cells)]) {
      beyond.forEach((problem, i) => {
        const counts = countsIn(values, problem, i + 1);
        const exact = JSON.stringify(counts) === JSON.stringify(answerOf(problem));
        const bought = counts.filter((count) => count !== 0);
        expect({
          problem,
          counts,
          alone: exact || bought.length === 1,
          covers: covers(counts, problem),
        }).toMatchObject({
          alone: true,
          covers: true,
        });
      });
    }
  });

  test("and of more than three sizes it is the one that costs least by itself", async () => {
    const problem = { need: 31, sizes: [50, 25, 10, 5], prices: [60, 29, 13, 8] };
    const values = await recalculateFormulas(cellsOf(problem, 1));
    // One of 50 costs 60, two of 25 cost 58, four of 10 cost 52, seven of 5 cost 56.
    expect(countsIn(values, problem, 1)).toEqual([0, 0, 4, 0]);
  });
});

describe("its text", () => {
  const three: Problem = { need: 1, sizes: [1, 2, 3], prices: [1, 2, 3] };
  const longest = (sheet: string) => Math.max(...formulasOf(three, 888, sheet).map((text) => text.length));

  test("leaves room in a cell for the original beside it", () => {
    expect(longest("")).toBeLessThan(5000);
    expect(longest("Materials!")).toBeLessThan(7000);
    expect(longest("Materials!")).toBeGreaterThan(5000);
    const wrapped = formulasOf(three, 888, "Materials!").map(
      (text) => `=CHOOSE(1,${text},"${"x".repeat(250)}",A1,B1)`,
    );
    for (const text of wrapped) expect(beyondLimits(text)).toBeUndefined();
  });

  test("is whole packs of one size where the names of sheets would make it too long", () => {
    expect(longest("'Price book of the spring season'!")).toBeLessThan(1000);
  });

  test("tells what it does beyond its bounds", () => {
    const told = (sizes: number, sheet = "") =>
      nativeCell(
        packMix,
        [reference(`${sheet}A1`), reference(`${sheet}B1:${letters[sizes] ?? ""}1`), leftOut],
        { rows: 1, columns: sizes, row: 0, column: 0 },
      ).told;
    expect(told(1)).toBeUndefined();
    expect(told(3)).toMatch(/up to 31 packs .* cover the need\.$/);
    expect(told(4)).toMatch(/^More than 3 sizes .* covers the need\.$/);
    expect(told(3, "'A sheet of a name so long that nobody types it'!")).toMatch(/too long/);
  });
});
