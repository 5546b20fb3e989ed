/** Shapes on the ground, x to the east or along the base line, y away from it, in the unit of the site. */
import { polygonArea, polygonContains } from "d3-polygon";
import polylabel from "polylabel";
import type { Pieces } from "../host";
import type { Point } from "./svg";

export type Ring = readonly Point[];

export interface Box {
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
  readonly top: number;
}

export const pairs = (ring: Ring): [number, number][] => ring.map(([x, y]) => [x, y]);

export const ringArea = (ring: Ring): number => Math.abs(polygonArea(pairs(ring)));

export function boxOf(rings: readonly Ring[]): Box {
  let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of rings) {
    for (const [x, y] of ring) {
      left = Math.min(left, x);
      right = Math.max(right, x);
      bottom = Math.min(bottom, y);
      top = Math.max(top, y);
    }
  }
  return { left, right, bottom, top };
}

export const moved = (ring: Ring, dx: number, dy: number): Ring => ring.map(([x, y]) => [x + dx, y + dy]);

/** Asks of many points whether they lie in a ring and in none of its holes. */
export function insideOf(outer: Ring, holes: readonly Ring[] = []): (point: Point) => boolean {
  const [around, ...cutOut] = [outer, ...holes].map(pairs);
  return ([x, y]) =>
    polygonContains(around ?? [], [x, y]) && !cutOut.some((hole) => polygonContains(hole, [x, y]));
}

/** A ring of more corners has as much room for a label with some of them left out. */
const cornersForLabel = 2000;

const spaced = (ring: Ring): Ring => {
  const every = Math.ceil(ring.length / cornersForLabel);
  return every > 1 ? ring.filter((_, i) => i % every === 0) : ring;
};

/** The point inside a ring that is farthest from its edge: where a label has most room. */
export function middleOf(outer: Ring, holes: readonly Ring[]): Point {
  const { left, right, bottom, top } = boxOf([outer]);
  const fine = Math.max(right - left, top - bottom) / 200;
  const [x, y] = polylabel(
    [outer, ...holes].map((ring) => pairs(spaced(ring))),
    fine > 0 ? fine : 1,
  );
  return [x, y];
}

const side = ([ax, ay]: Point, [bx, by]: Point, [cx, cy]: Point): number =>
  (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);

const cross = (a: Point, b: Point, c: Point, d: Point): boolean =>
  side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;

export type Side = readonly [from: Point, to: Point];

export const sidesOf = (ring: Ring): readonly Side[] =>
  ring.map((from, i) => [from, ring[i + 1] ?? ring[0] ?? from]);

export function crosses(one: Ring, other: Ring): boolean {
  const others = sidesOf(other);
  return sidesOf(one).some(([a, b]) => others.some(([c, d]) => cross(a, b, c, d)));
}

/** Sides of a polygon that stands for a circle: its area is within a fiftieth of a per cent. */
const circleSides = 180;

export const circle = (radius: number): Ring =>
  Array.from({ length: circleSides }, (_, i) => {
    const angle = (2 * Math.PI * i) / circleSides;
    return [radius * Math.cos(angle), radius * Math.sin(angle)] as const;
  });

export const rectangle = (width: number, height: number): Ring => [
  [0, 0],
  [width, 0],
  [width, height],
  [0, height],
];

/**
 * Through the ends of radii at equal angles. Between two of them the square of the radius runs evenly from one to the
 * other, which encloses just what the sectors of the measurement do.
 */
export function roundFrom(radii: readonly number[]): Ring {
  const between = Math.max(1, Math.ceil(360 / radii.length));
  return radii.flatMap((radius, i) => {
    const next = radii[(i + 1) % radii.length] ?? radius;
    return Array.from({ length: between }, (_, k) => {
      const part = k / between;
      const angle = (2 * Math.PI * (i + part)) / radii.length;
      const length = Math.sqrt(radius ** 2 * (1 - part) + next ** 2 * part);
      return [length * Math.cos(angle), length * Math.sin(angle)] as const;
    });
  });
}

/** From a base line out to offsets at equal distances. */
export const fromOffsets = (offsets: readonly number[], interval: number): Ring => [
  ...offsets.map((offset, i) => [i * interval, offset] as const),
  [(offsets.length - 1) * interval, 0],
  [0, 0],
];

/**
 * A strip folded at the right-angled corners it is walked round on the inside, with sides of equal length: one corner,
 * two, or all the way round. Otherwise it is drawn straight. Its area is that of the strip in each case.
 */
