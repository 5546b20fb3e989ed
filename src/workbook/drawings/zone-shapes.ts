/** Each zone as a shape on the ground: as it was surveyed, or a block of the right size where nobody knows its place. */
import { toNumber, unitText } from "../../engine/units";
import type { UnitSystem } from "../../engine/units";
import { quantityKinds } from "../../engine/units";
import { onPlane } from "../outlines";
import type { Pieces } from "../host";
import type { KnownRing, Ring } from "./geometry";
import {
  boxOf,
  circle,
  fromOffsets,
  knownRing,
  moved,
  overlap,
  rectangle,
  roundFrom,
  strip,
} from "./geometry";
import { short } from "./figures";
import type { OutlineFigures, SiteFigures, ZoneFigures } from "./read-bid";

export interface ZoneShape {
  readonly zone: ZoneFigures;
  /** Rings that count, and rings that are left out of them. */
  readonly outer: readonly Ring[];
  readonly holes: readonly Ring[];
  /** How the shape is known, for a reader. */
  readonly known: string;
}

/** Zones whose places against each other are known; their coordinates are one set. */
export interface Frame {
  readonly shapes: readonly ZoneShape[];
  /** North is up. */
  readonly isNorthUp: boolean;
  readonly isSurveyed: boolean;
}

export interface SiteShapes {
  readonly frames: readonly Frame[];
  /** Zones that have no area yet. */
  readonly unmeasured: readonly ZoneFigures[];
  readonly remarks: readonly string[];
}

const lengthUnit = (system: UnitSystem): string => unitText("length", system);
/** Metres in the unit of the site's lengths. */
const metresIn = (system: UnitSystem): number => toNumber(quantityKinds.length[system].size);
/** Widths of strips and of drop spreaders in the unit of the site's lengths. */
export const widthAsLength = (width: number, system: UnitSystem): number =>
  width * (toNumber(quantityKinds.stripWidth[system].size) / metresIn(system));

type Part = Pick<OutlineFigures, "isLeftOut"> & { readonly ring: Ring };
type Method = "corners" | "coordinates" | "alone";

const corner = ([x = 0, y = 0]: readonly number[]): readonly [number, number] => [x, y];

/** The parts that outlines stand for, those of one survey in one set of coordinates. */
function partsOf(outlines: readonly OutlineFigures[], system: UnitSystem): Map<OutlineFigures, Part> {
  const parts = new Map<OutlineFigures, Part>();
  const geographic = outlines.filter(({ method, points }) => method === "coordinates" && points.length > 2);
  const plane = onPlane(geographic.flatMap(({ points }) => points.map(corner)));
  let from = 0;
  for (const outline of geographic) {
    const corners = plane.slice(from, from + outline.points.length);
    from += outline.points.length;
    const ring = corners.map(({ x, y }) => [x / metresIn(system), y / metresIn(system)] as const);
    parts.set(outline, { isLeftOut: outline.isLeftOut, ring });
  }
  for (const outline of outlines) {
    const { method, points, interval, isLeftOut } = outline;
    const lengths = points.map(([one = 0]) => one);
    const ring =
      method === "corners" && points.length > 2
        ? points.map(corner)
        : method === "offsets" && points.length > 1 && interval > 0
          ? fromOffsets(lengths, interval)
          : method === "radii" && points.length > 2
            ? roundFrom(lengths)
            : undefined;
    if (ring !== undefined) parts.set(outline, { isLeftOut, ring });
  }
  return parts;
}

const methodOf = ({ method }: OutlineFigures): Method =>
  method === "corners" || method === "coordinates" ? method : "alone";

const known: Record<Method, string> = {
  corners: "surveyed corners",
  coordinates: "coordinates",
  alone: "offsets or radii",
};

/** Sets groups of parts beside each other, each in the coordinates of its own. */
function besideEachOther(groups: readonly (readonly Part[])[]): readonly Part[] {
  let from = 0;
  return groups.flatMap((parts) => {
    const { left, right, bottom } = boxOf(parts.map(({ ring }) => ring));
    const at = from;
    from += (right - left) * 1.15;
    return parts.map(({ isLeftOut, ring }) => ({ isLeftOut, ring: moved(ring, at - left, -bottom) }));
  });
}

const shapeOf = (zone: ZoneFigures, parts: readonly Part[], how: string): ZoneShape => ({
  zone,
  outer: parts.filter(({ isLeftOut }) => !isLeftOut).map(({ ring }) => ring),
  holes: parts.filter(({ isLeftOut }) => isLeftOut).map(({ ring }) => ring),
  known: how,
});

