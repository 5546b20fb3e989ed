import { describe, expect, test } from "vitest";
import { readOutlines } from "./support";

const ring = (tag: string, coordinates: string) =>
  `<${tag}><LinearRing><coordinates>${coordinates}</coordinates></LinearRing></${tag}>`;
const triangle = "1,2 1,2.0001 1.0001,2 1,2";
const corners = [
  [2, 1],
  [2.0001, 1],
  [2, 1.0001],
];

describe("KML", () => {
  test("with a prefix on every element, after a byte order mark and blank lines", () => {
    const text = `\uFEFF\n<?xml version="1.0"?><k:kml xmlns:k="x"><k:Placemark><k:name>Lawn</k:name><k:Polygon><k:outerBoundaryIs><k:LinearRing><k:coordinates>${triangle}</k:coordinates></k:LinearRing></k:outerBoundaryIs></k:Polygon></k:Placemark></k:kml>`;
    expect(readOutlines("plan.kml", text).outlines).toEqual([
      { name: "Lawn", zone: "Lawn", counts: "area", points: corners },
    ]);
  });

  test("a name after the polygon, in two pieces, and a placemark without one", () => {
    const polygon = `<Polygon>${ring("outerBoundaryIs", triangle)}</Polygon>`;
    const text = `<kml><Placemark>${polygon}<name>Front <![CDATA[& side]]></name></Placemark><Placemark>${polygon}</Placemark></kml>`;
    expect(readOutlines("plan.kml", text).outlines.map(({ name }) => name)).toEqual([
      "Front & side",
      "Outline 1",
    ]);
  });

  test("two polygons under one name, a bed in the second", () => {
    const polygons = `<Polygon>${ring("outerBoundaryIs", triangle)}</Polygon><Polygon>${ring("outerBoundaryIs", triangle)}${ring("innerBoundaryIs", triangle)}</Polygon>`;
    const text = `<kml><Placemark><name>Lawn</name><MultiGeometry>${polygons}</MultiGeometry></Placemark></kml>`;
    expect(readOutlines("plan.kml", text).outlines.map(({ name, counts }) => [name, counts])).toEqual([
      ["Lawn, part 1", "area"],
      ["Lawn, part 2", "area"],
      ["Lawn, part 2, left out", "left out"],
    ]);
  });

  test("pictures laid over the map are no outlines", () => {
    const overlay =
      "<GroundOverlay><LatLonBox><north>2</north><south>1</south><east>2</east><west>1</west></LatLonBox></GroundOverlay>";
    const text = `<kml>${overlay}<Placemark><Polygon>${ring("outerBoundaryIs", triangle)}</Polygon></Placemark></kml>`;
    expect(readOutlines("plan.kml", text).outlines).toHaveLength(1);
  });
});

describe("GPX", () => {
  const points = '<trkpt lat="2" lon="1"/><trkpt lat="2.0001" lon="1"/><trkpt lat="2" lon="1.0001"/>';
  const closed = `${points}<trkpt lat="2" lon="1"/>`;

  test("each segment of a track is an outline of its own", () => {
    const text = `<gpx><trk><name>Verge</name><trkseg>${closed}</trkseg><trkseg>${closed}</trkseg></trk></gpx>`;
    expect(readOutlines("walk.gpx", text).outlines).toEqual([
      { name: "Verge, part 1", zone: "Verge", counts: "area", points: corners },
      { name: "Verge, part 2", zone: "Verge", counts: "area", points: corners },
    ]);
  });

  test("an unnamed track after a named one takes no name from it", () => {
    const text = `<gpx><trk><name>Verge</name><trkseg>${closed}</trkseg></trk><trk><trkseg>${closed}</trkseg></trk></gpx>`;
    expect(readOutlines("walk.gpx", text).outlines.map(({ name }) => name)).toEqual(["Verge", "Outline 1"]);
  });
});
