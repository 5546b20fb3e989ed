import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

/** Product for 1,000 ft². */
const product = (rate: number, share: number, printed: number, how: { within: number; because: string }) =>
  check("FERTILISER_WEIGHT", [1000, rate, share], printed, how);

/** Pounds of nutrient in a bag: what the bag delivers on 1,000 ft². */
const nutrient = (bag: number, share: number, printed: number, how: { within: number; because: string }) =>
  check("NUTRIENT_RATE", [bag, 1000, share], printed, how);

// University of Minnesota Extension, Getting What You Paid For, Tables 7.2 to 7.4: a 60 lb bag of 30-4-4. The source
// takes 0.44 and 0.83 for the share of the element in its oxide.
export const minnesotaFertiliser: PublishedSource = {
  title: "Getting What You Paid For, Tables 7.2 to 7.4",
  publisher: "University of Minnesota Extension",
  provenance: "read in the source",
  cases: [
    nutrient(60, 0.3, 18, half(0)),
    nutrient(60, 0.04, 2.4, half(1)),
    check("GRADE", ["30-4-4", "P"], 1.1 / 60, {
      within: 0.06 / 60,
      because: "1 decimal of 60 lb, with 0.44 for 0.4364",
    }),
    check("GRADE", ["30-4-4", "K"], 2.0 / 60, { within: 0.05 / 60, because: "1 decimal of 60 lb" }),
  ],
};

// University of Georgia Extension, Fertilizer Calculations for Attractive, Healthy Lawns (C. Waltz).
export const georgia: PublishedSource = {
  title: "Fertilizer Calculations for Attractive, Healthy Lawns",
  publisher: "University of Georgia Extension",
  provenance: "read in the source",
  cases: [
    product(1, 0.1, 10, half(0)),
    product(1, 0.12, 8.3, half(1)),
    product(1, 0.05, 20, half(0)),
    product(1, 0.16, 6.3, half(1)),
    product(1, 0.33, 3, half(0)),
  ],
};

// NC State Extension, Caring for Your Lawn and the Environment. It orders one 20 lb bag for 5,000 ft² after rounding
// 4.17 lb to 4; the need is 20.83 lb, one bag only where a shortfall of 4 % is allowed.
export const northCarolina: PublishedSource = {
  title: "Caring for Your Lawn and the Environment",
  publisher: "NC State Extension",
  provenance: "read in the source",
  cases: [
    product(1, 0.06, 17, half(0)),
    product(1, 0.1, 10, half(0)),
    product(1, 0.14, 7, half(0)),
    product(1, 0.2, 5, half(0)),
    product(1, 0.26, 4, half(0)),
    product(1, 0.35, 3, half(0)),
    product(1, 0.24, 4.17, half(2)),
    check("FERTILISER_WEIGHT", [5000, 1, 0.24], 20.83, half(2), {
      not: 20,
      provenance: "inputs read, figure computed",
    }),
    check("PACKS", [125 / 6, 20], 2, exactly, { not: 1, provenance: "inputs read, figure computed" }),
    check("PACKS", [125 / 6, 20, 0.05], 1, exactly),
    check("GRADE", ["10-6-4", "N"], 4 / 40, exactly),
    check("GRADE", ["10-6-4", "P2O5"], 2.4 / 40, exactly),
    check("GRADE", ["10-6-4", "K2O"], 1.6 / 40, exactly),
    nutrient(40, 0.06, 2.4, half(1)),
    check("BAG_COVERAGE", [40, 1, 0.1], 4000, exactly, { provenance: "inputs read, figure computed" }),
  ],
};

// Durham County (NC) Extension Master Gardeners after TurfFiles, 2016.
export const durham: PublishedSource = {
  title: "Fertilize fescue in February",
  publisher: "Durham County (NC) Extension Master Gardeners",
  year: 2016,
  provenance: "read in the source",
  cases: [product(0.5, 0.1, 5, half(0)), check("BAG_COVERAGE", [5, 0.5, 0.1], 1000, exactly)],
};

// UMN prints 0.44 and 0.83 for the share of the element in its oxide; NCDA works with 2.29 and 1.2 the other way.
export const oxides: PublishedSource = {
  title: "Phosphorus and potassium in their oxides",
  publisher: "University of Minnesota Extension",
  provenance: "read in the source",
  cases: [
    check("GRADE", ["0-50-0", "P"], 0.22, {
      within: 0.005 / 2,
      because: "0.44 printed to 2 decimals, half of it",
    }),
    check("GRADE", ["0-0-50", "K"], 0.415, {
      within: 0.005 / 2,
      because: "0.83 printed to 2 decimals, half of it",
    }),
  ],
};

// UMass Amherst, Rotary spreader calibration procedures: 20-5-10 at 1 lb of N.
export const umassSpreader: PublishedSource = {
  title: "Rotary spreader calibration procedures",
  publisher: "UMass Amherst Extension Turf Program",
  provenance: "read in the source",
  cases: [product(1, 0.2, 5, half(1)), product(0.5, 0.2, 2.5, half(1))],
};

// M. Schlossberg, A practical method of rotary spreader calibration, 2022: 2 lb of K2O from a 0-0-22.
export const schlossberg: PublishedSource = {
  title: "A practical method of rotary spreader calibration",
  publisher: "Pennsylvania Turfgrass",
  year: 2022,
  provenance: "read in the source",
  cases: [product(2, 0.22, 9.1, half(1))],
};

// Turfgrass mathematics review worksheet: 1,250 lb of a 5-10-20, phosphorus by 0.44.
export const turfMathematics: PublishedSource = {
  title: "Turfgrass mathematics review worksheet",
  publisher: "worksheet, publisher not shown",
  provenance: "read in the source",
  cases: [
    nutrient(1250, 0.05, 62.5, half(1)),
    nutrient(1250, 0.1, 125, half(0)),
    check("GRADE", ["5-10-20", "P"], 55 / 1250, {
      within: 0.5 / 1250,
      because: "whole pounds of 1,250, with 0.44 for 0.4364",
    }),
    check("GRADE", ["5-10-20", "K"], 207.5 / 1250, {
      within: 0.05 / 1250,
      because: "1 decimal of 1,250 lb, with 0.83",
    }),
  ],
};

// A turf application guide; it prints the divisor 43.56 as 45.36 in one place.
export const applicationGuide: PublishedSource = {
  title: "Turf application guide",
  publisher: "trade guide",
  provenance: "read in the source",
  cases: [
    product(0.8, 0.25, 3.2, half(1)),
    check(
      "NUTRIENT_RATE",
      [232, 43_560, 0.2],
      1.06,
      { within: 0.01, because: "cut off at 2 decimals, not rounded" },
      { not: (232 * 0.2) / 45.36 },
    ),
  ],
};

// York County Conservation District, seed and mulch: 3 short tons an acre.
export const yorkCounty: PublishedSource = {
  title: "Seed and mulch specifications",
  publisher: "York County Conservation District",
  provenance: "inputs read, figure computed",
  cases: [check("NUTRIENT_RATE", [6000, 43_560, 1], 137.74, half(2))],
};
