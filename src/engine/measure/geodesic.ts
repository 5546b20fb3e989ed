import geodesic from "geographiclib-geodesic";
import type { Source } from "../formula";
import { greatest, least } from "../lists";
import type { Matrix, ParameterValue, RangeParameter } from "../parameters";
import type { UnitSystem } from "../units";
import { quantityKinds, toNumber } from "../units";
import { mostCorners, refuseCrossing } from "./outline";

/** Points as a phone or a receiver gives them. West and south are negative. */
export const outlinePoints = {
  takes: "range",
  id: "points",
  kind: "any",
  about: "points in order round the outline, one a row, latitude and longitude in degrees",
  blank: "nothing to cover",
  columns: 2,
  columnLimits: [
    { least: -90, most: 90 },
    { least: -180, most: 360 },
  ],
  leastRows: 3,
  mostRows: mostCorners,
  endZeros: { most: 0, otherwise: "and begin with the point at 0, 0" },
} as const satisfies RangeParameter;

export const geodesicSource: Source = {
  title: "Algorithms for geodesics, Journal of Geodesy 87",
  publisher: "C. F. F. Karney, through the GeographicLib library",
  year: 2013,
  note: "ellipsoid WGS84",
};

/** An outline wider than this many degrees is no site, and its sides are no straight lines on a chart. */
const widestChart = 1;

/** A small outline is looked at on a chart in degrees, as if it did not lie across the date line. */
function refuseCrossingOnChart(points: Matrix): void {
  const origin = points[0]?.[1] ?? 0;
  const chart = points.map(([latitude, longitude]) => [
    ((((longitude ?? 0) - origin + 540) % 360) + 360) % 360,
    latitude ?? 0,
  ]);
  const spread = (column: number) => {
    const figures = chart.map((row) => row[column] ?? 0);
    return greatest(figures) - least(figures);
  };
  if (Math.max(spread(0), spread(1)) <= widestChart) refuseCrossing("points", chart);
}

export interface GeodesicOutline {
  /** In square metres. */
  readonly area: number;
  /** In metres. */
  readonly perimeter: number;
}

/** What lies inside the points and how long the way round them is, on WGS84. */
export function geodesicOutline([points]: readonly ParameterValue[]): GeodesicOutline {
  const corners = points as Matrix;
  refuseCrossingOnChart(corners);
  const polygon = geodesic.Geodesic.WGS84.Polygon(false);
  for (const [latitude, longitude] of corners) polygon.AddPoint(latitude ?? 0, longitude ?? 0);
  const { area = 0, perimeter } = polygon.Compute(false, true);
  return { area: Math.abs(area), perimeter };
}

/** From metres or square metres to the unit of the result. */
export const inUnitOf = (
  kind: "area" | "length",
  metric: number,
  units: ParameterValue | undefined,
): number => {
  const system: UnitSystem = units === "metric" ? "metric" : "us";
  return metric / toNumber(quantityKinds[kind][system].size);
};
