import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

// 1 yd³ covers 324 ft² an inch deep; loose volume on 1,000 ft² by depth in inches.
const volumes: readonly (readonly [depth: number, ft3: number])[] = [
  [0.0625, 5.208],
  [0.125, 10.417],
  [0.1875, 15.625],
  [0.25, 20.833],
  [0.375, 31.25],
  [0.5, 41.667],
  [0.75, 62.5],
  [1, 83.333],
  [1.75, 145.833],
  [2, 166.667],
  [3, 250],
  [4, 333.333],
];
export const exactVolumes: PublishedSource = {
  title: "One cubic yard covers 324 ft² an inch deep",
  publisher: "general fact",
  provenance: "from memory",
  cases: [
    ...volumes.map(([depth, ft3]) => check("TOPDRESS_VOLUME", [1000, depth], ft3, half(3))),
    check("TOPDRESS_DEPTH", [324, 27, 1], 1, exactly),
    check("TOPDRESS_DEPTH", [1000, 1, 20.833], 0.25, { within: 0.00001, because: "volume to 3 decimals" }),
    check("TOPDRESS_DEPTH", [1000, 1, 41.667], 0.5, { within: 0.00001, because: "volume to 3 decimals" }),
  ],
};

// A regional stormwater group prints "about 0.75 yd³" for 1/4 to 3/8 in on 1,000 ft²: right for the first only.
export const stormwater: PublishedSource = {
  title: "Topdressing, after Cumberland County Soil & Water Conservation District",
  publisher: "regional stormwater group",
  provenance: "read in the source",
  cases: [
    check("TOPDRESS_VOLUME", [1000, 0.25], 0.75 * 27, { within: 0.05 * 27, because: "about 0.75 yd³" }),
    check(
      "TOPDRESS_VOLUME",
      [1000, 0.375],
      1.1574 * 27,
      { within: 0.00005 * 27, because: "4 decimals of a yd³" },
      {
        not: 0.75 * 27,
        provenance: "inputs read, figure computed",
      },
    ),
  ],
};

// A rule of thumb for baled peat: twice its volume when loose; 3.8 ft³ bales on 1,000 ft².
export const peat: PublishedSource = {
  title: "Baled peat comes out twice as loose",
  publisher: "trade rule of thumb",
  provenance: "from memory",
  cases: [
    check("TOPDRESS_BAGS", [1000, 0.25, 3.8, null, 2], 3, {
      within: 0,
      because: "2.741 bales, whole ones are bought",
    }),
    check("TOPDRESS_BAGS", [1000, 0.125, 3.8, null, 2], 2, {
      within: 0,
      because: "1.371 bales, whole ones are bought",
    }),
    check("PACKS", [2.741, 1], 3, exactly),
  ],
};
