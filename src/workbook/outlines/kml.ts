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

class KmlReader implements XmlReader {
  private name: string | undefined;
  private polygons: Written[] = [];
  private outer: string | undefined;
  private holes: string[] = [];
  private written = "";

  constructor(private readonly gathering: Gathering) {}

  private *ring(text: string): Pieces<Corner[]> {
    const corners: Corner[] = [];
    for (const [tuple] of text.matchAll(/\S+/g)) {
      const [longitude = "", latitude = ""] = tuple.split(",", 3);
      corners.push(this.gathering.cornerOf(latitude, longitude));
      if (corners.length % cornersAtOnce === 0) yield 0;
    }
    return corners;
  }

  private *put(title: string | undefined, areas: readonly Written[]): Pieces<void> {
    const parts: Part[] = [];
    for (const polygon of areas) {
      const inner: Corner[][] = [];
      const around = yield* this.ring(polygon.outer);
      for (const hole of polygon.holes) inner.push(yield* this.ring(hole));
      parts.push({ outer: around, holes: inner });
    }
    yield* this.gathering.add(title, parts);
  }

  private flush(): Pieces<void> | undefined {
    const work = this.polygons.length === 0 ? undefined : this.put(this.name, this.polygons);
    this.name = undefined;
    this.polygons = [];
    return work;
  }

  open(path: readonly string[]): Pieces<void> | undefined {
    const { gathering } = this;
    const element = path.at(-1);
    if (element === "name" || element === "coordinates") this.written = "";
    if (path.includes("Polygon") && element !== "Polygon") return undefined;
    if (element === "Polygon") {
      this.outer = undefined;
      this.holes = [];
    }
    if (element === "Point") gathering.passOver("point");
    if (element === "LineString" || element === "LinearRing" || element === "Track")
      gathering.passOver("line");
    if (element === "NetworkLink") gathering.passOver("link to another file");
    return element === "Placemark" ? this.flush() : undefined;
  }

  text(path: readonly string[], text: string): void {
    const element = path.at(-1);
    if (element === "name" || element === "coordinates") this.written += text;
  }

  close(path: readonly string[]): Pieces<void> | undefined {
    const element = path.at(-1);
    if (element === "name" && path.at(-2) === "Placemark") this.name = this.written;
    if (element === "coordinates" && path.includes("innerBoundaryIs")) this.holes.push(this.written);
    if (element === "coordinates" && path.includes("outerBoundaryIs")) {
      if (this.outer !== undefined)
        this.gathering.refuse(
          "has a polygon with two outer boundaries: draw it as two polygons and save it again.",
        );
      this.outer = this.written;
    }
    if (element === "Polygon") this.polygons.push({ outer: this.outer ?? "", holes: this.holes });
    return element === "Placemark" || path.length === 1 ? this.flush() : undefined;
  }
}

/** Polygons of KML 2.x (OGC 12-007r2): longitude, latitude and perhaps altitude, parted by blanks. */
export const kmlReader = (gathering: Gathering): XmlReader => new KmlReader(gathering);
