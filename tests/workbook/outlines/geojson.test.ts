import { describe, expect, test } from "vitest";
import { area, away, collection, feature, gate, polygon, refusal, square, readOutlines } from "./support";

const lawn = polygon(square(gate, 10));
const far = polygon(square(away(gate, 50, 0), 10));
const read = (text: string) => readOutlines("plan.geojson", text);
const names = (text: string) => read(text).outlines.map(({ name }) => name);

describe("what counts as an outline", () => {
  test("a bare polygon", () => {
    const [outline] = read(JSON.stringify(lawn)).outlines;
    expect(outline?.name).toBe("Outline 1");
    expect(area(outline?.points ?? [])).toBeCloseTo(100, 1);
  });

  test("each polygon of a multipolygon, and of a collection", () => {
    const many = { type: "MultiPolygon", coordinates: [lawn.coordinates, far.coordinates] };
    expect(names(collection(feature({ name: "Orchard" }, many)))).toEqual([
      "Orchard, part 1",
      "Orchard, part 2",
    ]);
    const mixed = {
      type: "GeometryCollection",
      geometries: [lawn, { type: "Point", coordinates: [0, 0] }, many],
    };
    expect(names(JSON.stringify(mixed))).toEqual(["Outline 1", "Outline 2", "Outline 3"]);
  });

  test("several holes, each after its own polygon", () => {
    const beds = [1, 4, 7].map((at) => square(away(gate, at, at), 1));
    const text = collection(feature({ name: "Lawn" }, polygon(square(gate, 10), ...beds)), feature({}, far));
    expect(read(text).outlines.map(({ name, counts }) => [name, counts])).toEqual([
      ["Lawn", "area"],
      ["Lawn, left out", "left out"],
      ["Lawn, left out 2", "left out"],
      ["Lawn, left out 3", "left out"],
      ["Outline 1", "area"],
    ]);
  });

  test("not a feature without a place", () => {
    expect(names(collection(feature({ name: "Nowhere" }, null), feature(null, lawn)))).toEqual(["Outline 1"]);
  });

  test("not a ring of two points, which is said", () => {
    const sliver = polygon([gate, away(gate, 5, 0), gate, away(gate, 5, 0)]);
    expect(read(collection(feature({}, sliver), feature({}, lawn))).notes).toEqual([
      "1 outline with fewer than three different points was passed over: only areas are brought in.",
    ]);
  });
});

describe("names", () => {
  test.each([
    [{ name: "Front", title: "Other" }, "Front"],
    [{ title: "Front", id: 3 }, "Front"],
    [{ NAME: "Front" }, "Front"],
    [{ name: "  ", id: 12 }, "12"],
    [{ name: { first: "no text" } }, "Outline 1"],
    [null, "Outline 1"],
  ])("%j", (properties, name) => {
    expect(names(collection(feature(properties, lawn)))).toEqual([name]);
  });

  test("the feature's own id comes last", () => {
    const text = JSON.stringify({ ...feature({}, lawn), id: "plot-7" });
    expect(names(text)).toEqual(["plot-7"]);
  });

  test("the same name twice is told apart, whatever its capitals", () => {
    expect(names(collection(feature({ name: "Lawn" }, lawn), feature({ name: "LAWN" }, far)))).toEqual([
      "Lawn",
      "LAWN 2",
    ]);
  });

  test("are what they are in the file, in one line that a cell shows", () => {
    const hostile = ["=HYPERLINK(1)", "+1", "-cmd", "@sum", "'=1", "a\r\n\u202Eb", "x".repeat(5000)];
    const given = names(collection(...hostile.map((name) => feature({ name }, lawn))));
    expect(given.slice(0, 6)).toEqual(["=HYPERLINK(1)", "+1", "-cmd", "@sum", "'=1", "a b"]);
    expect(given[6]).toHaveLength(255);
  });
});

