import { readFileSync } from "node:fs";
import { Geodesic } from "geographiclib-geodesic";
import { expect } from "vitest";
import { readingOutlines } from "../../../src/workbook/outlines/read-outlines";
import { type BroughtFile, type Corner } from "../../../src/workbook/outlines/outline";
import { atOnce } from "../../../src/workbook/host/progress";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";

export const readOutlines = (fileName: string, text: string): BroughtFile =>
  atOnce(readingOutlines(fileName, text));

export const fixture = (name: string): BroughtFile =>
  readOutlines(name, readFileSync(new URL(`files/${name}`, import.meta.url), "utf8"));

/** Square metres on the ellipsoid, whichever way round the corners go. */
export function area(corners: readonly Corner[]): number {
  const polygon = Geodesic.WGS84.Polygon(false);
  corners.forEach(([latitude, longitude]) => polygon.AddPoint(latitude, longitude));
  return Math.abs(polygon.Compute(false, true).area ?? NaN);
}

/** The corner so many metres east and north of another. */
export function away([latitude, longitude]: Corner, east: number, north: number): Corner {
  const up = Geodesic.WGS84.Direct(latitude, longitude, 0, north);
  const { lat2, lon2 } = Geodesic.WGS84.Direct(up.lat2 ?? NaN, up.lon2 ?? NaN, 90, east);
  return [lat2 ?? NaN, lon2 ?? NaN];
}

/** Why a text is refused. */
export function refusal(text: string, name = "plan.geojson"): string {
  try {
    readOutlines(name, text);
  } catch (error) {
    expect(error).toBeInstanceOf(WorkbookTrouble);
    return (error as WorkbookTrouble).message;
  }
  throw new Error("was not refused");
}

export const polygon = (...rings: readonly (readonly Corner[])[]) => ({
  type: "Polygon",
  coordinates: rings.map((ring) => ring.map(([latitude, longitude]) => [longitude, latitude])),
});

export const feature = (properties: unknown, geometry: unknown) => ({
  type: "Feature",
  properties,
  geometry,
});

export const collection = (...features: readonly unknown[]): string =>
  JSON.stringify({ type: "FeatureCollection", features });

export const square = (corner: Corner, side: number): Corner[] => [
  corner,
  away(corner, side, 0),
  away(corner, side, side),
  away(corner, 0, side),
];

export const gate: Corner = [39.9612, -75.6031];