/** A zone that has no outline, by the lengths it was measured by; otherwise a square of its area. */
function blockOf(zone: ZoneFigures, system: UnitSystem): ZoneShape {
  const { measured, length, width, area, leftOut, insideCorners } = zone;
  const unit = lengthUnit(system);
  const wide = widthAsLength(zone.stripWidth, system);
  const block = (outer: Ring, how: string, holes: readonly Ring[] = []): ZoneShape => ({
    zone,
    outer: [outer],
    holes,
    known: how,
  });
  if (measured === "rectangle" && length * width > 0) {
    return block(rectangle(length, width), `rectangle, ${short(length)} by ${short(width)} ${unit}`);
  }
  if (measured === "circle" && length > 0)
    return block(circle(length / 2), `circle, ${short(length)} ${unit} across`);
  if (measured === "triangle" && length * width > 0) {
    const corners: Ring = [
      [0, 0],
      [length, 0],
      [length / 2, width],
    ];
    return block(corners, `triangle, base ${short(length)} and height ${short(width)} ${unit}`);
  }
  if (measured === "strip" && length * wide > 0) {
    const { outer, holes } = strip(length, wide, insideCorners, area + leftOut);
    return block(outer, `strip, ${short(length)} ${unit} long`, holes);
  }
  const side = Math.sqrt(area + leftOut);
  return block(rectangle(side, side), "area only, drawn as a square");
}

/** So many remarks on zones that share ground are told, and that there are more. */
const mostRemarks = 5;

/** Pairs of zones that share ground, no more than asked for. */
function* sharing(
  shapes: readonly ZoneShape[],
  most: number,
): Pieces<readonly (readonly [ZoneShape, ZoneShape])[]> {
  const known: KnownRing[][] = [];
  for (const { outer } of shapes) {
    known.push(outer.map(knownRing));
    yield 0;
  }
  const found: (readonly [ZoneShape, ZoneShape])[] = [];
  for (const [i, one] of shapes.entries()) {
    for (let j = i + 1; j < shapes.length; j++) {
      const other = shapes[j];
      if (found.length === most || other === undefined) return found;
      if (known[i]?.some((a) => known[j]?.some((b) => overlap(a, b)))) found.push([one, other]);
      yield i / shapes.length;
    }
  }
  return found;
}

/** Every zone of the site in the frame that its place is known in. */
export function* siteShapes({ zones, outlines }: SiteFigures, system: UnitSystem): Pieces<SiteShapes> {
  const parts = partsOf(outlines, system);
  const measured = zones.filter(({ area }) => area > 0);
  const surveyed: Record<"corners" | "coordinates", ZoneShape[]> = { corners: [], coordinates: [] };
  const alone: ZoneShape[] = [];
  const drawn = new Set<string>();
  for (const zone of measured) {
    const own = outlines.filter((outline) => outline.zone === zone.name && parts.has(outline));
    const hasGround = own.some(({ isLeftOut }) => !isLeftOut);
    // Outlines are added up under a name, so the second zone of that name would draw them once more.
    if (zone.measured !== "outline" || !hasGround || drawn.has(zone.name)) {
      alone.push(blockOf(zone, system));
      continue;
    }
    drawn.add(zone.name);
    const methods = [...new Set(own.map(methodOf))];
    const groups = methods.flatMap((method) => {
      const ofMethod = own.filter((outline) => methodOf(outline) === method);
      const held = ofMethod.flatMap((outline) => parts.get(outline) ?? []);
      return method === "alone" ? held.map((part) => [part]) : [held];
    });
    const how = methods.map((method) => known[method]).join(", ");
    const [method] = methods;
    if (groups.length === 1 && method !== undefined && method !== "alone") {
      surveyed[method].push(shapeOf(zone, groups[0] ?? [], how));
    } else alone.push(shapeOf(zone, besideEachOther(groups), how));
  }
  const clashing = (yield* sharing(surveyed.corners, 1)).length > 0;
  const cornerFrames = clashing ? surveyed.corners.map((shape) => [shape]) : [surveyed.corners];
  const frame = (shapes: readonly ZoneShape[], isNorthUp: boolean, isSurveyed: boolean): Frame[] =>
    shapes.length === 0 ? [] : [{ shapes, isNorthUp, isSurveyed }];
  const doubled = yield* sharing(surveyed.coordinates, mostRemarks + 1);
  return {
    frames: [
      ...frame(surveyed.coordinates, true, true),
      ...cornerFrames.flatMap((shapes) => frame(shapes, false, true)),
      ...alone.flatMap((shape) => frame([shape], false, false)),
    ],
    unmeasured: zones.filter(({ area }) => area <= 0),
    remarks: [
      ...doubled
        .slice(0, mostRemarks)
        .map(
          ([one, other]) =>
            `${one.zone.name} and ${other.zone.name} share ground: some of it is counted twice.`,
        ),
      ...(doubled.length > mostRemarks ? ["More zones share ground with each other."] : []),
    ],
  };
}
