import type { Pieces } from "../host";
import { WorkbookTrouble } from "../host";
import { nameInOneLine, oneLine } from "./cell-text";
import type { BroughtFile, BroughtOutline, Corner } from "./outline";
import { distance, onPlane } from "./plane";
import { thinned } from "./thin";

const mostOutlines = 500;
const mostPoints = 100_000;

/** No lawn is wider, so a file that says so is usually in other units or has its coordinates swapped. */
const widestOutline = 10_000;

/** Part of the way round that may be missing from a recorded walk before it is worth a word. */
const openShare = 0.1;

/** Parts looked at between two pauses; a long one has pauses of its own. */
const partsAtOnce = 50;

/** An area and what is cut out of it. */
export interface Part {
  outer: readonly Corner[];
  holes: readonly (readonly Corner[])[];
}

type PassedOver =
  "point" | "line" | "outline with fewer than three different points" | "link to another file";

const counted = (count: number, what: string): string =>
  `${count} ${count === 1 ? what : what.replace(/^\w+/, "$&s")}`;

function listed(words: readonly string[]): string {
  const shown = words.slice(0, 3);
  const more = words.length - shown.length;
  return more > 0 ? `${shown.join(", ")} and ${more} more` : shown.join(", ");
}

/** Neither repeats of the corner before nor the first corner again at the end. */
function cleaned(ring: readonly Corner[]): readonly Corner[] {
  const same = (a: Corner | undefined, b: Corner | undefined) => a?.[0] === b?.[0] && a?.[1] === b?.[1];
  const corners = ring.filter((corner, i) => i === 0 || !same(corner, ring[i - 1]));
  while (corners.length > 1 && same(corners[0], corners[corners.length - 1])) corners.pop();
  return corners;
}

const isOutline = (ring: readonly Corner[]): boolean => {
  const different = new Set<string>();
  for (const [latitude, longitude] of ring) {
    different.add(`${latitude} ${longitude}`);
    if (different.size === 3) return true;
  }
  return false;
};

/** Collects what a reader finds in one file, holding to the limits as it goes. */
export class Gathering {
  private readonly outlines: BroughtOutline[] = [];
  private readonly names = new Set<string>();
  private readonly zones = new Set<string>();
  private readonly passed = new Map<PassedOver, number>();
  private readonly thinnedOnes: string[] = [];
  private readonly joinedOnes: string[] = [];
  private readonly wideOnes: string[] = [];
  private points = 0;
  private unnamed = 0;

  constructor(private readonly file: string) {}

  /** Refuses the file: the sentence goes on after its name. */
  refuse(sentence: string): never {
    throw new WorkbookTrouble(`"${oneLine(this.file) || "The file"}" ${sentence}`);
  }

  /** One corner, counted and checked, as WGS84 degrees. */
  corner(latitude: number, longitude: number): Corner {
    this.points += 1;
    if (this.points > mostPoints)
      this.refuse(
        `has more than ${mostPoints.toLocaleString("en-US")} points: save only the outlines of this property, then try again.`,
      );
    if (!(Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180))
      this.refuse(
        `has a point at ${longitude}, ${latitude}, which is no longitude and latitude; it looks projected: save it in latitude and longitude, WGS84.`,
      );
    return [latitude, longitude];
  }

  /** A corner written as text, where anything but two plain numbers is refused rather than guessed at. */
  cornerOf(latitude: string, longitude: string): Corner {
    const degrees = (text: string): number => {
      if (text.length < 50 && /^\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?\s*$/i.test(text))
        return Number(text);
      return this.refuse(
        `has a coordinate "${oneLine(text)}" that is not a number of degrees such as 39.9526: save it again with decimal points.`,
      );
    };
    return this.corner(degrees(latitude), degrees(longitude));
  }

  passOver(what: PassedOver): undefined {
    this.passed.set(what, (this.passed.get(what) ?? 0) + 1);
    return undefined;
  }

