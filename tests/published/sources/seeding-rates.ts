import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

const low = (grass: string, purpose: string, printed: number) =>
  check("SEED_RATE", [grass, purpose, "low"], printed, exactly);
const high = (grass: string, purpose: string, printed: number) =>
  check("SEED_RATE", [grass, purpose, "high"], printed, exactly);
const mixture = "Kentucky bluegrass and fine fescue";

// Ohio State University Extension, Lawn Establishment, Bulletin 546, Table 1; the same page says that 15 to 20 seeds
// per square inch are enough, and 1 lb of bluegrass with 2.2 million seeds a pound gives 15.28.
export const ohioState: PublishedSource = {
  title: "Lawn Establishment, Bulletin 546",
  publisher: "Ohio State University Extension",
  provenance: "read in the source",
  cases: [
    low("Kentucky bluegrass and perennial ryegrass", "new", 2),
    low(mixture, "new", 2),
    high(mixture, "new", 4),
    check("SEED_DENSITY", [1, 2_200_000], 15.28, half(2), { provenance: "inputs read, figure computed" }),
  ],
};

// K-State Research & Extension, Johnson County, overseeding column, 2021.
export const kansasState: PublishedSource = {
  title: "Overseeding column",
  publisher: "K-State Research & Extension",
  year: 2021,
  provenance: "read in the source",
  cases: [
    high("Kentucky bluegrass", "new", 4),
    high("Kentucky bluegrass", "overseed", 2),
    low("tall fescue", "overseed", 3),
  ],
};

// Nebraska Extension, York News-Times, 2021: overseed at half of the rate on bare soil, 2 to 3 lb of bluegrass.
export const nebraska: PublishedSource = {
  title: "Renovating lawns in the fall",
  publisher: "Nebraska Extension",
  year: 2021,
  provenance: "read in the source",
  cases: [low("Kentucky bluegrass", "overseed", 1)],
};

// University of Illinois Extension, Lincoln Daily News, 2013: bluegrass with fine fescue, 4 lb bare, 2 lb overseeded.
export const illinois: PublishedSource = {
  title: "Lawn seeding column",
  publisher: "University of Illinois Extension",
  year: 2013,
  provenance: "read in the source",
  cases: [high(mixture, "new", 4), low(mixture, "overseed", 2), high(mixture, "overseed", 2)],
};

// Ask Extension, question 877015, Colorado State University respondent, 2024.
export const colorado: PublishedSource = {
  title: "Overseeding a Kentucky bluegrass lawn, question 877015",
  publisher: "Ask Extension, Colorado State University",
  year: 2024,
  provenance: "read in the source",
  cases: [high("tall fescue", "overseed", 6)],
};

// Golf Course Management, Michigan State University research, 2018: 7.9 to 16.0 oz per 1000 ft², 2.4 to 4.9 g per m².
export const bentgrass: PublishedSource = {
  title: "Creeping bentgrass seeding rates, traffic affect green establishment",
  publisher: "Golf Course Management",
  year: 2018,
  provenance: "read in the source",
  cases: [
    check("SEED_RATE", ["creeping bentgrass", "new", "low", "metric"], 2.4, half(1)),
    check("SEED_RATE", ["creeping bentgrass", "new", "high", "metric"], 4.9, half(1)),
    check("SEED_RATE", ["creeping bentgrass", "new", "low"], 7.9 / 16, exactly),
    check("SEED_RATE", ["creeping bentgrass", "new", "high"], 1, exactly),
  ],
};

// Typical ranges of extension tables; not read in a source.
export const remembered: PublishedSource = {
  title: "Typical seeding rates of extension tables",
  publisher: "various extension services",
  provenance: "from memory",
  cases: [
    low("perennial ryegrass", "overseed", 2),
    high("perennial ryegrass", "overseed", 5),
    low("fine fescue", "new", 3),
    high("fine fescue", "new", 5),
    low("hard fescue", "overseed", 2),
    high("chewings fescue", "overseed", 3),
    low("creeping bentgrass", "overseed", 0.25),
    high("creeping bentgrass", "overseed", 0.75),
  ],
};

// Grounds Maintenance, How to: calculate pure-live seed: 1,000 to 2,000 viable seeds per ft²; the rate for a target is
// target / seeds per lb x 1000, here with 2.2 million seeds a pound.
export const groundsMaintenance: PublishedSource = {
  title: "How to: calculate pure-live seed",
  publisher: "Grounds Maintenance magazine",
  provenance: "inputs read, figure computed",
  cases: [
    check("SEED_DENSITY", [(1000 / 2_200_000) * 1000, 2_200_000], 6.94, half(2)),
    check("SEED_DENSITY", [(2000 / 2_200_000) * 1000, 2_200_000], 13.89, half(2)),
  ],
};

// UMass Extension, Seeding Rate Considerations: 7 to 14 plants per in² are 1,008 to 2,016 per ft².
export const umass: PublishedSource = {
  title: "Seeding Rate Considerations",
  publisher: "UMass Extension",
  provenance: "inputs read, figure computed",
  cases: [
    check("SEED_DENSITY", [1.008, 1_000_000], 7, exactly),
    check("SEED_DENSITY", [2.016, 1_000_000], 14, exactly),
  ],
};
