import { computed } from "../formula";
import { geodesicOutline, geodesicSource, inUnitOf, outlinePoints } from "./geodesic";

/** The side from the last point back to the first is included. */
export const geoPerimeter = computed({
  id: "GEO_PERIMETER",
  step: "measure",
  sentence: "Length around points given by latitude and longitude, on WGS84, in feet (metric: meters).",
  equation: "sum of the geodesic sides on the ellipsoid WGS84",
  result: { name: "length around the points", kind: "length" },
  parameters: [outlinePoints],
  unchecked: "that the outline does not cross itself",
  sources: [geodesicSource],
  example: {
    given: [
      [
        [42, -93],
        [42, -92.9997],
        [42.0003, -92.9997],
        [42.0003, -93],
      ],
    ],
    gives: 381.7,
    story: "three ten-thousandths of a degree each way, a lawn of about 82 by 109 ft",
  },
  compute: (given) => inUnitOf("length", geodesicOutline(given).perimeter, given[1]),
});
