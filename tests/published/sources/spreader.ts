import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

// LSU AgCenter, Broadcast spreader calibration steps: a 10 ft swath, a course of 1,000 ft², 5 lb of a 20 % product.
export const lsuBroadcast: PublishedSource = {
  title: "Broadcast spreader calibration steps",
  publisher: "LSU AgCenter",
  provenance: "read in the source",
  cases: [
    check("WALK_LENGTH", [1000, 10], 100, half(0)),
    check("DELIVERED_RATE", [5, 10, 100], 5, half(0)),
    check("FERTILISER_WEIGHT", [1000, 1, 0.2], 5, half(0)),
  ],
};

// University of Florida IFAS, Dry chemical applicator calibration tables: an 8 ft spreader, 43 turns of a 9 ft wheel.
// The words say 29 lb, the arithmetic uses 20; its shortcut of 1000 / (width x circumference) is 1.3 % low.
export const ifasTables: PublishedSource = {
  title: "Dry chemical applicator calibration tables",
  publisher: "University of Florida IFAS",
  provenance: "read in the source",
  cases: [
    check("DELIVERED_RATE", [20, 8, 387], 277 / 43.56, {
      within: 5 / 43.56,
      because: "a shortcut 1.3 % low",
    }),
    check(
      "DELIVERED_RATE",
      [20, 8, 387],
      281.4 / 43.56,
      { within: 0.05 / 43.56, because: "1 decimal of lb an acre" },
      {
        not: 403 / 43.56,
        provenance: "inputs read, figure computed",
      },
    ),
    check("GRANULE_ACTIVE_RATE", [277 / 43.56, 0.2], 55.4, half(1)),
  ],
};

// Drop spreaders of 1.5, 2 and 3 ft over 100 ft²; also printed in trade guidance.
export const dropCourses: PublishedSource = {
  title: "Courses of 100 ft² for drop spreaders",
  publisher: "arithmetic, trade guidance",
  provenance: "from memory",
  cases: [
    check("WALK_LENGTH", [100, 1.5], 66.667, half(3)),
    check("WALK_LENGTH", [100, 2], 50, exactly),
    check("WALK_LENGTH", [100, 3], 33.333, half(3)),
  ],
};

// Facts of the trade with no source.
export const trade: PublishedSource = {
  title: "Figures of the trade",
  publisher: "common practice",
  provenance: "common practice",
  cases: [
    check("EDGE_AREA", [350, 22], 641.67, half(2)),
    check("SEED_WEIGHT", [1000, 7], 7, exactly),
    check(
      "SCREEN_LOSS",
      [
        [[20], [30]],
        [[4], [6]],
      ],
      0.2,
      exactly,
    ),
    check("TOPDRESS_BAGS", [1000, 0.25, 3, 0.2], 9, exactly),
    check("HOPPER_LOADS", [200, 50], 4, exactly),
    check("WALK_LENGTH", [1000, 5, 2], 400, exactly),
  ],
};
