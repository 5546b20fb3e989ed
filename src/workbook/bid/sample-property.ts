/**
 * The sample job: an invented property, supplier, label and prices, the same wherever an example is shown. Its label
 * figures belong to no product and must never be used.
 */
import type { UnitSystem } from "../../engine/units";
import type { JobInput, OutlineInput } from "./job";

/** A day as a sheet counts it. */
const day = (year: number, month: number, date: number): number =>
  Date.UTC(year, month - 1, date) / 86_400_000 + 25_569;

const front = (points: OutlineInput["points"]): OutlineInput => ({
  zone: "Front lawn",
  method: "corners",
  counts: "area",
  points,
});

const shared = {
  property: "Larkfield House, 14 Quarry Lane",
  client: {
    name: "R. and T. Ashdown",
    company: "Holm Green Lawns",
    bidDay: day(2026, 8, 17),
    seedingDay: day(2026, 9, 8),
    validDays: 30,
  },
} as const;

const supplier = "Marl Street Turf Supply";

const names = {
  seed: "Ryegrass-bluegrass mix",
  starter: "Starter with a pre-emergent",
  spray: "Spray of the same active",
  topdressing: "Screened peat blend",
  conditioner: "Humic granules",
} as const;

const lot = {
  name: names.seed,
  grass: "perennial ryegrass",
  lot: "LH-2604",
  tested: day(2026, 4, 14),
  purity: 0.97,
  germination: 0.88,
  supplier,
} as const;

const starter = {
  name: names.starter,
  grade: "10-18-22",
  active: "active of the sample",
  activeShare: 0.0008,
  supplier,
} as const;

const spray = {
  name: names.spray,
  active: "active of the sample",
  grasses: "perennial ryegrass, Kentucky bluegrass, tall fescue",
  repeatDays: 28,
  supplier,
} as const;

const peat = { name: names.topdressing, swell: 1, screenLoss: 0.2, supplier } as const;

const work = { crew: 2, hourly: 38, overhead: 0.1, margin: 0.35, tax: 0.06, deposit: 0.3 } as const;

/** The sample property measured in feet, with sizes as a US supplier packs them. */
const us: JobInput = {
  ...shared,
  zones: [
    {
      name: "Front lawn",
      purpose: "new",
      grass: "perennial ryegrass",
      measured: "outline",
      insideCorners: 5,
      plusMinus: 0.02,
      typedRate: 7,
      sprinklerRate: 0.6,
      uniformity: 0.75,
    },
    {
      name: "Drive edge",
      purpose: "new",
      grass: "perennial ryegrass",
      measured: "strip",
      length: 180,
      stripWidth: 36,
      insideCorners: 2,
      plusMinus: 0.02,
      typedRate: 7,
      sprinklerRate: 0.9,
      uniformity: 0.6,
    },
    {
      name: "Back lawn",
      purpose: "overseed",
      grass: "perennial ryegrass",
      measured: "typed",
      typedArea: 4200,
      typedEdge: 266,
      insideCorners: 4,
      plusMinus: 0.05,
      typedRate: 4,
      sprinklerRate: 0.5,
      uniformity: 0.7,
    },
  ],
  outlines: [
    front([
      [0, 0],
      [64, 0],
      [64, 38],
      [40, 52],
      [0, 52],
    ]),
  ],
  seedLots: [{ ...lot, packs: [{ size: 25, price: 86 }] }],
  starters: [{ ...starter, packs: [{ size: 40, price: 54 }] }],
  preEmergents: [
    {
      ...spray,
      rateLow: 3,
      rateHigh: 5,
      concentration: 4,
      seasonLimit: 0.35,
      leastVolume: 40,
      packs: [{ size: 8, price: 61 }],
    },
  ],
  topdressings: [{ ...peat, packs: [{ size: 3, price: 11.5 }] }],
  conditioners: [
    { name: names.conditioner, rate: 5, repeatDays: 60, packs: [{ size: 50, price: 32 }], supplier },
  ],
  chosen: {
    seedLot: names.seed,
    starter: names.starter,
    phosphateRate: 1,
    preEmergent: names.spray,
    labelRate: 4,
    sprayVolume: 43.56,
    tank: 4,
    topdressing: names.topdressing,
    depth: 0.25,
    dropWidth: 22,
    swath: 5,
    hopper: 20,
    walkingPace: 200,
  },
  work: {
    ...work,
    steps: {
      prepare: { pace: 1500, equipment: 85 },
      seed: { pace: 4000, equipment: 20 },
      starter: { pace: 8000 },
      preEmergent: { pace: 8000, fixedHours: 0.5, equipment: 15 },
      topdress: { pace: 1500, equipment: 60 },
      conditioner: { pace: 8000 },
      finish: { fixedHours: 1.5 },
    },
  },
};

/** The same property measured in metres. */
const metric: JobInput = {
  ...shared,
  zones: us.zones.map((zone, i) => ({
    ...zone,
    ...[
      { typedRate: 34, sprinklerRate: 15 },
      { length: 55, stripWidth: 90, typedRate: 34, sprinklerRate: 23 },
      { typedArea: 390, typedEdge: 81, typedRate: 20, sprinklerRate: 12.5 },
    ][i],
  })),
  outlines: [
    front([
      [0, 0],
      [19.5, 0],
      [19.5, 11.6],
      [12.2, 15.8],
      [0, 15.8],
    ]),
  ],
  seedLots: [{ ...lot, packs: [{ size: 10, price: 78 }] }],
  starters: [{ ...starter, packs: [{ size: 20, price: 60 }] }],
  preEmergents: [
    {
      ...spray,
      rateLow: 220,
      rateHigh: 370,
      concentration: 480,
      seasonLimit: 390,
      leastVolume: 370,
      packs: [{ size: 250, price: 61 }],
    },
  ],
  topdressings: [{ ...peat, packs: [{ size: 80, price: 11.5 }] }],
  conditioners: [
    { name: names.conditioner, rate: 25, repeatDays: 60, packs: [{ size: 20, price: 29 }], supplier },
  ],
  chosen: {
    ...us.chosen,
    phosphateRate: 5,
    labelRate: 290,
    sprayVolume: 400,
    tank: 15,
    depth: 6,
    dropWidth: 56,
    swath: 1.5,
    hopper: 9,
    walkingPace: 60,
  },
  work: {
    ...work,
    steps: {
      prepare: { pace: 140, equipment: 85 },
      seed: { pace: 370, equipment: 20 },
      starter: { pace: 740 },
      preEmergent: { pace: 740, fixedHours: 0.5, equipment: 15 },
      topdress: { pace: 140, equipment: 60 },
      conditioner: { pace: 740 },
      finish: { fixedHours: 1.5 },
    },
  },
};

export const sampleProperty: Record<UnitSystem, JobInput> = { us, metric };
