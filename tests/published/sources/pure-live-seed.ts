import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

/** Bulk seed for one pound of pure live seed: 1,000 ft² at 1 lb per 1000 ft². */
const factor = (purity: number, germination: number) => [1000, 1, purity * germination];

// Penn State Extension, Calculating the Price of Pure Live Seed, 2023. Lot B states a price of 2.50 and works with
// 3.00, so only its shares are checked.
export const pennState: PublishedSource = {
  title: "Calculating the Price of Pure Live Seed",
  publisher: "Penn State Extension",
  year: 2023,
  provenance: "read in the source",
  cases: [
    check("PURE_LIVE_SEED", [0.92, 0.8], 0.74, half(2)),
    check("SEED_WEIGHT", factor(0.92, 0.8), 1.4, half(1)),
    check("PURE_LIVE_SEED", [0.99, 0.9], 0.89, half(2)),
    check("SEED_WEIGHT", factor(0.99, 0.9), 1.1, half(1)),
  ],
};

// Cornell University, Seeding rates (Safe Sports Fields). It says to buy "about 20 %" more for 81 % pure live seed,
// where 1 / 0.8075 takes 23.8 % more; and that a mix of 70:30 by weight gives a stand of 50:50, which its own seed
// counts make 28:72.
export const cornell: PublishedSource = {
  title: "Seeding rates (Safe Sports Fields)",
  publisher: "Cornell University, CALS",
  provenance: "read in the source",
  cases: [
    check("PURE_LIVE_SEED", [0.95, 0.85], 0.81, half(2)),
    check("SEED_WEIGHT", factor(0.95, 0.85), 1.238, half(3), {
      not: 1.2,
      provenance: "inputs read, figure computed",
    }),
    check("SEED_DENSITY", [0.7, 250_000], 1.2153, half(4), {
      not: 3.125,
      provenance: "inputs read, figure computed",
    }),
    check("SEED_DENSITY", [0.3, 1_500_000], 3.125, exactly, {
      not: 1.2153,
      provenance: "inputs read, figure computed",
    }),
    check("SEED_RATE", ["Kentucky bluegrass", "new", "low"], 1, exactly),
    check("SEED_RATE", ["perennial ryegrass", "new", "low"], 4, exactly),
    check("SEED_RATE", ["perennial ryegrass", "new", "high"], 6, exactly),
    check("SEED_RATE", ["tall fescue", "new", "low"], 6, exactly),
    check("SEED_RATE", ["tall fescue", "new", "high"], 8, exactly),
    check("SEED_RATE", ["Kentucky bluegrass and perennial ryegrass", "new", "high"], 5, exactly),
  ],
};

// University of Minnesota Extension, Purchasing Seed, Tables 5.2 and 5.3: the label of a fictitious mix.
const label = [[0.44], [0.31], [0.09], [0.12]];
const live = [[0.85], [0.8], [0.85], [0.9]];
export const minnesotaSeed: PublishedSource = {
  title: "Purchasing Seed, Tables 5.2 and 5.3",
  publisher: "University of Minnesota Extension",
  provenance: "read in the source",
  cases: [
    check("PURE_LIVE_SEED", [0.31, 0.8], 0.248, half(3)),
    ...[0.374, 0.248, 0.0765, 0.108].map((share, i) =>
      check("PURE_LIVE_SEED", [label[i]?.[0], live[i]?.[0]], share, exactly, {
        provenance: "inputs read, figure computed",
      }),
    ),
    // The four components of the label as shares of the pure seed, 96 % of the bag, at 1 lb per 1000 ft².
    ...[0.44 / 0.96 / 0.85, 0.31 / 0.96 / 0.8, 0.09 / 0.96 / 0.85, 0.12 / 0.96 / 0.9].map((weight, i) =>
      check("SEED_MIX", [1000, 1, label.map(([share = 0]) => [share / 0.96]), live], weight, exactly, {
        cell: [i, 0],
        provenance: "inputs read, figure computed",
      }),
    ),
  ],
};

// Pennsylvania DEP, Erosion and Sediment Pollution Control Program Manual, 2012.
export const pennsylvaniaDep: PublishedSource = {
  title: "Erosion and Sediment Pollution Control Program Manual",
  publisher: "Pennsylvania Department of Environmental Protection",
  year: 2012,
  provenance: "read in the source",
  cases: [check("PURE_LIVE_SEED", [0.85, 0.72], 0.61, half(2))],
};

// USGS Northern Prairie after USDA-SCS Job Sheet ND-20, 1980, Table 4: lb of bulk seed per lb of pure live seed. The
// table rounds to about 0.05, not always to the nearest and not the same on both sides of its diagonal.
const germinations = [100, 95, 90, 85, 80, 75, 70, 65, 60, 55, 50];
const table: Readonly<Record<number, readonly number[]>> = {
  100: [1.0, 1.05, 1.1, 1.2, 1.25, 1.35, 1.4, 1.55, 1.65, 1.8, 2.0],
  95: [1.05, 1.1, 1.2, 1.25, 1.3, 1.4, 1.5, 1.65, 1.75, 1.9, 2.1],
  90: [1.1, 1.2, 1.25, 1.3, 1.4, 1.5, 1.6, 1.7, 1.85, 2.0, 2.2],
  85: [1.2, 1.25, 1.3, 1.4, 1.45, 1.55, 1.7, 1.8, 1.95, 2.15, 2.35],
  80: [1.25, 1.3, 1.4, 1.5, 1.55, 1.65, 1.8, 1.9, 2.1, 2.25, 2.5],
  75: [1.35, 1.4, 1.5, 1.55, 1.65, 1.8, 1.9, 2.05, 2.2, 2.45, 2.65],
  70: [1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.05, 2.2, 2.4, 2.6, 2.85],
  65: [1.55, 1.65, 1.7, 1.8, 1.9, 2.05, 2.2, 2.4, 2.55, 2.8, 3.1],
  60: [1.65, 1.75, 1.85, 1.95, 2.1, 2.2, 2.4, 2.55, 2.8, 3.05, 3.35],
  55: [1.8, 1.9, 2.0, 2.15, 2.25, 2.45, 2.6, 2.8, 3.05, 3.35, 3.65],
  50: [2.0, 2.1, 2.2, 2.35, 2.5, 2.65, 2.85, 3.1, 3.35, 3.65, 4.0],
};
const roughly = { within: 0.05, because: "rounded to about 0.05, unevenly" };
export const seededGrasslands: PublishedSource = {
  title: "Establishment of Seeded Grasslands, Table 4",
  publisher: "USGS Northern Prairie after USDA-SCS",
  year: 1980,
  provenance: "read in the source",
  cases: Object.entries(table).flatMap(([purity, row]) =>
    row.map((printed, i) =>
      check("SEED_WEIGHT", factor(Number(purity) / 100, (germinations[i] ?? 0) / 100), printed, roughly),
    ),
  ),
};

// USDA-NRCS form with hard seed added to germination (7 CFR 201.21 keeps it out of the germination on the label).
export const nrcsForm: PublishedSource = {
  title: "Standard pure-live-seed form, constructed numbers",
  publisher: "USDA-NRCS",
  provenance: "from memory",
  cases: [check("PURE_LIVE_SEED", [0.95, 0.8, 0.05], 0.8075, exactly)],
};