export function strip(
  length: number,
  width: number,
  corners: number,
  area: number,
): { readonly outer: Ring; readonly holes: readonly Ring[] } {
  const side = length / (corners === 4 ? 4 : corners + 1);
  const inner = side - width;
  if (corners === 1 && inner > 0) {
    return {
      outer: [
        [0, 0],
        [side, 0],
        [side, width],
        [width, width],
        [width, side],
        [0, side],
      ],
      holes: [],
    };
  }
  if (corners === 2 && side > 2 * width) {
    return {
      outer: [
        [0, 0],
        [side, 0],
        [side, side],
        [inner, side],
        [inner, width],
        [width, width],
        [width, side],
        [0, side],
      ],
      holes: [],
    };
  }
  if (corners === 4 && side > 2 * width) {
    return {
      outer: rectangle(side, side),
      holes: [moved(rectangle(side - 2 * width, side - 2 * width), width, width)],
    };
  }
  return { outer: rectangle(area / width, width), holes: [] };
}

export const length = ([ax, ay]: Point, [bx, by]: Point): number => Math.hypot(bx - ax, by - ay);

/** A side shorter than this part of the way round says nothing about the direction of a round outline. */
const tellingSide = 0.08;

/** The direction of the longest side, along which spreaders are walked; a round outline is walked straight across. */
export function longestSide(ring: Ring): number {
  const sides = sidesOf(ring);
  const [from, to] = sides.reduce((longest, one) =>
    length(...one) > length(...longest) * 1.001 ? one : longest,
  );
  const round = sides.reduce((sum, one) => sum + length(...one), 0);
  return length(from, to) < tellingSide * round ? 0 : Math.atan2(to[1] - from[1], to[0] - from[0]);
}

const turned = ([x, y]: Point, angle: number): Point => [
  x * Math.cos(angle) - y * Math.sin(angle),
  x * Math.sin(angle) + y * Math.cos(angle),
];

/** From where to where a level line runs between the sides of rings. */
function spans(sides: readonly Side[], y: number): readonly (readonly [from: number, to: number])[] {
  const met: number[] = [];
  for (const [[ax, ay], [bx, by]] of sides)
    if (ay > y !== by > y) met.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
  met.sort((a, b) => a - b);
  return Array.from({ length: Math.floor(met.length / 2) }, (_, i) => [met[2 * i] ?? 0, met[2 * i + 1] ?? 0]);
}

/** More pieces of passes than this are no lines that anybody could see or walk. */
const mostPasses = 5000;

/** Parallel lines over the ground inside the rings, in a direction and at a distance from each other; none where it is too ragged. */
export function* passes(
  rings: readonly Ring[],
  angle: number,
  spacing: number,
): Pieces<readonly (readonly [Point, Point])[]> {
  const level = rings.map((ring) => ring.map((point) => turned(point, -angle)));
  const { bottom, top } = boxOf(level);
  const sides = level.flatMap(sidesOf);
  const count = Math.max(0, Math.floor((top - bottom) / spacing + 0.5));
  const lines: (readonly [Point, Point])[] = [];
  for (let i = 0; i < count; i++) {
    yield i / count;
    const y = bottom + (i + 0.5) * spacing;
    const inside = spans(sides, y);
    if (lines.length + inside.length > mostPasses) return [];
    for (const [from, to] of inside) lines.push([turned([from, y], angle), turned([to, y], angle)]);
  }
  return lines;
}

/** A common edge that two surveys give a little differently is no common ground. */
const surveyError = 0.01;
const levels = 97;

/** A ring with what is asked of it again and again. */
export interface KnownRing {
  readonly box: Box;
  readonly area: number;
  readonly sides: readonly Side[];
}

export const knownRing = (ring: Ring): KnownRing => ({
  box: boxOf([ring]),
  area: ringArea(ring),
  sides: sidesOf(ring),
});

/** Whether two rings share ground. */
export function overlap(one: KnownRing, other: KnownRing): boolean {
  const [a, b] = [one.box, other.box];
  const [bottom, top] = [Math.max(a.bottom, b.bottom), Math.min(a.top, b.top)];
  if (top <= bottom || Math.min(a.right, b.right) <= Math.max(a.left, b.left)) return false;
  const step = (top - bottom) / levels;
  const most = surveyError * Math.min(one.area, other.area);
  let shared = 0;
  for (let i = 0; i < levels && shared <= most; i++) {
    const y = bottom + (i + 0.5) * step;
    const others = spans(other.sides, y);
    for (const [from, to] of spans(one.sides, y)) {
      for (const [start, end] of others)
        shared += Math.max(0, Math.min(to, end) - Math.max(from, start)) * step;
    }
  }
  return shared > most;
}