  /** What one named thing in the file covers; the names its parts are given, none for a part passed over. */
  *add(name: string | undefined, parts: readonly Part[]): Pieces<(string | undefined)[]> {
    const given = name === undefined ? "" : nameInOneLine(name);
    const titles: (string | undefined)[] = [];
    let shared: string | undefined;
    for (const [i, part] of parts.entries()) {
      if (i % partsAtOnce === 0) yield i / parts.length;
      const outer = cleaned(part.outer);
      if (!isOutline(outer)) {
        titles.push(this.passOver("outline with fewer than three different points"));
        continue;
      }
      const zone =
        given === ""
          ? free(`Outline ${(this.unnamed += 1)}`, this.zones)
          : (shared ??= free(given, this.zones));
      const whole = given === "" || parts.length === 1;
      const title = yield* this.put(zone, whole ? zone : `${zone}, part ${i + 1}`, "area", outer);
      titles.push(title);
      for (const [j, hole] of part.holes.entries()) {
        if (j % partsAtOnce === 0) yield i / parts.length;
        const inner = cleaned(hole);
        if (isOutline(inner)) yield* this.put(zone, `${title}, left out`, "left out", inner);
        else this.passOver("outline with fewer than three different points");
      }
    }
    return titles;
  }

  /** A recorded walk as an outline; how far its ends lie apart is said, because the line between is a guess. */
  *addWalks(name: string | undefined, walks: readonly (readonly Corner[])[]): Pieces<void> {
    const titles = yield* this.add(
      name,
      walks.map((outer) => ({ outer, holes: [] })),
    );
    for (const [i, title] of titles.entries()) {
      if (i % partsAtOnce === 0) yield i / titles.length;
      const plane = onPlane(walks[i] ?? []);
      const start = plane[0];
      const end = plane.at(-1);
      if (title === undefined || start === undefined || end === undefined) continue;
      const length = plane.reduce((sum, point, at) => sum + distance(point, plane[at - 1] ?? point), 0);
      const gap = distance(start, end);
      if (gap > openShare * length) this.joinedOnes.push(`"${title}" over ${Math.max(1, Math.round(gap))} m`);
    }
  }

  finish(): BroughtFile {
    const passed = [...this.passed].map(([what, count]) => counted(count, what));
    const over = passed.length > 1 ? `${passed.slice(0, -1).join(", ")} and ${passed.at(-1)}` : passed[0];
    if (this.outlines.length === 0)
      this.refuse(
        over === undefined
          ? "holds no outline: draw the areas as polygons, save it again and try that."
          : `holds no outline, only ${over}: draw the areas as polygons, save it again and try that.`,
      );
    const one = passed.length === 1 && [...this.passed.values()][0] === 1;
    const notes = [
      over !== undefined && `${over} ${one ? "was" : "were"} passed over: only areas are brought in.`,
      this.joinedOnes.length > 0 &&
        `Walks that end away from their start were closed with a straight line: ${listed(this.joinedOnes)}.`,
      this.thinnedOnes.length > 0 &&
        `Long outlines were thinned, each area by less than 0.05 %: ${listed(this.thinnedOnes)}.`,
      this.wideOnes.length > 0 &&
        `More than 10 km across, so look whether the file is in latitude and longitude: ${listed(this.wideOnes)}.`,
    ];
    return { outlines: this.outlines, notes: notes.filter((note) => note !== false) };
  }

  private *put(
    zone: string,
    wanted: string,
    counts: BroughtOutline["counts"],
    ring: readonly Corner[],
  ): Pieces<string> {
    if (this.outlines.length === mostOutlines)
      this.refuse(
        `has more than ${mostOutlines} outlines: save only those of this property, then try again.`,
      );
    const name = free(wanted, this.names);
    const points = yield* thinned(ring);
    if (points !== ring) this.thinnedOnes.push(`"${name}" from ${ring.length} to ${points.length} points`);
    const plane = onPlane(points);
    const span = (along: readonly number[]) =>
      along.reduce((most, at) => Math.max(most, at), 0) - along.reduce((least, at) => Math.min(least, at), 0);
    if (Math.max(span(plane.map(({ x }) => x)), span(plane.map(({ y }) => y))) > widestOutline)
      this.wideOnes.push(`"${name}"`);
    this.outlines.push({ name, zone, counts, points });
    return name;
  }
}

/** Names tell outlines and zones apart in the sheet, where capitals make no difference. */
function free(wanted: string, taken: Set<string>): string {
  let name = wanted;
  for (let i = 2; taken.has(name.toLowerCase()); i += 1) name = `${wanted} ${i}`;
  taken.add(name.toLowerCase());
  return name;
}
