/**
 * Two sides of an outline that cross or touch, found in n log n looks: a line sweeps over the corners and holds the sides
 * under it in their order from below, and only sides that come to lie next to each other are looked at (Shamos and Hoey,
 * Geometric intersection problems, 1976).
 *
 * What counts as meeting is said by `meet` alone, which is asked before a pair is told.
 */

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Which side of the line from a to b the point c lies on: above 0 on the left, below 0 on the right, 0 on it. */
export type SideOf = (a: Point, b: Point, c: Point) => number;

export const sideOf: SideOf = (a, b, c) => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);

const between = (a: Point, b: Point, c: Point): boolean =>
  Math.min(a.x, b.x) <= c.x &&
  c.x <= Math.max(a.x, b.x) &&
  Math.min(a.y, b.y) <= c.y &&
  c.y <= Math.max(a.y, b.y);

/** The sides that meet, the one that comes first round the outline first; each is known by the corner it begins at. */
export type Pair = readonly [number, number];

const none = -1;
const at = (list: Int32Array, i: number): number => list[i] ?? none;

/** The sides under the line from below upwards: a treap, whose members know the one below and the one above. */
class Order {
  readonly below: Int32Array;
  readonly above: Int32Array;
  private readonly left: Int32Array;
  private readonly right: Int32Array;
  private readonly parent: Int32Array;
  private root = none;

  constructor(most: number) {
    const list = () => new Int32Array(most).fill(none);
    [this.below, this.above] = [list(), list()];
    [this.left, this.right, this.parent] = [list(), list(), list()];
  }

  /** The members that a place lies between, which is above those for which the answer is above 0; undefined where it is 0. */
  around(compare: (member: number) => number): { below: number; above: number } | { on: number } {
    let [below, above] = [none, none];
    for (let member = this.root; member !== none;) {
      const answer = compare(member);
      if (answer === 0) return { on: member };
      if (answer > 0) {
        below = member;
        member = at(this.right, member);
      } else {
        above = member;
        member = at(this.left, member);
      }
    }
    return { below, above };
  }

  /** Puts one in between two that are neighbours, either of which may be none. */
  insert(one: number, below: number, above: number): void {
    this.link(below, one);
    this.link(one, above);
    this.left[one] = none;
    this.right[one] = none;
    // Of two neighbours one has no member on the side of the other.
    const parent = below !== none && at(this.right, below) === none ? below : above;
    this.parent[one] = parent;
    if (parent === none) this.root = one;
    else if (parent === below) this.right[parent] = one;
    else this.left[parent] = one;
    for (let up = at(this.parent, one); up !== none && weight(one) > weight(up); up = at(this.parent, one))
      this.lift(one);
  }

  remove(one: number): void {
    for (;;) {
      const [left, right] = [at(this.left, one), at(this.right, one)];
      if (left === none && right === none) break;
      this.lift(right === none || (left !== none && weight(left) > weight(right)) ? left : right);
    }
    const parent = at(this.parent, one);
    if (parent === none) this.root = none;
    else if (at(this.left, parent) === one) this.left[parent] = none;
    else this.right[parent] = none;
    this.link(at(this.below, one), at(this.above, one));
  }

  /** Puts one in the place of another. */
  replace(old: number, one: number): void {
    const [left, right, parent] = [at(this.left, old), at(this.right, old), at(this.parent, old)];
    this.link(at(this.below, old), one);
    this.link(one, at(this.above, old));
    this.left[one] = left;
    this.right[one] = right;
    this.parent[one] = parent;
    if (left !== none) this.parent[left] = one;
    if (right !== none) this.parent[right] = one;
    if (parent === none) this.root = one;
    else if (at(this.left, parent) === old) this.left[parent] = one;
    else this.right[parent] = one;
  }

  private link(below: number, above: number): void {
    if (below !== none) this.above[below] = above;
    if (above !== none) this.below[above] = below;
  }

  /** Turns the tree so that one takes the place of its parent. */
  private lift(one: number): void {
    const parent = at(this.parent, one);
    const over = at(this.parent, parent);
    const [near, far] = at(this.left, parent) === one ? [this.left, this.right] : [this.right, this.left];
    const moved = at(far, one);
    near[parent] = moved;
    if (moved !== none) this.parent[moved] = parent;
    far[one] = parent;
    this.parent[parent] = one;
    this.parent[one] = over;
    if (over === none) this.root = one;
    else if (at(this.left, over) === parent) this.left[over] = one;
    else this.right[over] = one;
  }
}

/** As good as drawn by lot, and the same every time: it keeps the tree flat. */
const weight = (one: number): number => Math.imul(one + 1, 0x9e3779b1) ^ Math.imul(one + 7, 0x85ebca6b);

