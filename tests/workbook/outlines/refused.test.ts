import { describe, expect, test } from "vitest";
import { largestFile } from "../../../src/workbook/outlines/read-outlines";
import { collection, feature, gate, polygon, refusal, square, readOutlines } from "./support";

const lawn = polygon(square(gate, 10));
const placemark = (coordinates: string, more = "") =>
  `<kml><Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>${coordinates}</coordinates></LinearRing></outerBoundaryIs>${more}</Polygon></Placemark></kml>`;
const track = (points: string) => `<gpx><trk><trkseg>${points}</trkseg></trk></gpx>`;

describe("bad files, each with its sentence", () => {
  test.each([
    ["nothing", "", "is empty: choose a GeoJSON, KML or GPX file."],
    ["blanks", " \n\t ", "is empty: choose a GeoJSON, KML or GPX file."],
    ["a table", "lat,lon\n1,2", "is none of GeoJSON, KML and GPX: choose a file in one of these formats."],
    [
      "a zip",
      "PK\u0003\u0004",
      "is zipped (KMZ or the like): save it as KML, or unzip it and choose the file inside.",
    ],
    [
      "half a GeoJSON",
      JSON.stringify(lawn).slice(0, 60),
      "cannot be read as JSON: it is cut short or damaged, so save it again from the program that drew it.",
    ],
    [
      "a list",
      "[1, 2]",
      "is a list or a single value, so it is not sound GeoJSON: save it again from the program that drew it.",
    ],
    [
      "TopoJSON",
      '{"type":"Topology"}',
      "is TopoJSON: save it as GeoJSON in latitude and longitude, then try again.",
    ],
    [
      "no type",
      '{"a":1}',
      "has a geometry of no known type, so it is not sound GeoJSON: save it again from the program that drew it.",
    ],
    [
      "text for a number",
      '{"type":"Polygon","coordinates":[[["1","2"]]]}',
      "has a point whose longitude and latitude are not two numbers, so it is not sound GeoJSON: save it again from the program that drew it.",
    ],
    [
      "no coordinates",
      '{"type":"Polygon"}',
      "has coordinates that are not a list, so it is not sound GeoJSON: save it again from the program that drew it.",
    ],
    [
      "too great a number",
      '{"type":"Polygon","coordinates":[[[1e999,2]]]}',
      "has a point at Infinity, 2, which is no longitude and latitude; it looks projected: save it in latitude and longitude, WGS84.",
    ],
    [
      "no features",
      collection(),
      "holds no outline: draw the areas as polygons, save it again and try that.",
    ],
    [
      "points alone",
      collection(
        feature(
          {},
          {
            type: "MultiPoint",
            coordinates: [
              [1, 2],
              [3, 4],
            ],
          },
        ),
      ),
      "holds no outline, only 2 points: draw the areas as polygons, save it again and try that.",
    ],
    [
      "half a KML",
      "<kml>\n<Placemark>\n<name>Fro",
      "cannot be read as XML from line 3 on: it is cut short or damaged, so save it again from the program that drew it.",
    ],
    [
      "crossed tags",
      "<kml><a></kml></a>",
      "cannot be read as XML from line 1 on: it is cut short or damaged, so save it again from the program that drew it.",
    ],
    [
      "a web page",
      "<html><body>Sign in</body></html>",
      "is neither KML nor GPX: choose a GeoJSON, KML or GPX file.",
    ],
    [
      "KML that points elsewhere",
      "<kml><NetworkLink><Link><href>x</href></Link></NetworkLink></kml>",
      "holds no outline, only 1 link to another file: draw the areas as polygons, save it again and try that.",
    ],
    [
      "KML lines",
      "<kml><Placemark><LineString><coordinates>1,2 3,4</coordinates></LineString></Placemark></kml>",
      "holds no outline, only 1 line: draw the areas as polygons, save it again and try that.",
    ],
    [
      "KML with a word in it",
      placemark("-75.1,39.9 x,39.9"),
      'has a coordinate "x" that is not a number of degrees such as 39.9526: save it again with decimal points.',
    ],
    [
      "KML on a grid",
      placemark("448262,4423460 448292,4423460"),
      "has a point at 448262, 4423460, which is no longitude and latitude; it looks projected: save it in latitude and longitude, WGS84.",
    ],
    [
      "KML with two outsides",
      placemark(
        "1,2 1,3 2,3",
        "<outerBoundaryIs><LinearRing><coordinates>1,2</coordinates></LinearRing></outerBoundaryIs>",
      ),
      "has a polygon with two outer boundaries: draw it as two polygons and save it again.",
    ],
    [
      "GPX with decimal commas",
      track('<trkpt lat="39,96" lon="-75,60"/>'),
      'has a coordinate "39,96" that is not a number of degrees such as 39.9526: save it again with decimal points.',
    ],
    [
      "GPX without a longitude",
      track('<trkpt lat="39.96"/>'),
      'has a coordinate "" that is not a number of degrees such as 39.9526: save it again with decimal points.',
    ],
    [
      "GPX of two points",
      track('<trkpt lat="1" lon="2"/><trkpt lat="1" lon="3"/>'),
      "holds no outline, only 1 outline with fewer than three different points: draw the areas as polygons, save it again and try that.",
    ],
  ])("%s", (_what, text, sentence) => {
    expect(refusal(text, "plan.txt")).toBe(`"plan.txt" ${sentence}`);
  });
});