describe("the zone of an outline", () => {
  const zones = (text: string) => read(text).outlines.map(({ zone }) => zone);
  const multi = (first: readonly unknown[], second: readonly unknown[]) => ({
    type: "MultiPolygon",
    coordinates: [first, second],
  });

  test("is the name of its polygon, of which parts and holes are told apart", () => {
    const [one, other] = [lawn.coordinates, far.coordinates];
    const text = collection(feature({ name: "Lawn" }, multi(one, other)), feature({ name: "lawn" }, lawn));
    expect(zones(text)).toEqual(["Lawn", "Lawn", "lawn 2"]);
  });

  test("is a name that reads like one of a part or a hole, whole", () => {
    for (const name of ["Lawn, part 2", "Bed, left out", "Bed, left out 3"])
      expect(zones(collection(feature({ name }, lawn)))).toEqual([name]);
  });
});

describe("coordinate systems", () => {
  const named = (name: unknown) => JSON.stringify({ ...lawn, crs: { type: "name", properties: { name } } });

  test.each(["EPSG:4326", "urn:ogc:def:crs:EPSG::4326", "urn:ogc:def:crs:OGC:1.3:CRS84", "WGS84"])(
    "%s",
    (name) => {
      expect(read(named(name)).outlines).toHaveLength(1);
    },
  );

  test.each(["EPSG:3857", "urn:ogc:def:crs:EPSG::27700", "EPSG:14326", "EPSG:4269"])(
    "%s is refused",
    (name) => {
      expect(refusal(named(name))).toBe(
        `"plan.geojson" is in the coordinate system "${name}": save it in latitude and longitude, WGS84.`,
      );
    },
  );

  test("one that is linked to is refused", () => {
    const linked = { ...lawn, crs: { type: "link", properties: { href: "system.wkt" } } };
    expect(refusal(JSON.stringify(linked))).toBe(
      '"plan.geojson" is in an unnamed coordinate system: save it in latitude and longitude, WGS84.',
    );
  });

  test("metres on a grid are refused", () => {
    const grid = {
      type: "Polygon",
      coordinates: [
        [
          [448262, 4423460],
          [448292, 4423460],
          [448292, 4423480],
        ],
      ],
    };
    expect(refusal(JSON.stringify(grid))).toBe(
      '"plan.geojson" has a point at 448262, 4423460, which is no longitude and latitude; it looks projected: save it in latitude and longitude, WGS84.',
    );
  });

  test("a grid that starts near nought is at least questioned", () => {
    const grid = {
      type: "Polygon",
      coordinates: [
        [
          [0, 0],
          [30, 0],
          [30, 20],
          [0, 20],
        ],
      ],
    };
    expect(read(JSON.stringify(grid)).notes).toEqual([
      'More than 10 km across, so look whether the file is in latitude and longitude: "Outline 1".',
    ]);
  });
});

describe("the date line", () => {
  const west = [-16.8, 179.9999] as const;
  const across = square(west, 40);

  test("a lawn across it keeps its area and its corners", () => {
    expect(across.some(([, longitude]) => longitude < 0)).toBe(true);
    const brought = read(JSON.stringify(polygon(across)));
    expect(brought.outlines[0]?.points).toEqual(across);
    expect(area(brought.outlines[0]?.points ?? [])).toBeCloseTo(1600, 0);
    expect(brought.notes).toEqual([]);
  });

  test("cut in two at it, the parts make up the whole", () => {
    const ring = (from: number, to: number) => [
      [from, -16.8],
      [to, -16.8],
      [to, -16.7998],
      [from, -16.7998],
    ];
    const cut = { type: "MultiPolygon", coordinates: [[ring(179.9999, 180)], [ring(-180, -179.9999)]] };
    const halves = read(JSON.stringify(cut)).outlines.map(({ points }) => area(points));
    const whole = area([
      [-16.8, 179.9999],
      [-16.8, -179.9999],
      [-16.7998, -179.9999],
      [-16.7998, 179.9999],
    ]);
    expect(halves).toHaveLength(2);
    expect(halves.reduce((sum, half) => sum + half, 0)).toBeCloseTo(whole, 3);
  });
});
