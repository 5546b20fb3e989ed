import type { Pieces } from "../host";
import type { Gathering, Part } from "./gathering";
import type { Corner } from "./outline";
import type { XmlReader } from "./xml";

/** Corners read between two pauses. */
const cornersAtOnce = 1000;

/** Rings as they are written. */
interface Written {
  readonly outer: string;
  readonly holes: readonly string[];
}

/** Polygons of KML 2.x (OGC 12-007r2): longitude, latitude and perhaps altitude, parted by blanks. */
export function kmlReader(gathering: Gathering): XmlReader {
  let name: string | undefined;
  let polygons: Written[] = [];
  let outer: string | undefined;
  let holes: string[] = [];
  let written = "";

  function* ring(text: string): Pieces<Corner[]> {
    const corners: Corner[] = [];
    for (const [tuple] of text.matchAll(/\S+/g)) {
      const [longitude = "", latitude = ""] = tuple.split(",", 3);
      corners.push(gathering.cornerOf(latitude, longitude));
      if (corners.length % cornersAtOnce === 0) yield 0;
    }
    return corners;
  }
  function* put(title: string | undefined, areas: readonly Written[]): Pieces<void> {
    const parts: Part[] = [];
    for (const polygon of areas) {
      const inner: Corner[][] = [];
      const around = yield* ring(polygon.outer);
      for (const hole of polygon.holes) inner.push(yield* ring(hole));
      parts.push({ outer: around, holes: inner });
    }
    yield* gathering.add(title, parts);
  }
  const flush = (): Pieces<void> | undefined => {
    const work = polygons.length === 0 ? undefined : put(name, polygons);
    name = undefined;
    polygons = [];
    return work;
  };

  return {
    open(path) {
      const element = path.at(-1);
      if (element === "name" || element === "coordinates") written = "";
      if (path.includes("Polygon") && element !== "Polygon") return undefined;
      if (element === "Polygon") {
        outer = undefined;
        holes = [];
      }
      if (element === "Point") gathering.passOver("point");
      if (element === "LineString" || element === "LinearRing" || element === "Track")
        gathering.passOver("line");
      if (element === "NetworkLink") gathering.passOver("link to another file");
      return element === "Placemark" ? flush() : undefined;
    },
    text(path, text) {
      const element = path.at(-1);
      if (element === "name" || element === "coordinates") written += text;
    },
    close(path) {
      const element = path.at(-1);
      if (element === "name" && path.at(-2) === "Placemark") name = written;
      if (element === "coordinates" && path.includes("innerBoundaryIs")) holes.push(written);
      if (element === "coordinates" && path.includes("outerBoundaryIs")) {
        if (outer !== undefined)
          gathering.refuse(
            "has a polygon with two outer boundaries: draw it as two polygons and save it again.",
          );
        outer = written;
      }
      if (element === "Polygon") polygons.push({ outer: outer ?? "", holes });
      return element === "Placemark" || path.length === 1 ? flush() : undefined;
    },
  };
}
