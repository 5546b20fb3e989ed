import type { Matrix, ParameterValue, RangeParameter } from "../parameters";
import { amount } from "../parameters";
import { spilledValue } from "../formula";
import { flat, flatMap } from "../lists";
import { Refusal } from "../refusal";
import { quantity } from "../working/figures";
import type { Pack } from "./pack-search";
import { cheapestMix } from "./pack-search";

/** More sizes than this are no range of packs. */
const mostPacks = 100;

const cells = <const I extends string>(id: I, about: string, blank: "refused" | "default") =>
  ({
    takes: "range",
    id,
    kind: "any",
    about,
    blank,
    above: 0,
    mostCells: mostPacks,
  }) as const satisfies RangeParameter;

const columnsOf = (matrix: Matrix): number => matrix[0]?.length ?? 0;
const isEmpty = (matrix: Matrix): boolean => flat(matrix).every((cell) => cell === null);

/** The sizes that are filled in, with their prices and their places. */
function packsOf([, sizes, prices]: readonly ParameterValue[]): readonly (Pack & { place: number })[] {
  const [given, priced] = [sizes as Matrix, prices as Matrix];
  const free = isEmpty(priced);
  if (!free && (priced.length !== given.length || columnsOf(priced) !== columnsOf(given))) {
    throw new Refusal(
      "prices",
      `prices has ${priced.length} by ${columnsOf(priced)} cells where packs has ${given.length} by ${columnsOf(given)}: enter one price for each size, in the shape of packs.`,
    );
  }
  return flatMap(flat(given), (packSize, place) => {
    if (packSize === null) return [];
    const price = flat(priced)[place] ?? null;
    if (!free && price === null) {
      throw new Refusal(
        "prices",
        `prices has no price for the pack of ${packSize}: enter the price of every size, or leave prices out.`,
      );
    }
    return [{ size: packSize, price: free ? 0 : Number(price), place }];
  });
}

function counts(given: readonly ParameterValue[]): readonly (readonly number[])[] {
  const packs = packsOf(given);
  const found = cheapestMix(Number(given[0]), packs);
  const byPlace = new Map(packs.map(({ place }, i) => [place, found[i] ?? 0]));
  const sizes = given[1] as Matrix;
  return sizes.map((row, i) => row.map((_cell, j) => byPlace.get(i * columnsOf(sizes) + j) ?? 0));
}

/**
 * Without prices, what is left over decides first. Exact for sizes, prices and needs to nine decimals; refused where no
 * exact answer can be found in bounded work.
 */
export const packMix = spilledValue({
  id: "PACK_MIX",
  step: "order",
  sentence: "How many of each pack size to buy: least cost, then least left over, then fewest packs.",
  equation: "of all mixes of packs that cover the need: least cost, then least left over, then fewest packs",
  result: { name: "packs of each size", kind: "count" },
  parameters: [
    amount("need", "any", "amount needed"),
    cells("packs", "sizes of the packs on sale, in the unit of the need", "refused"),
    cells("prices", "price of each pack, in the shape of packs", "default"),
  ],
  sources: [{ title: "Smallest cost that covers a need, by trying every mix", publisher: "common practice" }],
  example: {
    given: [110, [[50], [20], [5]], [[30], [15], [5]]],
    gives: 2,
    spills: [[2], [0], [2]],
    story: "110 lb from bags of 50, 20 and 5 lb at 30, 15 and 5",
  },
  shape: ([, sizes]) => ({ rows: (sizes as Matrix).length, columns: columnsOf(sizes as Matrix) }),
  cellName: ({ row, column, columns }) => `pack ${row * columns + column + 1}`,
  compute: counts,
  tell: (given) => {
    const packs = packsOf(given);
    const found = cheapestMix(Number(given[0]), packs);
    const sum = (term: (pack: Pack, count: number) => number) =>
      packs.reduce((total, pack, i) => total + term(pack, found[i] ?? 0), 0);
    const say = (value: number) => quantity(value, "any", "us");
    const bought = sum(({ size }, count) => size * count);
    const cost = sum(({ price }, count) => price * count);
    const mix = flatMap(packs, ({ size }, i) =>
      (found[i] ?? 0) > 0 ? [`${found[i] ?? 0} × ${say(size)}`] : [],
    );
    return [
      { name: "bought", sum: mix.join(" + "), gives: say(bought) },
      {
        name: "left over",
        sum: `${say(bought)} − ${say(Number(given[0]))}`,
        gives: say(Math.max(0, bought - Number(given[0]))),
      },
      ...(cost > 0 ? [{ name: "cost", sum: "each pack at its price", gives: say(cost) }] : []),
    ];
  },
});