describe("limits", () => {
  const squares = (count: number) =>
    collection(...Array.from({ length: count }, (_, i) => feature({ name: `Plot ${i}` }, lawn)));
  const dots = (count: number) =>
    JSON.stringify({
      type: "Polygon",
      coordinates: [
        Array.from({ length: count }, (_, i) => [-75 + Math.cos(i) / 1e4, 39 + Math.sin(i) / 1e4]),
      ],
    });

  test("500 outlines are read, one more is refused", () => {
    expect(readOutlines("plan.geojson", squares(500)).outlines).toHaveLength(500);
    expect(refusal(squares(501))).toBe(
      '"plan.geojson" has more than 500 outlines: save only those of this property, then try again.',
    );
  });

  test("100,000 points are read, one more is refused", () => {
    expect(readOutlines("plan.geojson", dots(100_000)).outlines).toHaveLength(1);
    const sentence = "has more than 100,000 points: save only the outlines of this property, then try again.";
    expect(refusal(dots(100_001))).toBe(`"plan.geojson" ${sentence}`);
    expect(refusal(placemark("1,2 ".repeat(100_001)))).toBe(`"plan.geojson" ${sentence}`);
    expect(refusal(track('<trkpt lat="1" lon="2"/>'.repeat(100_001)))).toBe(`"plan.geojson" ${sentence}`);
  });

  test("10 MB are read, one byte more is refused unread", () => {
    const filled = (length: number) => JSON.stringify(lawn).padEnd(length, " ");
    expect(readOutlines("plan.geojson", filled(largestFile)).outlines).toHaveLength(1);
    expect(refusal(filled(largestFile + 1))).toBe(
      '"plan.geojson" is over 10 MB: save only the outlines of this property, then try again.',
    );
  });
});

describe("hostile files", () => {
  const entities =
    '"plan.kml" declares a document type or entities, which outline files never need: save it again from the program that drew it.';
  const laughs = Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`).join(
    "",
  );
  test.each([
    [
      "entities that multiply",
      `<?xml version="1.0"?>\n<!DOCTYPE kml [<!ENTITY l0 "ha">${laughs}]><kml><name>&l9;</name></kml>`,
    ],
    [
      "an entity that reads a file",
      '<!DOCTYPE kml [<!ENTITY x SYSTEM "file:///etc/hostname">]><kml>&x;</kml>',
    ],
    ["a document type behind a comment", '<!-- <kml> --><!DOCTYPE kml [<!ENTITY l0 "ha">]><kml>&l0;</kml>'],
    ["a long document type", `<!DOCTYPE kml [${'<!ENTITY a "b">'.repeat(500_000)}]><kml/>`],
  ])("%s: refused before any of it is read", (_what, text) => {
    expect(refusal(text, "plan.kml")).toBe(entities);
  });

  test("an entity that nothing declares", () => {
    expect(refusal("<kml>&l9;</kml>")).toContain("cannot be read as XML from line 1 on");
  });

  test.each([
    ["tags", "<kml>" + "<a>".repeat(3_000_000), "is nested too deeply"],
    ["lists", "[".repeat(5_000_000), "is nested too deeply"],
    [
      "collections",
      '{"type":"GeometryCollection","geometries":['.repeat(40) + "]}".repeat(40),
      "has collections within collections",
    ],
  ])("%s within each other", (_what, text, part) => {
    expect(refusal(text, "plan.kml")).toContain(part);
  });

  test("a document type inside a description is only text", () => {
    const page = "<description><![CDATA[<!DOCTYPE html><p>Lawn</p>]]></description>";
    const text = placemark("1,2 1,2.0001 1.0001,2").replace("<Polygon>", `${page}<Polygon>`);
    expect(readOutlines("plan.kml", text).outlines).toHaveLength(1);
  });

  test("the file's own name cannot spoil the sentence", () => {
    expect(refusal("", `=a\n${"b".repeat(500)}`)).toBe(
      `"=a ${"b".repeat(57)}" is empty: choose a GeoJSON, KML or GPX file.`,
    );
  });
});
