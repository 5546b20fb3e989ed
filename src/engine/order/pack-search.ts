/**
 * The search behind PACK_MIX. Everything is counted in whole grains, the largest unit that measures every size, so that
 * no rounding can decide between two mixes.
 *
 * Three searches, each with bounded work. The first two are exact whenever they answer; what none of them answers is
 * refused rather than guessed.
 */
import { greatest, least } from "../lists";
import { Refusal } from "../refusal";

export interface Pack {
  readonly size: number;
  readonly price: number;
}

/** Entries that a table may have before it takes too long: about 20 ms of work. */
const mostEntries = 4_000_000;
/** Mixes that are tried one by one before the search gives up: about 50 ms of work. */
const mostTries = 1_000_000;
/** Decimals that sizes, needs and prices are told apart by, as wherever whole packs are counted. */
const decimals = 9;

const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b);

const tooFine = (): Refusal =>
  new Refusal(
    "packs",
    "packs has sizes too finely divided to try every mix for this need: round the sizes and the prices to two decimals.",
  );

/** Numbers as whole multiples of their largest common measure, and that measure in units of the ninth decimal. */
function wholes(values: readonly number[]): { counts: readonly number[]; measure: number } {
  const scaled = values.map((value) => Math.round(value * 10 ** decimals));
  if (!scaled.every(Number.isSafeInteger)) throw tooFine();
  const measure = scaled.reduce(greatestCommonDivisor, 0) || 1;
  return { counts: scaled.map((value) => value / measure), measure };
}

interface Problem {
  /** Grains to cover. */
  readonly need: number;
  readonly sizes: readonly number[];
  readonly prices: readonly number[];
  /** The pack that costs least for what it holds, the largest of those. */
  readonly best: number;
}

const at = (list: ArrayLike<number>, i: number): number => list[i] ?? 0;

function bestPack(sizes: readonly number[], prices: readonly number[]): number {
  return sizes.reduce((best, size, i) => {
    const difference = at(prices, i) * at(sizes, best) - at(prices, best) * size;
    return difference < 0 || (difference === 0 && size > at(sizes, best)) ? i : best;
  }, 0);
}

/**
 * Nearly all of a large need is best packs, and the others only settle the remainder: for every remainder of the best
 * size, the others that reach it at least cost above the best pack's rate. No mix is cheaper; where the answer would
 * need less than no best packs, another search must find it.
 */
function byRemainder({ need, sizes, prices, best }: Problem): number[] | undefined {
  const ring = at(sizes, best);
  if (ring * sizes.length > mostEntries) return undefined;
  const rate = at(prices, best);
  const extra = sizes.map((size, i) => at(prices, i) * ring - rate * size);
  // Every path has fewer than `ring` packs; its sums must stay exact.
  if (Math.max(greatest(extra), greatest(sizes)) * ring > Number.MAX_SAFE_INTEGER) return undefined;
  const cost = new Float64Array(ring).fill(Number.POSITIVE_INFINITY);
  // Packs beyond those that the best size alone would take, times the best size; signed, and only compared.
  const surplus = new Float64Array(ring);
  const last = new Int32Array(ring).fill(-1);
  cost[0] = 0;
  sizes.forEach((size, item) => {
    if (item === best) return;
    const above = at(extra, item);
    const step = size % ring;
    const cycles = greatestCommonDivisor(step, ring);
    const length = ring / cycles;
    for (let start = 0; start < cycles; start++) {
      // Twice round the cycle is enough: the best place to begin lies on the first round.
      for (let i = 0, from = start; i < 2 * length; i++) {
        const to = from + step < ring ? from + step : from + step - ring;
        const c = at(cost, from) + above;
        const s = at(surplus, from) + ring - size;
        if (c < at(cost, to) || (c === at(cost, to) && s < at(surplus, to))) {
          cost[to] = c;
          surplus[to] = s;
          last[to] = item;
        }
        from = to;
      }
    }
  });
  let chosen = -1;
  let leastCost = Number.POSITIVE_INFINITY;
  for (let over = 0; over < ring; over++) {
    const total = at(cost, (need + over) % ring) + over * rate;
    if (total < leastCost) {
      leastCost = total;
      chosen = over;
    }
  }
  if (chosen < 0) return undefined;
  const counts = sizes.map(() => 0);
  let rest = need + chosen;
  for (let place = rest % ring; last[place] !== -1;) {
    const item = at(last, place);
    counts[item] = at(counts, item) + 1;
    rest -= at(sizes, item);
    if (rest < 0) return undefined;
    place = (((place - at(sizes, item)) % ring) + ring) % ring;
  }
  counts[best] = rest / ring;
  return counts;
}

