/** A count that grows by whole steps, found by asking for it: where each step begins and ends. */
export interface Stair {
  readonly from: number;
  readonly to: number;
  readonly count: number;
}

/** More steps than this are closer together than a drawing can show. */
const mostSteps = 160;
const halvings = 44;

/** The place between two others from which on the count is above what it was at the first. */
function stepBetween(countAt: (x: number) => number, below: number, above: number): number {
  const count = countAt(below);
  let [low, high] = [below, above];
  for (let i = 0; i < halvings; i++) {
    const middle = (low + high) / 2;
    if (countAt(middle) > count) high = middle;
    else low = middle;
  }
  return low;
}

/** The steps of a count that never falls, from one place to another. */
export function stairs(countAt: (x: number) => number, from: number, to: number): readonly Stair[] {
  const last = countAt(to);
  if (last - countAt(from) > mostSteps) {
    const wide = (to - from) / mostSteps;
    return Array.from({ length: mostSteps }, (_, i) => ({
      from: from + i * wide,
      to: from + (i + 1) * wide,
      count: countAt(from + i * wide),
    }));
  }
  const found: Stair[] = [];
  for (let at = from, count = countAt(from); ;) {
    const end = count === last ? to : stepBetween(countAt, at, to);
    found.push({ from: at, to: end, count });
    if (count === last) return found;
    const next = end + (to - from) * 1e-9;
    count = countAt(next);
    at = next;
  }
}

/** How far one can go before the count is above so many; undefined where that is not before the end. */
export function reachOf(
  countAt: (x: number) => number,
  from: number,
  end: number,
  most: number,
): number | undefined {
  if (countAt(end) <= most) return undefined;
  let [low, high] = [from, end];
  for (let i = 0; i < halvings; i++) {
    const middle = (low + high) / 2;
    if (countAt(middle) > most) high = middle;
    else low = middle;
  }
  return low;
}
