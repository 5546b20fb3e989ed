import fc from "fast-check";
import loadHighs from "highs";
import { describe, expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { functionNamed } from "../../src/engine/catalogue";
import { Refusal } from "../../src/engine/refusal";

const definition = functionNamed("PACK_MIX");
if (definition === undefined) throw new Error("PACK_MIX is not in the catalogue");
const calculate = anyCalculator(definition);

const mix = (need: number, sizes: readonly number[], prices?: readonly number[]): readonly number[] =>
  (calculate(need, [sizes], prices === undefined ? null : [prices]) as number[][])[0] ?? [];

interface Score {
  readonly cost: number;
  readonly over: number;
  readonly packs: number;
}

/** In cents and thousandths, or what else sizes are counted in, so that sums are whole numbers. */
function score(
  counts: readonly number[],
  need: number,
  sizes: readonly number[],
  prices: readonly number[],
  grains = 1000,
): Score {
  const sum = (values: readonly number[], unit: number) =>
    counts.reduce((total, count, i) => total + count * Math.round((values[i] ?? 0) * unit), 0);
  return {
    cost: sum(prices, 100),
    over: sum(sizes, grains) - Math.round(need * grains),
    packs: counts.reduce((total, count) => total + count, 0),
  };
}

const before = (one: Score, other: Score): boolean =>
  one.cost !== other.cost
    ? one.cost < other.cost
    : one.over !== other.over
      ? one.over < other.over
      : one.packs < other.packs;

/** Every mix that could be the answer, one by one. */
function bruteForce(
  need: number,
  sizes: readonly number[],
  prices: readonly number[],
  grains?: number,
): Score {
  let best: Score | undefined;
  const visit = (i: number, counts: number[]): void => {
    if (i === sizes.length) {
      const one = score(counts, need, sizes, prices, grains);
      if (one.over >= 0 && (best === undefined || before(one, best))) best = one;
      return;
    }
    for (let many = 0; many <= Math.ceil(need / (sizes[i] ?? 1)); many++) visit(i + 1, [...counts, many]);
  };
  visit(0, []);
  if (best === undefined) throw new Error("nothing covers the need");
  return best;
}

const tenths = fc.integer({ min: 3, max: 200 }).map((value) => value / 10);
const cents = fc.integer({ min: 1, max: 4000 }).map((value) => value / 100);

describe("the mix of packs", () => {
  test("is that of brute force on 3,000 small problems, with and without prices", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 300 }),
        fc.array(tenths, { minLength: 1, maxLength: 4 }),
        fc.array(cents, { minLength: 4, maxLength: 4 }),
        fc.boolean(),
        (need, sizes, someCents, priced) => {
          const real = need / 10;
          const prices = priced ? someCents.slice(0, sizes.length) : undefined;
          const zeros = sizes.map(() => 0);
          expect(score(mix(real, sizes, prices), real, sizes, prices ?? zeros)).toEqual(
            bruteForce(real, sizes, prices ?? zeros),
          );
        },
      ),
      { numRuns: 3000, seed: 1 },
    );
  });

  test("is so for sizes in millionths, which no table of totals holds", () => {
    const millionth = 1e6;
    const fine = fc.integer({ min: 2e6, max: 30e6 }).map((size) => (size | 1) / millionth);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.array(fine, { minLength: 2, maxLength: 4 }),
        fc.array(cents, { minLength: 4, maxLength: 4 }),
        fc.boolean(),
        (need, sizes, someCents, priced) => {
          const prices = priced ? someCents.slice(0, sizes.length) : undefined;
          const known = prices ?? sizes.map(() => 0);
          expect(score(mix(need, sizes, prices), need, sizes, known, millionth)).toEqual(
            bruteForce(need, sizes, known, millionth),
          );
        },
      ),
      { numRuns: 100, seed: 3 },
    );
  });

  test("costs what a mixed-integer solver says it must, on 300 larger problems", async () => {
    const highs = await loadHighs();
    const problems = fc.sample(
      fc.tuple(
        fc.integer({ min: 100, max: 20_000 }),
        fc.uniqueArray(fc.integer({ min: 2, max: 80 }), { minLength: 2, maxLength: 8 }),
        fc.array(fc.integer({ min: 50, max: 9000 }), { minLength: 8, maxLength: 8 }),
      ),
      { numRuns: 300, seed: 2 },
    );
    for (const [need, sizes, priceCents] of problems) {
      const prices = sizes.map((_size, i) => (priceCents[i] ?? 1) / 100);
      const terms = (values: readonly number[]) => values.map((value, i) => `${value} n${i}`).join(" + ");
      const whole = sizes.map((_size, i) => `n${i}`).join(" ");
      const inCents = prices.map((price) => Math.round(price * 100));
      const text = (goal: string, more = "") =>
        `Minimize\n obj: ${goal}\nSubject To\n cover: ${terms(sizes)} >= ${need}\n${more}General\n ${whole}\nEnd`;
      const exact = { mip_rel_gap: 0, mip_abs_gap: 0 };
      const cost = Math.round(highs.solve(text(terms(inCents)), exact).ObjectiveValue);
      const held = highs.solve(text(terms(sizes), ` cost: ${terms(inCents)} <= ${cost}\n`), exact);
      const got = score(mix(need, sizes, prices), need, sizes, prices);
      expect({ cost: got.cost, over: got.over / 1000 }).toEqual({
        cost,
        over: Math.round(held.ObjectiveValue) - need,
      });
    }
  });

  test("takes the best buy alone for what a large need is larger: fewer others than it is large settle the rest", () => {
    const many = 100_000;
    fc.assert(
      fc.property(
        // Of fewer than 80 others of 80 at the most.
        fc.integer({ min: 80 * 80, max: 20_000 }),
        fc.uniqueArray(fc.integer({ min: 2, max: 80 }), { minLength: 2, maxLength: 8 }),
        fc.array(fc.integer({ min: 50, max: 9000 }), { minLength: 8, maxLength: 8 }),
        fc.boolean(),
        (need, sizes, someCents, areAlike) => {
          // Prices that are all but alike for what is in a pack leave nothing out of a search mix by mix.
          const packs = sizes.map((size, i) => {
            const some = someCents[i] ?? 1;
            return { size, cents: areAlike ? 50 * size + (some % 3) : some };
          });
          const [best = { size: 0, cents: 0 }] = [...packs].sort(
            (one, other) => one.cents * other.size - other.cents * one.size || other.size - one.size,
          );
          const prices = packs.map(({ cents: price }) => price / 100);
          const [near, far] = [need, need + many * best.size].map((one) =>
            score(mix(one, sizes, prices), one, sizes, prices),
          );
          expect(far).toEqual({
            cost: (near?.cost ?? 0) + many * best.cents,
            over: near?.over,
            packs: (near?.packs ?? 0) + many,
          });
        },
      ),
      { numRuns: 200, seed: 6 },
    );
  });

  test("settles on the fewest packs where cost and left-over agree", () => {
    expect(mix(60, [10, 20, 30])).toEqual([0, 0, 2]);
    expect(mix(60, [10, 20, 30], [1, 2, 3])).toEqual([0, 0, 2]);
  });

  test("does so where mixes are tried one by one, whichever of them is tried first", () => {
    // Twice 5.000001 or once 10.000002, among sizes of which no small weight is the measure.
    expect(mix(10.000002, [5.000001, 10.000002, 7.000003, 11.000017])).toEqual([0, 1, 0, 0]);
    // 6 and twice 2, or twice 5, of 1.000003 each.
    expect(mix(10.00003, [6.000018, 5.000015, 2.000006, 7.000001])).toEqual([0, 2, 0, 0]);
  });

  test("settles on the fewest of the first size but the best buy where all of that agrees, in whole packs", () => {
    expect(mix(40, [10, 20, 30])).toEqual([0, 2, 0]);
    expect(mix(40, [30, 10, 20])).toEqual([0, 0, 2]);
    expect(mix(100, [50, 50, 25], [60, 60, 31])).toEqual([2, 0, 0]);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 3000 }),
        fc.array(tenths, { minLength: 2, maxLength: 3 }),
        (need, sizes) => {
          for (const count of mix(need / 10, sizes))
            expect(Number.isInteger(count) && !Object.is(count, -0)).toBe(true);
        },
      ),
      { numRuns: 2000, seed: 5 },
    );
  });

  test("takes one pack too many when that is cheaper", () => {
    expect(mix(45, [50, 5], [20, 4])).toEqual([1, 0]);
  });

  test("counts nine decimals and no more", () => {
    expect(mix(10.000000000000002, [1])).toEqual([10]);
    expect(mix(0.1 + 0.2, [0.3])).toEqual([1]);
  });

  test("keeps the shape of the sizes, blanks among them", () => {
    expect(
      calculate(
        70,
        [
          [50, null],
          [20, 5],
        ],
        null,
      ),
    ).toEqual([
      [1, 0],
      [1, 0],
    ]);
    expect(
      calculate(
        0,
        [
          [50, null],
          [20, 5],
        ],
        null,
      ),
    ).toEqual([
      [0, 0],
      [0, 0],
    ]);
  });

  test("covers, never less, for sizes that measure one another badly", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 2e6 }),
        fc.array(fc.integer({ min: 100, max: 12_345 }), { minLength: 1, maxLength: 12 }),
        fc.array(cents, { minLength: 12, maxLength: 12 }),
        (need, sizes, prices) => {
          const real = sizes.map((size) => size / 100);
          try {
            const counts = mix(need / 100, real, prices.slice(0, sizes.length));
            expect(score(counts, need / 100, real, prices).over).toBeGreaterThanOrEqual(0);
          } catch (refusal) {
            if (!(refusal instanceof Refusal)) throw refusal;
            expect(refusal.sentence).toContain("round the sizes");
          }
        },
      ),
      { numRuns: 500, seed: 4 },
    );
  });
});

