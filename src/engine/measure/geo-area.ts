import { computed } from "../formula";
import { geodesicOutline, geodesicSource, inUnitOf, outlinePoints } from "./geodesic";

/** The outline may lie across the date line, go either way round, and be closed or not. */
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
