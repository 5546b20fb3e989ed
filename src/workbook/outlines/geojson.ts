import type { Pieces } from "../host";
import { within } from "../host";
import { nameInOneLine, oneLine } from "./cell-text";
import type { Gathering, Part } from "./gathering";
import { readingJson } from "./json";
import type { Corner } from "./outline";

type Members = Readonly<Record<string, unknown>>;

/** RFC 7946 advises against collections within collections, so a few levels are plenty. */
const deepest = 10;

/** Every usual way of naming WGS84: CRS84, EPSG 4326 and its three-dimensional sister 4979. */
const wgs84 = /^(?:.*[:/])?(?:CRS:?84h?|4326|4979|WGS[ _-]?84)$/i;

const isMembers = (value: unknown): value is Members =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const isList = (value: unknown): value is readonly unknown[] => Array.isArray(value);

/** The name an outline goes by in the program that drew it, whatever the capitals. */
function nameIn(properties: unknown, id: unknown): string | undefined {
  const found = new Map<string, unknown>();
  if (isMembers(properties))
    for (const [key, value] of Object.entries(properties)) found.set(key.toLowerCase(), value);
  for (const value of [found.get("name"), found.get("title"), found.get("id"), id]) {
    if (typeof value === "string" && nameInOneLine(value) !== "") return value;
    if (typeof value === "number") return String(value);
  }
  return undefined;
}

class GeoJsonReader {
  constructor(private readonly gathering: Gathering) {}

  private malformed(what: string): never {
    return this.gathering.refuse(
      `${what}, so it is not sound GeoJSON: save it again from the program that drew it.`,
    );
  }

  private list(value: unknown, what: string): readonly unknown[] {
    return isList(value) ? value : this.malformed(`has ${what} that are not a list`);
  }

  private corner(position: unknown): Corner {
    const [longitude, latitude] = this.list(position, "coordinates");
    if (typeof latitude !== "number" || typeof longitude !== "number")
      return this.malformed("has a point whose longitude and latitude are not two numbers");
    return this.gathering.corner(latitude, longitude);
  }

  /** A polygon without rings is no fault: it is passed over as an outline without points. */
  private *part(polygon: unknown): Pieces<Part> {
    const rings: Corner[][] = [];
    for (const ring of this.list(polygon, "coordinates")) {
      rings.push(this.list(ring, "coordinates").map((position) => this.corner(position)));
      yield 0;
    }
    const [outer = [], ...holes] = rings;
    return { outer, holes };
  }

  private checkSystem({ crs }: Members): void {
    if (crs === undefined || crs === null) return;
    const properties = isMembers(crs) ? crs.properties : undefined;
    const name = isMembers(properties) ? properties.name : undefined;
    if (typeof name !== "string" || !wgs84.test(name.slice(0, 200).trim()))
      this.gathering.refuse(
        `is in ${typeof name === "string" ? `the coordinate system "${oneLine(name)}"` : "an unnamed coordinate system"}: save it in latitude and longitude, WGS84.`,
      );
  }

  private *partsOf(geometry: unknown, depth: number): Pieces<Part[]> {
    if (geometry === null || geometry === undefined) return [];
    if (!isMembers(geometry)) return this.malformed("has a geometry that is not an object");
    this.checkSystem(geometry);
    const parts: Part[] = [];
    const { type, coordinates } = geometry;
    switch (type) {
      case "Polygon":
        return [yield* this.part(coordinates)];
      case "MultiPolygon":
        for (const polygon of this.list(coordinates, "coordinates")) parts.push(yield* this.part(polygon));
        return parts;
      case "GeometryCollection":
        if (depth === deepest) return this.malformed("has collections within collections");
        for (const inner of this.list(geometry.geometries, "geometries"))
          for (const found of yield* this.partsOf(inner, depth + 1)) parts.push(found);
        return parts;
      case "Point":
        this.gathering.passOver("point");
        return [];
      case "MultiPoint":
        this.list(coordinates, "coordinates").forEach(() => this.gathering.passOver("point"));
        return [];
      case "LineString":
        this.gathering.passOver("line");
        return [];
      case "MultiLineString":
        this.list(coordinates, "coordinates").forEach(() => this.gathering.passOver("line"));
        return [];
      default:
        return this.malformed("has a geometry of no known type");
    }
  }

  private *feature(value: unknown): Pieces<void> {
    if (!isMembers(value) || value.type !== "Feature")
      return this.malformed("has a feature without that type");
    this.checkSystem(value);
    yield* this.gathering.add(nameIn(value.properties, value.id), yield* this.partsOf(value.geometry, 0));
  }

  *read(text: string): Pieces<void> {
    const { gathering } = this;
    // Reading the text is the first half of the work.
    const root = yield* within(readingJson(text, gathering), (share) => share / 2);
    if (!isMembers(root)) return this.malformed("is a list or a single value");
    this.checkSystem(root);
    if (root.type === "FeatureCollection") {
      const features = this.list(root.features, "features");
      for (const [i, one] of features.entries())
        yield* within(this.feature(one), () => (1 + i / features.length) / 2);
    } else if (root.type === "Feature") yield* within(this.feature(root), () => 0.5);
    else if (root.type === "Topology")
      gathering.refuse("is TopoJSON: save it as GeoJSON in latitude and longitude, then try again.");
    else yield* within(gathering.add(undefined, yield* within(this.partsOf(root, 0), () => 0.5)), () => 0.5);
  }
}

/** Polygons of GeoJSON (RFC 7946): longitude, latitude and perhaps altitude. */
export const readGeoJson = (text: string, gathering: Gathering): Pieces<void> =>
  new GeoJsonReader(gathering).read(text);
