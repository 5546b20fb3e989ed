import { nameInOneLine, oneLine } from "./cell-text";
import type { Gathering, Part } from "./gathering";
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

/** Polygons of GeoJSON (RFC 7946): longitude, latitude and perhaps altitude. */
export function readGeoJson(text: string, gathering: Gathering): void {
  const malformed = (what: string): never =>
    gathering.refuse(`${what}, so it is not sound GeoJSON: save it again from the program that drew it.`);

  const list = (value: unknown, what: string): readonly unknown[] =>
    isList(value) ? value : malformed(`has ${what} that are not a list`);

  const corner = (position: unknown): Corner => {
    const [longitude, latitude] = list(position, "coordinates");
    if (typeof latitude !== "number" || typeof longitude !== "number")
      return malformed("has a point whose longitude and latitude are not two numbers");
    return gathering.corner(latitude, longitude);
  };

  const part = (polygon: unknown): Part => {
    const [outer = [], ...holes] = list(polygon, "coordinates").map((ring) =>
      list(ring, "coordinates").map(corner),
    );
    return { outer, holes };
  };

  const checkSystem = ({ crs }: Members): void => {
    if (crs === undefined || crs === null) return;
    const properties = isMembers(crs) ? crs.properties : undefined;
    const name = isMembers(properties) ? properties.name : undefined;
    if (typeof name !== "string" || !wgs84.test(name.slice(0, 200).trim()))
      gathering.refuse(
        `is in ${typeof name === "string" ? `the coordinate system "${oneLine(name)}"` : "an unnamed coordinate system"}: save it in latitude and longitude, WGS84.`,
      );
  };

  const partsOf = (geometry: unknown, depth: number): Part[] => {
    if (geometry === null || geometry === undefined) return [];
    if (!isMembers(geometry)) return malformed("has a geometry that is not an object");
    checkSystem(geometry);
    switch (geometry.type) {
      case "Polygon":
        return [part(geometry.coordinates)];
      case "MultiPolygon":
        return list(geometry.coordinates, "coordinates").map(part);
      case "GeometryCollection":
        if (depth === deepest) return malformed("has collections within collections");
        return list(geometry.geometries, "geometries").flatMap((inner) => partsOf(inner, depth + 1));
      case "Point":
        gathering.passOver("point");
        return [];
      case "MultiPoint":
        list(geometry.coordinates, "coordinates").forEach(() => gathering.passOver("point"));
        return [];
      case "LineString":
        gathering.passOver("line");
        return [];
      case "MultiLineString":
        list(geometry.coordinates, "coordinates").forEach(() => gathering.passOver("line"));
        return [];
      default:
        return malformed("has a geometry of no known type");
    }
  };

  const feature = (value: unknown): void => {
    if (!isMembers(value) || value.type !== "Feature") return malformed("has a feature without that type");
    checkSystem(value);
    gathering.add(nameIn(value.properties, value.id), partsOf(value.geometry, 0));
  };

  const root = parsed(text, gathering);
  if (!isMembers(root)) return malformed("is a list or a single value");
  checkSystem(root);
  if (root.type === "FeatureCollection") list(root.features, "features").forEach(feature);
  else if (root.type === "Feature") feature(root);
  else if (root.type === "Topology")
    gathering.refuse("is TopoJSON: save it as GeoJSON in latitude and longitude, then try again.");
  else gathering.add(undefined, partsOf(root, 0));
}

/** Lists and objects within one another, and in all: far more than any outline file has, and few enough to be held. */
const deepestLists = 100;
const mostLists = 1_000_000;
/** Of one object. */
const mostMembers = 20_000;

const code = (letter: string): number => letter.charCodeAt(0);
const [quote, backslash, colon] = [code('"'), code("\\"), code(":")];
const opening = new Set([code("["), code("{")]);
const closing = new Set([code("]"), code("}")]);

/** Looks through the text before it is built up in memory, where each list takes many times the room of its brackets. */
function refuseTooMany(text: string, gathering: Gathering): void {
  let [depth, lists] = [0, 0];
  const members = [0];
  for (let i = 0; i < text.length; i++) {
    const letter = text.charCodeAt(i);
    if (letter === quote) {
      for (i++; i < text.length && text.charCodeAt(i) !== quote; i++)
        if (text.charCodeAt(i) === backslash) i++;
    } else if (opening.has(letter)) {
      members[++depth] = 0;
      lists++;
    } else if (closing.has(letter)) {
      depth--;
    } else if (letter === colon) {
      members[depth] = (members[depth] ?? 0) + 1;
    }
    if (depth > deepestLists)
      gathering.refuse(
        "is nested too deeply for an outline file: save it again from the program that drew it.",
      );
    if (lists > mostLists || (members[depth] ?? 0) > mostMembers)
      gathering.refuse("holds far more than the outlines of a property: save only those, then try again.");
  }
}

function parsed(text: string, gathering: Gathering): unknown {
  refuseTooMany(text, gathering);
  try {
    return JSON.parse(text);
  } catch {
    return gathering.refuse(
      "cannot be read as JSON: it is cut short or damaged, so save it again from the program that drew it.",
    );
  }
}