describe("a dozen sizes", () => {
  const dozen = [2.2, 3, 3.8, 5, 7.5, 10, 12.5, 20, 22.7, 25, 40, 50];
  const prices = [7.9, 9.5, 11.2, 14, 19.5, 24, 29, 43, 48, 52, 79, 95];

  test.each([500, 5000, 50_000])("cover a need of %d at no more than the best single size costs", (need) => {
    const counts = mix(need, dozen, prices);
    const sum = (of: readonly number[]) => counts.reduce((all, count, i) => all + count * (of[i] ?? 0), 0);
    const single = Math.min(...dozen.map((size, i) => Math.ceil(need / size) * (prices[i] ?? 0)));
    expect(sum(dozen)).toBeGreaterThanOrEqual(need - 1e-9);
    expect(sum(prices)).toBeLessThanOrEqual(single + 1e-9);
  });

  test("that nothing measures are answered, or refused with a sentence", () => {
    const rough = Array.from({ length: 12 }, (_, i) => Math.PI * (i + 1.37) + Math.sqrt(i + 2));
    for (const need of [10, 123.456789, 5000, 98_765.4321]) {
      try {
        const counts = mix(need, rough);
        const held = counts.reduce((all, count, i) => all + count * (rough[i] ?? 0), 0);
        expect(held).toBeGreaterThanOrEqual(need - 1e-6);
      } catch (refusal) {
        if (!(refusal instanceof Refusal)) throw refusal;
        expect(refusal.sentence).toMatch(/\.$/);
      }
    }
  });
});
