import type { Gathering, Part } from "./gathering";
import type { Corner } from "./outline";
import type { XmlReader } from "./xml";

/** Polygons of KML 2.x (OGC 12-007r2): longitude, latitude and perhaps altitude, parted by blanks. */
export function kmlReader(gathering: Gathering): XmlReader {
  let name: string | undefined;
  let parts: Part[] = [];
  let outer: readonly Corner[] | undefined;
  let holes: (readonly Corner[])[] = [];
  let pieces: string[] = [];

  const ring = (): Corner[] =>
    Array.from(pieces.join("").matchAll(/\S+/g), ([tuple]) => {
      const [longitude = "", latitude = ""] = tuple.split(",", 3);
      return gathering.cornerOf(latitude, longitude);
    });
  const flush = () => {
    gathering.add(name, parts);
    name = undefined;
    parts = [];
  };

  return {
    open(path) {
      const element = path.at(-1);
      if (element === "name" || element === "coordinates") pieces = [];
      if (path.includes("Polygon") && element !== "Polygon") return;
      if (element === "Placemark") flush();
      if (element === "Polygon") {
        outer = undefined;
        holes = [];
      }
      if (element === "Point") gathering.passOver("point");
      if (element === "LineString" || element === "LinearRing" || element === "Track")
        gathering.passOver("line");
      if (element === "NetworkLink") gathering.passOver("link to another file");
    },
    text(path, text) {
      const element = path.at(-1);
      if (element === "name" || element === "coordinates") pieces.push(text);
    },
    close(path) {
      const element = path.at(-1);
      if (element === "name" && path.at(-2) === "Placemark") name = pieces.join("");
      if (element === "coordinates" && path.includes("innerBoundaryIs")) holes.push(ring());
      if (element === "coordinates" && path.includes("outerBoundaryIs")) {
        if (outer !== undefined)
          gathering.refuse(
            "has a polygon with two outer boundaries: draw it as two polygons and save it again.",
          );
        outer = ring();
      }
      if (element === "Polygon") parts.push({ outer: outer ?? [], holes });
      if (element === "Placemark" || path.length === 1) flush();
    },
  };
}
