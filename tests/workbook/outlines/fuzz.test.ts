import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { area, collection, feature, readOutlines } from "./support";

/** Anything but outlines within the degrees or one sentence is a fault; how long it takes is looked at by what freezes. */
function outcome(name: string, text: string): "outlines" | "refused" {
  try {
    const { outlines, notes } = readOutlines(name, text);
    for (const { name: title, points } of outlines) {
      expect(title).toMatch(/^\S/);
      expect(points.length).toBeGreaterThanOrEqual(3);
      for (const [latitude, longitude] of points) {
        expect(Math.abs(latitude)).toBeLessThanOrEqual(90);
        expect(Math.abs(longitude)).toBeLessThanOrEqual(180);
      }
    }
    expect(new Set(outlines.map(({ name: title }) => title.toLowerCase())).size).toBe(outlines.length);
    expect(notes.every((note) => note.endsWith("."))).toBe(true);
    return "outlines";
  } catch (error) {
    if (!(error instanceof WorkbookTrouble)) throw error;
    expect(error.message).toMatch(/^".+" [^\n]+\.$/);
    return "refused";
  }
}

const sample = (ending: string) =>
  readFileSync(new URL(`files/larkfield-house.${ending}`, import.meta.url), "utf8");

describe("whatever the text", () => {
  test("nonsense", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.string({ unit: "binary" }), (name, text) => {
        outcome(name, text);
      }),
      { numRuns: 2000 },
    );
  });

  test("any JSON at all", () => {
    fc.assert(
      fc.property(fc.json(), (text) => {
        outcome("plan.geojson", text);
      }),
      { numRuns: 2000 },
    );
  });

  test("GeoJSON with anything in the place of a member", () => {
    const position = fc.oneof(fc.array(fc.double(), { maxLength: 4 }), fc.jsonValue({ maxDepth: 1 }));
    const nested = fc.oneof(fc.array(fc.array(position)), fc.array(fc.array(fc.array(position))), position);
    const type = fc.constantFrom(
      "Polygon",
      "MultiPolygon",
      "GeometryCollection",
      "Point",
      "LineString",
      "Circle",
    );
    const geometry = fc.oneof(
      fc.record({ type, coordinates: nested }, { requiredKeys: [] }),
      fc.record({ type, geometries: fc.array(fc.record({ type, coordinates: nested })) }),
      fc.jsonValue(),
    );
    fc.assert(
      fc.property(fc.array(geometry, { maxLength: 4 }), fc.jsonValue(), (geometries, properties) => {
        outcome("plan.geojson", collection(...geometries.map((shape) => feature(properties, shape))));
      }),
      { numRuns: 800 },
    );
  });

  test.each(["geojson", "kml", "gpx"])("a sound %s, torn and patched", (ending) => {
    const text = sample(ending);
    const at = fc.nat(text.length);
    const patch = fc.oneof(
      fc.string({ maxLength: 8 }),
      fc.constantFrom(
        "<",
        ">",
        "&",
        "]]>",
        "<!--",
        "<![CDATA[",
        "<!DOCTYPE a>",
        '"',
        "{",
        "[",
        ",",
        "0",
        "e",
        "-",
      ),
    );
    const seen = new Set<string>();
    fc.assert(
      fc.property(at, fc.nat(40), patch, (start, cut, put) => {
        seen.add(outcome(`plan.${ending}`, text.slice(0, start) + put + text.slice(start + cut)));
      }),
      { numRuns: 1500 },
    );
    expect(seen).toEqual(new Set(["outlines", "refused"]));
  });

  test("every polygon of plain degrees comes through with its area", () => {
    const corner = fc.tuple(
      fc.double({ min: 39.96, max: 39.97, noNaN: true }),
      fc.double({ min: -75.61, max: -75.6, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.uniqueArray(corner, { minLength: 3, maxLength: 40, selector: String }), (corners) => {
        const coordinates = [corners.map(([latitude, longitude]) => [longitude, latitude])];
        const [outline] = readOutlines("a", JSON.stringify({ type: "Polygon", coordinates })).outlines;
        expect(area(outline?.points ?? [])).toBeCloseTo(area(corners), 6);
      }),
    );
  });
});
