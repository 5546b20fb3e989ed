/**
 * Native forms of the geodesic functions, for ground of up to five kilometres each way.
 *
 * Area: the sides as great circles on the authalic sphere, which has the ellipsoid's areas; each with the equator holds
 * the spherical excess 2 arctan(tan(dlon / 2) sin((b1 + b2) / 2) / cos((b1 - b2) / 2)), b the authalic latitude.
 * Length: each side by the radii of curvature along the meridian and across it, at its middle latitude.
 *
 * J. P. Snyder, Map projections: a working manual, USGS Professional Paper 1395, 1987: equations 3-18 (the series of the
 * authalic latitude), 3-11 to 3-13 (the radius of the authalic sphere), 4-18 and 4-19 (the radii of curvature).
 */
import type { Algebra, Corner, Terms } from "../formula";
import { approximation } from "../own-form";
import { statedInMetric } from "../units";
import type { outlinePoints } from "./geodesic";

// WGS84: semi-major axis 6,378,137 m and flattening 1 / 298.257223563, its defining constants.
const axis = 6_378_137;
const flattening = 1 / 298.257223563;
const e2 = flattening * (2 - flattening);
const e = Math.sqrt(e2);

/** The authalic latitude is the geographic one less so much of the sine of twice, and more of four times, that. */
const twice = e2 / 3 + (31 * e2 ** 2) / 180 + (59 * e2 ** 3) / 560;
const fourTimes = (17 * e2 ** 2) / 360 + (61 * e2 ** 3) / 1260;
/** Square of the radius of the sphere that has the area of the ellipsoid. */
const authalicSquare = (axis ** 2 / 2) * (1 + ((1 - e2) / e) * Math.atanh(e));

/** Five kilometres of latitude, in degrees. */
const widest = 0.045;
/** Nearer to a pole the sides bend too much. */
const furthest = 65;
const [latitude, longitude] = [0, 1];
const radians = Math.PI / 180;

const limits = `ground of up to 5 km each way, up to ${furthest} degrees north and south`;

/** The value, or none where the ground is too wide or too near a pole, or lies across the date line. */
function onSmallGround<T extends Terms>(m: Algebra<T>, points: T["range"], value: T["number"]): T["number"] {
  const most = (column: number) => m.greatestIn(points, column);
  const least = (column: number) => m.leastIn(points, column);
  const across = (column: number) => m.sub(most(column), least(column));
  const first = m.cell(points, 0, latitude);
  const wide = m.max(across(latitude), m.mul(across(longitude), m.cos(m.mul(first, m.of(radians)))));
  const north = m.max(most(latitude), m.sub(m.of(0), least(latitude)));
  const strange = m.max(m.sub(most(longitude), m.of(360)), m.sub(m.of(-180), least(longitude)));
  const over = m.max(m.max(m.sub(wide, m.of(widest)), m.sub(north, m.of(furthest))), strange);
  return m.when(m.greater(over, m.of(0)), m.notAvailable(), value);
}

type Side<T extends Terms> = (from: Corner<T>, to: Corner<T>) => T["number"];

/** Half the excess of the triangle that a side has with the equator and the meridians of its ends. */
const halfExcess =
  <T extends Terms>(m: Algebra<T>): Side<T> =>
  (from, to) => {
    const sines = (times: number, turn: "add" | "sub") =>
      m[turn](m.sin(m.mul(from.x, m.of(times * radians))), m.sin(m.mul(to.x, m.of(times * radians))));
    // Half the sum, or half the difference, of the authalic latitudes of both ends.
    const half = (turn: "add" | "sub") =>
      m.add(
        m.sub(m.mul(m[turn](from.x, to.x), m.of(radians / 2)), m.mul(sines(2, turn), m.of(twice / 2))),
        m.mul(sines(4, turn), m.of(fourTimes / 2)),
      );
    const tangent = m.tan(m.mul(m.sub(to.y, from.y), m.of(radians / 2)));
    return m.arctan(m.div(m.mul(tangent, m.sin(half("add"))), m.cos(half("sub"))));
  };

export const geoAreaByFormula = approximation<readonly [typeof outlinePoints], "result">({
  tolerance: 2e-6,
  limits,
  conversions: { result: statedInMetric("area") },
  body: (m, unit, points) =>
    onSmallGround(
      m,
      points,
      m.scale(m.mul(m.of(2 * authalicSquare), m.abs(m.sumOverSides(points, halfExcess(m)))), unit.result),
    ),
});

const length =
  <T extends Terms>(m: Algebra<T>): Side<T> =>
  (from, to) => {
    const middle = m.mul(m.add(from.x, to.x), m.of(radians / 2));
    const curved = m.sub(m.of(1), m.mul(m.of(e2), m.square(m.sin(middle))));
    const north = m.div(m.mul(m.sub(to.x, from.x), m.of(radians * (1 - e2))), curved);
    const east = m.mul(m.mul(m.sub(to.y, from.y), m.of(radians)), m.cos(middle));
    return m.root(m.div(m.add(m.square(north), m.square(east)), curved));
  };

export const geoPerimeterByFormula = approximation<readonly [typeof outlinePoints], "result">({
  tolerance: 4e-8,
  limits,
  conversions: { result: statedInMetric("length") },
  body: (m, unit, points) =>
    onSmallGround(m, points, m.scale(m.mul(m.of(axis), m.sumOverSides(points, length(m))), unit.result)),
});
