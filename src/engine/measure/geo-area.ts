import { computed } from "../formula";
import { geodesicOutline, geodesicSource, inUnitOf, outlinePoints } from "./geodesic";

/**
 * Area inside points given by latitude and longitude, in ft2 (m2), geodesic on the ellipsoid WGS84.
 *
 * Any outline that does not cross itself, across the date line as well; either way round, closed or not.
 */
export const geoArea = computed({
  id: "GEO_AREA",
  step: "measure",
  sentence: "Area inside points given by latitude and longitude, on WGS84, in ft² (metric: m²).",
  equation: "geodesic area on the ellipsoid WGS84",
  result: { name: "area inside the points", kind: "area" },
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
    gives: 8914.9,
    story: "three ten-thousandths of a degree each way, a lawn of about 82 by 109 ft",
  },
  compute: (given) => inUnitOf("area", geodesicOutline(given).area, given[1]),
});
