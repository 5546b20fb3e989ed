/** The plan of the property laid out on a page: one scale for all zones, frames beside each other, nothing over another. */
import { scaleLinear } from "d3-scale";
import type { UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import type { Pieces } from "../host";
import { within } from "../host";
import { listed, short, whole } from "./figures";
import type { Ring } from "./geometry";
import { drawnIn } from "./drawn-in";
import { boxOf, crosses, insideOf, longestSide, middleOf, passes, ringArea } from "./geometry";
import type { SiteFigures, ZoneFigures } from "./read-bid";
import type { Point } from "./svg";
import { textSize, textWidth } from "./svg";
import type { Frame, SiteShapes, ZoneShape } from "./zone-shapes";
import { siteShapes, widthAsLength } from "./zone-shapes";

export interface PlacedZone {
  readonly zone: ZoneFigures;
  readonly number: number;
  readonly known: string;
  readonly outer: readonly Ring[];
  readonly holes: readonly Ring[];
  /** The ground along the edges inside which broadcasting begins; empty where the zone is too narrow for it. */
  readonly inside: readonly Ring[];
  readonly firstPasses: readonly (readonly Point[])[];
  readonly crossedPasses: readonly (readonly Point[])[];
  /** Where name and area stand; only the number where they have no room. */
  readonly at: Point;
  readonly name: string;
  readonly isRoomy: boolean;
}

export interface PlanLayout {
  readonly width: number;
  /** Height of the ground alone. */
  readonly height: number;
  /** Pixels to a unit of length. */
  readonly scale: number;
  readonly zones: readonly PlacedZone[];
  /** Where the frames stand, for whoever asks whether they overlap. */
  readonly boxes: readonly FrameBox[];
  readonly bar: { readonly length: number; readonly pixels: number };
  /** The foot of the arrow to the north. */
  readonly north: Point | undefined;
  readonly unmeasured: readonly ZoneFigures[];
  readonly notes: readonly string[];
}

export interface FrameBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const gap = 16;
/** Room for the number of a zone, however small the zone is. */
export const badge = 18;
/** Passes closer than this run together. */
const closestPasses = 7;

interface Sized {
  readonly frame: Frame;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

const sizeOf = (frame: Frame): Sized => {
  const { left, right, bottom, top } = boxOf(
    frame.shapes.flatMap(({ outer, holes }) => [...outer, ...holes]),
  );
  return { frame, left, top, width: right - left, height: top - bottom };
};

interface Spot extends Sized {
  readonly x: number;
  readonly y: number;
}

/** Frames in rows, the tallest first, at a scale; undefined where one is too wide. */
function inRows(
  sizes: readonly Sized[],
  scale: number,
  width: number,
): { readonly spots: readonly Spot[]; readonly height: number } | undefined {
  const spots: Spot[] = [];
  let [x, y, row] = [0, 0, 0];
  for (const size of sizes) {
    const [wide, high] = [Math.max(size.width * scale, badge), Math.max(size.height * scale, badge)];
    if (wide > width) return undefined;
    if (x > 0 && x + wide > width) [x, y, row] = [0, y + row + gap, 0];
    spots.push({ ...size, x, y });
    x += wide + gap;
    row = Math.max(row, high);
  }
  return { spots, height: y + row };
}

/** The greatest scale at which all frames find room. */
function arranged(sizes: readonly Sized[], width: number, height: number) {
  const fits = (scale: number) => {
    const rows = inRows(sizes, scale, width);
    return rows !== undefined && rows.height <= height ? rows : undefined;
  };
  const extent = Math.max(...sizes.flatMap((size) => [size.width / width, size.height / height]));
  let [low, high] = [0, 1 / extent];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (fits(middle) === undefined) high = middle;
    else low = middle;
  }
  const scale = low > 0 ? low : 1 / extent / sizes.length;
  const rows = inRows(sizes, scale, width) ?? { spots: [], height: 0 };
  return { scale, ...rows };
}

/** Whether a box lies inside a shape. */
function holds(
  shape: { readonly outer: Ring; readonly holes: readonly Ring[] },
  [x, y]: Point,
  wide: number,
  high: number,
): boolean {
  const box: Ring = [
    [x - wide / 2, y - high / 2],
    [x + wide / 2, y - high / 2],
    [x + wide / 2, y + high / 2],
    [x - wide / 2, y + high / 2],
  ];
  return (
    box.every(insideOf(shape.outer, shape.holes)) &&
    ![shape.outer, ...shape.holes].some((ring) => crosses(ring, box))
  );
}

export const areaText = ({ area }: ZoneFigures, system: UnitSystem): string =>
  `${whole(area)} ${unitText("area", system)}`;

/** Height of two lines of text with their margin. */
const labelHeight = 34;
const margin = 8;

function* placeZone(
  shape: ZoneShape,
  number: number,
  site: SiteFigures,
  system: UnitSystem,
  scale: number,
  toPage: (point: Point) => Point,
): Pieces<PlacedZone> {
  const onPage = (rings: readonly Ring[]) => rings.map((ring) => ring.map(toPage));
  const [outer, holes] = [onPage(shape.outer), onPage(shape.holes)];
  const largest = outer.reduce((one, other) => (ringArea(other) > ringArea(one) ? other : one));
  const isInLargest = insideOf(largest);
  const ownHoles: Ring[] = [];
  for (const hole of holes) {
    yield 0;
    if (hole.some(isInLargest)) ownHoles.push(hole);
  }
  const at = middleOf(largest, ownHoles);
  const full = `${number} ${shape.zone.name === "" ? "unnamed" : shape.zone.name}`;
  const area = areaText(shape.zone, system);
  const isRoomy = holds(
    { outer: largest, holes: ownHoles },
    at,
    Math.max(textWidth(full), textWidth(area)) + margin,
    labelHeight,
  );
  const drop = widthAsLength(site.dropWidth, system) * scale;
  const isStrip = shape.zone.measured === "strip";
  const inside: Ring[] = [];
  for (const ring of isStrip || drop < 1 ? [] : outer) {
    const drawn = yield* drawnIn(ring, drop);
    if (drawn !== undefined) inside.push(drawn);
  }
  const walked = inside.length === outer.length ? inside : outer;
  const every = Math.max(1, Math.ceil(closestPasses / (site.swath * scale)));
  const hasPasses = !isStrip && site.swath > 0;
  const lines = (angle: number) => passes([...walked, ...holes], angle, site.swath * every * scale);
  const along = longestSide(largest);
  return {
    zone: shape.zone,
    number,
    known: shape.known,
    outer,
    holes,
    inside: inside.length === outer.length ? inside : [],
    firstPasses: hasPasses ? yield* lines(along) : [],
    crossedPasses: hasPasses ? yield* lines(along + Math.PI / 2) : [],
    at,
    name: isRoomy ? full : String(number),
    isRoomy,
  };
}

function notesFor(
  shapes: SiteShapes,
  zones: readonly PlacedZone[],
  site: SiteFigures,
  system: UnitSystem,
  scale: number,
): readonly string[] {
  const unit = unitText("length", system);
  const every = Math.max(1, Math.ceil(closestPasses / (site.swath * scale)));
  const placeless = shapes.frames.filter(({ isSurveyed }) => !isSurveyed).flatMap((frame) => frame.shapes);
  const numbersOf = (some: readonly ZoneShape[]) =>
    zones.filter(({ zone }) => some.some((one) => one.zone === zone)).map(({ number }) => String(number));
  const numbers = numbersOf(placeless);
  const northward = numbersOf(
    shapes.frames.filter(({ isNorthUp }) => isNorthUp).flatMap((frame) => frame.shapes),
  );
  const hasPasses = zones.some(({ firstPasses }) => firstPasses.length > 0);
  const beds = zones.filter(({ zone }) => zone.leftOut > 0);
  return [
    ...(hasPasses
      ? [
          `Lines are passes of the broadcast spreader, ${short(site.swath)} ${unit} apart${every > 1 ? ` (one in ${every} is drawn)` : ""}: first direction solid, crossed direction dashed.`,
        ]
      : []),
    ...(zones.some(({ inside }) => inside.length > 0)
      ? ["The band along the edges is the strip of the drop spreader."]
      : []),
    ...(numbers.length === 0
      ? []
      : [
          `${numbers.length === 1 ? "Zone" : "Zones"} ${listed(numbers)}: right in size, but where ${numbers.length === 1 ? "it lies" : "they lie"} is not known.`,
        ]),
    ...(northward.length === 0 || northward.length === zones.length
      ? []
      : [`North is up for ${northward.length === 1 ? "zone" : "zones"} ${listed(northward)} alone.`]),
    ...(beds.length === 0
      ? []
      : [
          `Beds and paving typed as left out are not drawn: ${listed(beds.map(({ number, zone }) => `${whole(zone.leftOut)} ${unitText("area", system)} in ${number}`))}.`,
        ]),
    ...(shapes.unmeasured.length === 0
      ? []
      : [`Not measured yet: ${listed(shapes.unmeasured.map(({ name }) => name))}.`]),
    ...shapes.remarks,
  ];
}

/** Lays the plan out on a width, no higher than allowed; nothing where no zone has an area. */
export function* layOutPlan(
  site: SiteFigures,
  system: UnitSystem,
  width: number,
  mostHeight: number,
): Pieces<PlanLayout | undefined> {
  const shapes = yield* within(siteShapes(site, system), (share) => share / 2);
  if (shapes.frames.length === 0) return undefined;
  const sizes = shapes.frames.map(sizeOf);
  const tallestFirst = [...sizes].sort(
    (a, b) => Number(b.frame.isSurveyed) - Number(a.frame.isSurveyed) || b.height - a.height,
  );
  const hasNorth = shapes.frames.some(({ isNorthUp }) => isNorthUp);
  // A number may stand on the very edge of a zone.
  const edge = badge / 2 + 1;
  const room = width - 2 * edge - (hasNorth ? badge + 6 : 0);
  const { scale, spots, height } = arranged(tallestFirst, room, mostHeight);
  const order = new Map(site.zones.map((zone, i) => [zone, i + 1]));
  const zones: PlacedZone[] = [];
  for (const [i, { frame, left, top, x, y }] of spots.entries()) {
    const toPage = ([px, py]: Point): Point => [
      edge + x + (px - left) * scale,
      edge + y + (top - py) * scale,
    ];
    for (const shape of frame.shapes) {
      const placing = placeZone(shape, order.get(shape.zone) ?? 0, site, system, scale, toPage);
      zones.push(yield* within(placing, () => (1 + i / spots.length) / 2));
    }
  }
  zones.sort((a, b) => a.number - b.number);
  // A round length of about a quarter of the page.
  const [, bar = 1] = scaleLinear([0, width / scale / 2], [0, 1]).ticks(2);
  return {
    width,
    height: height + 2 * edge,
    scale,
    zones,
    boxes: spots.map((spot) => ({
      left: edge + spot.x,
      top: edge + spot.y,
      right: edge + spot.x + spot.width * scale,
      bottom: edge + spot.y + spot.height * scale,
    })),
    bar: { length: bar, pixels: bar * scale },
    north: hasNorth ? [width - edge - badge / 2, edge + badge + 20] : undefined,
    unmeasured: shapes.unmeasured,
    notes: notesFor(shapes, zones, site, system, scale),
  };
}

/** A shape's label stands over two lines, its middle at the point it was placed by. */
export const labelLines = { above: -3, below: textSize } as const;