/** Two sides of the outline through these corners that are no neighbours and meet; no corner may repeat the one before. */
export function meetingSides(corners: readonly Point[], side: SideOf = sideOf): Pair | undefined {
  return new Sweep(corners, side).found();
}

/** Whether two sides that are no neighbours cross or touch anywhere. */
export function meet(corners: readonly Point[], one: number, other: number, side: SideOf = sideOf): boolean {
  const count = corners.length;
  const corner = (i: number): Point => corners[i % count] ?? { x: 0, y: 0 };
  const [a, b, c, d] = [corner(one), corner(one + 1), corner(other), corner(other + 1)];
  const [abc, abd, cda, cdb] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (
    (abc === 0 && between(a, b, c)) ||
    (abd === 0 && between(a, b, d)) ||
    (cda === 0 && between(c, d, a)) ||
    (cdb === 0 && between(c, d, b))
  );
}

class Sweep {
  private readonly order: Order;

  constructor(
    private readonly corners: readonly Point[],
    private readonly side: SideOf,
  ) {
    this.order = new Order(corners.length);
  }

  found(): Pair | undefined {
    const { corners } = this;
    const count = corners.length;
    if (count < 4) return undefined;
    const sorted = corners.map((_corner, i) => i).sort((a, b) => this.isBefore(a, b));
    for (let i = 0; i < count; i++) {
      const here = sorted[i] ?? 0;
      const next = sorted[i + 1];
      const pair =
        (next !== undefined && this.isBefore(here, next) === 0 ? this.meeting(here, next) : undefined) ??
        this.pass(here, (here + count - 1) % count, here);
      if (pair !== undefined) return pair;
    }
    return undefined;
  }

  /** Below 0 where the line reaches the first of two corners before the second: by x, then by y. */
  private isBefore(a: number, b: number): number {
    const [one, other] = [this.corner(a), this.corner(b)];
    return one.x - other.x || one.y - other.y;
  }

  private corner(i: number): Point {
    return this.corners[i % this.corners.length] ?? { x: 0, y: 0 };
  }

  /** The other end of a side. */
  private otherEnd(side: number, corner: number): number {
    return side === corner ? (side + 1) % this.corners.length : side;
  }

  /** On which side of a side, taken the way that the line goes, a corner lies. */
  private above(side: number, corner: number): number {
    const [from, to] = [side, (side + 1) % this.corners.length];
    return this.isBefore(from, to) < 0
      ? this.side(this.corner(from), this.corner(to), this.corner(corner))
      : this.side(this.corner(to), this.corner(from), this.corner(corner));
  }

  /** The line passes a corner with its two sides. */
  private pass(corner: number, one: number, other: number): Pair | undefined {
    const begins = (side: number) => this.isBefore(corner, this.otherEnd(side, corner)) < 0;
    if (begins(one) && begins(other)) return this.begin(corner, one, other);
    if (!begins(one) && !begins(other)) return this.end(one) ?? this.end(other);
    const [ending, beginning] = begins(one) ? [other, one] : [one, other];
    this.order.replace(ending, beginning);
    return (
      this.look(this.order.below[beginning], beginning) ?? this.look(beginning, this.order.above[beginning])
    );
  }

  private begin(corner: number, one: number, other: number): Pair | undefined {
    let around = this.order.around((member) => this.above(member, corner));
    if ("on" in around) {
      const { on } = around;
      const pair = this.meeting(on, one) ?? this.meeting(on, other);
      if (pair !== undefined) return pair;
      around = { below: on, above: this.order.above[on] ?? none };
    }
    const turn = this.above(one, this.otherEnd(other, corner));
    // A side that lies back upon the one before has the next one on it.
    if (turn === 0) {
      const pair = this.meeting(one, other + 1) ?? this.meeting(one + this.corners.length - 1, other);
      if (pair !== undefined) return pair;
    }
    const [lower, upper] = turn > 0 ? [one, other] : [other, one];
    this.order.insert(lower, around.below, around.above);
    this.order.insert(upper, lower, around.above);
    return this.look(around.below, lower) ?? this.look(upper, around.above);
  }

  private end(side: number): Pair | undefined {
    const [below, above] = [this.order.below[side], this.order.above[side]];
    this.order.remove(side);
    return this.look(below, above);
  }

  private look(below: number = none, above: number = none): Pair | undefined {
    return below === none || above === none ? undefined : this.meeting(below, above);
  }

  /** The two as a pair where they meet; neighbours round the outline always do, and are none. */
  private meeting(one: number, other: number): Pair | undefined {
    const count = this.corners.length;
    const [first, second] = [Math.min(one % count, other % count), Math.max(one % count, other % count)];
    const apart = second - first;
    if (apart < 2 || apart === count - 1) return undefined;
    return meet(this.corners, first, second, this.side) ? [first, second] : undefined;
  }
}
