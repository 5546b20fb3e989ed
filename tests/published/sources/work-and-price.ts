import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

// A small-business article, 2017: 20 with a markup of 50 % is 30, a margin of 33.33 %, printed as 33.4.
export const markups: PublishedSource = {
  title: "Small business pricing mark-ups and margins",
  publisher: "small-business article",
  year: 2017,
  provenance: "read in the source",
  cases: [
    check("MARGIN_PRICE", [20, 0.3333], 30, half(2)),
    check("MARGIN_PRICE", [20, 1 / 3], 30, exactly, { not: 20 / (1 - 0.334) }),
  ],
};

export const grossMargins: PublishedSource = {
  title: "Why gross margins matter",
  publisher: "Landscape Management",
  year: 2014,
  provenance: "read in the source",
  cases: [check("MARGIN_PRICE", [60, 0.4], 100, exactly, { not: 84 })],
};

// ASABE EP496: field capacity = mph x ft x efficiency / 8.25 acres an hour; 3 mph, 8 ft and 0.75 give 95,040 ft².
export const fieldCapacity: PublishedSource = {
  title: "Field capacity, EP496",
  publisher: "ASABE",
  provenance: "from memory",
  cases: [
    check("WORK_HOURS", [2.182 * 43_560, 95_040], 1, {
      within: 0.0003,
      because: "2.182 acres printed to 3 decimals",
    }),
    check("WORK_HOURS", [190_080, 95_040, 2], 1, exactly),
  ],
};

// LandscapeArchitect magazine (Musser): a 6 ft tow-behind aerator does 3.5 acres an hour.
export const aerator: PublishedSource = {
  title: "Mowing, aerating and top dressing turf fields",
  publisher: "LandscapeArchitect magazine",
  provenance: "inputs read, figure computed",
  cases: [check("WORK_HOURS", [7 * 43_560, 3.5 * 43_560], 2, exactly)],
};