/** Every total up to the need and one pack beyond, each by its least cost and fewest packs. */
function byTotal({ need, sizes, prices }: Problem): number[] | undefined {
  const end = need + greatest(sizes);
  if (end * sizes.length > mostEntries) return undefined;
  const cost = new Float64Array(end).fill(Number.POSITIVE_INFINITY);
  const packs = new Float64Array(end);
  const last = new Int32Array(end).fill(-1);
  cost[0] = 0;
  sizes.forEach((size, item) => {
    const price = at(prices, item);
    for (let total = size; total < end; total++) {
      const c = at(cost, total - size) + price;
      const n = at(packs, total - size) + 1;
      if (c < at(cost, total) || (c === at(cost, total) && n < at(packs, total))) {
        cost[total] = c;
        packs[total] = n;
        last[total] = item;
      }
    }
  });
  let chosen = need;
  for (let total = need; total < end; total++) if (at(cost, total) < at(cost, chosen)) chosen = total;
  const counts = sizes.map(() => 0);
  for (let total = chosen; total > 0;) {
    const item = at(last, total);
    if (item < 0) return undefined;
    counts[item] = at(counts, item) + 1;
    total -= at(sizes, item);
  }
  return counts;
}

/** Mix by mix, the best rate first, leaving out what cannot beat the best mix so far. */
function byTrying({ need, sizes, prices }: Problem): number[] | undefined {
  const order = sizes
    .map((_size, i) => i)
    .sort(
      (a, b) => at(prices, a) * at(sizes, b) - at(prices, b) * at(sizes, a) || at(sizes, b) - at(sizes, a),
    );
  let tries = 0;
  let found: { cost: number; over: number; packs: number; counts: number[] } | undefined;
  const counts = sizes.map(() => 0);
  const visit = (depth: number, rest: number, cost: number, packs: number): void => {
    if (++tries > mostTries) return;
    if (rest <= 0) {
      const over = -rest;
      const better =
        found === undefined ||
        cost < found.cost ||
        (cost === found.cost && (over < found.over || (over === found.over && packs < found.packs)));
      if (better) found = { cost, over, packs, counts: [...counts] };
      return;
    }
    const item = order[depth];
    if (item === undefined) return;
    const [size, price] = [at(sizes, item), at(prices, item)];
    // From here on nothing costs less for what it holds.
    if (found !== undefined && cost + Math.floor((rest / size) * price) > found.cost) return;
    for (let many = Math.ceil(rest / size); many >= 0 && tries <= mostTries; many--) {
      counts[item] = many;
      visit(depth + 1, rest - many * size, cost + many * price, packs + many);
    }
    counts[item] = 0;
  };
  visit(0, need, 0, 0);
  return tries > mostTries ? undefined : found?.counts;
}

/**
 * Up to three sizes may have mixes alike in cost, left-over and packs, which lie on one line: of them the one with the
 * fewest of the first size that is not the best pack, so that the worksheet formula can find the same.
 */
function settled(found: readonly number[], { sizes, prices, best }: Problem): readonly number[] {
  const others = sizes.map((_size, i) => i).filter((i) => i !== best);
  const [first = -1, second = -1] = others;
  if (others.length === 0 || others.length > 2) return found;
  const alike = (i: number) => at(sizes, i) === at(sizes, best) && at(prices, i) === at(prices, best);
  if (others.every(alike)) {
    const packs = found.reduce((sum, count) => sum + count, 0);
    return sizes.map((_size, i) => (i === best ? packs : 0));
  }
  if (second < 0) return found;
  const across = at(sizes, second) - at(sizes, best);
  const along = at(sizes, best) - at(sizes, first);
  const measure = Math.abs(greatestCommonDivisor(across, along));
  // Towards fewer of the first, or of the second where the first stays as it is.
  const down = across > 0 || (across === 0 && along > 0) ? -measure : measure;
  const step = sizes.map(
    (_size, i) => (i === first ? across : i === second ? along : -across - along) / down,
  );
  if (step.reduce((sum, many, i) => sum + many * at(prices, i), 0) !== 0) return found;
  const room = step.map((many, i) =>
    many < 0 ? Math.floor(at(found, i) / -many) : Number.POSITIVE_INFINITY,
  );
  const steps = least(room);
  return found.map((count, i) => count + steps * at(step, i));
}

/** How many of each pack, in their order. Throws a Refusal where no exact answer is found within the bounds. */
export function cheapestMix(need: number, packs: readonly Pack[]): readonly number[] {
  const { counts: sizes, measure } = wholes(packs.map(({ size }) => size));
  const { counts: prices } = wholes(packs.map(({ price }) => price));
  const exact = Math.round(need * 10 ** decimals);
  if (!Number.isSafeInteger(exact) || sizes.indexOf(0) >= 0) throw tooFine();
  const grains = Math.ceil(exact / measure);
  const dearest = greatest(prices);
  const largest = greatest(sizes);
  const products = Math.max(dearest * largest, (grains + largest) * dearest);
  if (products > Number.MAX_SAFE_INTEGER) throw tooFine();
  const problem = { need: grains, sizes, prices, best: bestPack(sizes, prices) };
  const found = byRemainder(problem) ?? byTotal(problem) ?? byTrying(problem);
  if (found === undefined) throw tooFine();
  return settled(found, problem);
}
