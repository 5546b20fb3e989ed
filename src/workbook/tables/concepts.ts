/**
 * What the columns of a table and the figures beside labels are about, said once: what people write over them, what they
 * are measured in, and which of them take the place of others. The kinds are those of the catalogue; everything else
 * here is the trade's words. Which of them a function takes stands in `feeds.ts`.
 */
import type { Kind } from "../../engine/units";
import type { Dimension } from "./spelled-units";
import { dimensionOf } from "./units";

interface Entry {
  /** What the column holds, as it is told. */
  readonly name: string;
  /** What it is measured in; where that is any unit, one of the dimensions, or whatever is stated if there are none. */
  readonly kinds: readonly Kind[];
  readonly dimensions?: readonly Dimension[];
  /** Words of a heading, in lower case and without accents. */
  readonly words: readonly string[];
  /** Set where a unit is enough to take a column for it: standing alone, or beside words that are not known. */
  readonly byUnit?: "alone" | "beside any word";
  /** Set where it is measured in the unit of another argument of any unit, in an hour. */
  readonly inAnHour?: true;
  /** Another of these that it is a case of, as which functions take it. */
  readonly isA?: string;
  /** Another of these that functions take it for where its unit bears that out and no column is named more plainly. */
  readonly mayBe?: string;
}

/** In the order in which they are tried where a heading fits several equally well: words come before figures. */
const entries = {
  zone: {
    name: "zone",
    kinds: ["text"],
    words: ["zone", "area name", "lawn", "section", "plot", "part of the lawn"],
  },
  measured: { name: "way of measuring", kinds: ["text"], words: ["how measured", "measured as"] },
  area: {
    name: "area",
    kinds: ["area", "any"],
    dimensions: ["area"],
    byUnit: "beside any word",
    words: [
      "area",
      "size",
      "lawn",
      "turf",
      "lawn area",
      "lawn size",
      "turf area",
      "square footage",
      "sq footage",
      "mowable area",
      "footage",
      "flache",
      "rasenflache",
      "surface",
      "ground",
      "strip along the edge",
      "zone area",
      "area to seed",
      "area to treat",
      "area to cover",
    ],
  },
  edge: {
    name: "length of the edge",
    kinds: ["length"],
    words: [
      "perimeter",
      "edge",
      "edge length",
      "edging",
      "border",
      "umfang",
      "length of edge",
      "edge to walk",
      "length round",
    ],
  },
  stripWidth: {
    name: "width of the strip",
    kinds: ["stripWidth"],
    words: ["edge width", "strip width", "strip", "width of strip", "edge strip", "width"],
  },
  corners: { name: "inside corners", kinds: ["count"], words: ["corners", "inside corners"] },
  purity: { name: "purity on the tag", kinds: ["share"], words: ["purity", "pure seed", "pure"] },
  germination: { name: "germination on the tag", kinds: ["share"], words: ["germination", "germ"] },
  dormant: {
    name: "hard or dormant seed on the tag",
    kinds: ["share"],
    words: ["dormant", "dormant seed", "hard seed", "hard or dormant"],
  },
  inert: { name: "inert matter on the tag", kinds: ["any"], words: ["inert matter", "inert"] },
  weed: { name: "weed seed on the tag", kinds: ["any"], words: ["weed seed", "weeds"] },
  otherCrop: {
    name: "other crop seed on the tag",
    kinds: ["any"],
    words: ["other crop seed", "other crop", "crop seed", "other crops"],
  },
  tested: {
    name: "day of the test on the tag",
    kinds: ["any"],
    words: ["tested on", "date tested", "test date", "date of test", "tested"],
  },
  pureLiveSeed: { name: "pure live seed", kinds: ["share"], words: ["pls", "pure live seed", "live seed"] },
  grass: {
    name: "grass",
    kinds: ["text"],
    words: ["grass", "species", "grass type", "turf type", "seed type", "grass or mixture"],
  },
  purpose: {
    name: "new or overseed",
    kinds: ["text"],
    words: ["purpose", "new or overseed", "kind of seeding", "kind of work"],
  },
  bound: { name: "low, mid or high rate", kinds: ["text"], words: ["bound"] },
  seedRate: {
    name: "seeding rate",
    kinds: ["spreadRate"],
    byUnit: "alone",
    words: [
      "seed rate",
      "seeding rate",
      "sowing rate",
      "overseed rate",
      "overseeding rate",
      "rate of seed",
      "rate",
    ],
  },
  seedsPerWeight: {
    name: "count of seeds",
    kinds: ["seedCount"],
    byUnit: "alone",
    words: ["seed count", "seeds per weight"],
  },
  seedWeight: {
    name: "seed for the zone",
    kinds: ["any"],
    dimensions: ["weight", "volume"],
    isA: "need",
    words: ["seed", "seed needed", "seed to buy", "bulk seed to buy", "seed in all"],
  },
  seedingDay: { name: "seeding day", kinds: ["any"], words: ["seeding day", "date of seeding"] },
  grade: { name: "grade on the bag", kinds: ["text"], words: ["grade", "analysis", "npk", "n-p-k"] },
  nutrient: { name: "nutrient", kinds: ["text"], words: ["nutrient"] },
  nutrientRate: {
    name: "rate of the nutrient",
    kinds: ["spreadRate"],
    byUnit: "alone",
    words: ["nutrient rate", "n rate", "nitrogen rate", "feed rate", "rate of n", "nitrogen", "n", "rate"],
  },
  nutrientShare: {
    name: "nutrient in the bag",
    kinds: ["share"],
    words: [
      "nutrient share",
      "n share",
      "nitrogen share",
      "share of n",
      "n in bag",
      "n content",
      "nitrogen",
      "n",
    ],
  },
  fertiliserWeight: {
    name: "weight of fertilizer spread",
    kinds: ["weight"],
    words: [
      "fertiliser applied",
      "fertilizer applied",
      "fertiliser used",
      "fertilizer used",
      "fertiliser spread",
      "fertilizer spread",
      "fertiliser weight",
      "fertilizer weight",
      "weight",
      "applied",
      "used",
    ],
  },
  starterWeight: {
    name: "starter for the zone",
    kinds: ["any"],
    dimensions: ["weight", "volume"],
    isA: "need",
    words: ["starter", "starter to buy"],
  },
  phosphate: {
    name: "phosphate in the bag",
    kinds: ["any"],
    words: ["phosphate", "phosphate in the bag", "p2o5"],
  },
  phosphorusRule: {
    name: "local phosphorus rule",
    kinds: ["text"],
    words: ["local phosphorus rule", "phosphorus rule"],
  },
  preEmergent: { name: "pre-emergent", kinds: ["text"], words: ["pre-emergent", "pre-emergent used"] },
  bagWeight: {
    name: "weight of a bag",
    kinds: ["weight"],
    words: ["bag weight", "weight of bag", "bag size", "bag", "sack"],
  },
  labelRate: {
    name: "rate on your label",
    kinds: ["labelRate"],
    byUnit: "beside any word",
    words: [
      "label rate",
      "product rate",
      "spray rate",
      "rate on label",
      "herbicide rate",
      "rate",
      "label rate used",
    ],
  },
  rateLow: {
    name: "lowest rate on your label",
    kinds: ["any"],
    mayBe: "labelRate",
    words: ["lowest rate", "lowest label rate", "minimum rate"],
  },
  rateHigh: {
    name: "highest rate on your label",
    kinds: ["any"],
    mayBe: "labelRate",
    words: ["highest rate", "highest label rate", "maximum rate"],
  },
  leastVolume: {
    name: "least spray volume on your label",
    kinds: ["any"],
    mayBe: "labelRate",
    words: ["least spray volume", "minimum spray volume"],
  },
  sprayVolume: {
    name: "spray volume",
    kinds: ["any"],
    mayBe: "labelRate",
    words: ["spray volume of the sprayer", "spray volume"],
  },
  seasonLimit: {
    name: "season limit on your label",
    kinds: ["any"],
    words: ["season limit on the label", "season limit", "season limit of the active"],
  },
  applied: {
    name: "active applied already this season",
    kinds: ["any"],
    words: ["applied already this season", "applied already"],
  },
  grasses: {
    name: "grasses on your label",
    kinds: ["text"],
    words: ["grasses it allows", "grasses on the label", "grasses the label allows"],
  },
  repeatDays: {
    name: "days before a repeat",
    kinds: ["any"],
    words: ["days before a repeat", "days before it is repeated", "repeat interval"],
  },
  lastApplied: {
    name: "day of the last application",
    kinds: ["any"],
    words: ["last applied on", "last applied", "last application", "applied last on"],
  },
  appliedOn: {
    name: "day of the application",
    kinds: ["any"],
    words: ["applied on", "date applied", "date of application"],
  },
  active: {
    name: "active ingredient",
    kinds: ["text"],
    words: ["active", "active it carries", "active ingredient"],
  },
  concentration: {
    name: "active ingredient in the liquid",
    kinds: ["concentration"],
    byUnit: "alone",
    words: ["concentration", "strength", "active", "ai"],
  },
  productRate: {
    name: "rate of the granule",
    kinds: ["spreadRate"],
    words: ["granule rate", "product rate", "spread rate", "rate"],
  },
  activeShare: {
    name: "active ingredient on your label",
    kinds: ["share"],
    words: ["active", "active share", "active ingredient", "ai"],
  },
  collected: {
    name: "liquid collected in the test",
    kinds: ["liquidDose"],
    words: ["collected", "caught", "sprayed"],
  },
  flow: {
    name: "flow of one nozzle",
    kinds: ["nozzleFlow"],
    byUnit: "alone",
    words: ["flow", "nozzle flow"],
  },
  speed: { name: "speed", kinds: ["speed"], words: ["speed", "walking speed", "ground speed"] },
  nozzleSpacing: {
    name: "width that one nozzle sprays",
    kinds: ["sprayWidth"],
    words: ["nozzle spacing", "nozzle width", "spray width", "width"],
  },
  topdressing: {
    name: "topdressing material",
    kinds: ["text"],
    words: ["topdressing", "topdressing material"],
  },
  layer: {
    name: "topdressing depth",
    kinds: ["depth"],
    byUnit: "alone",
    words: [
      "depth",
      "tiefe",
      "topdress depth",
      "topdressing depth",
      "topdressing",
      "topdress",
      "compost",
      "compost depth",
      "sand depth",
      "layer",
      "thickness",
    ],
  },
  waterDepth: {
    name: "depth of water",
    kinds: ["rainDepth", "any"],
    dimensions: ["length"],
    byUnit: "alone",
    words: ["water depth", "depth of water", "water", "watering", "irrigation", "rain", "depth"],
  },
  bagVolume: {
    name: "volume of a bag",
    kinds: ["bagVolume"],
    byUnit: "alone",
    words: ["bag volume", "volume of bag", "bag content", "bag size", "bag", "sack"],
  },
  screenLoss: {
    name: "screen loss",
    kinds: ["share"],
    words: ["screen loss", "loss", "screen reject", "reject", "rejected", "screened out"],
  },
  swell: {
    name: "loose volume per volume on the bag",
    kinds: ["count"],
    words: ["swell", "swell factor", "fluff"],
  },
  packs: {
    name: "count of packs",
    kinds: ["count"],
    isA: "bags",
    words: ["packs", "packs to buy", "packs ordered", "bags ordered", "bags to buy"],
  },
  bags: {
    name: "count of bags",
    kinds: ["count"],
    words: ["bags", "bag count", "bags spread", "bags used", "no of bags", "number of bags"],
  },
  product: { name: "product", kinds: ["text"], words: ["product", "material", "name", "item"] },
  need: {
    name: "amount needed",
    kinds: ["any"],
    dimensions: ["weight", "volume"],
    words: [
      "need",
      "needed",
      "required",
      "amount",
      "quantity",
      "to buy",
      "fertiliser",
      "fertilizer",
      "product",
      "loose volume",
    ],
  },
  packSize: {
    name: "size of one pack",
    kinds: ["any"],
    dimensions: ["weight", "volume"],
    words: [
      "pack",
      "pack size",
      "bag size",
      "seed bag",
      "bag",
      "bag weight",
      "sack",
      "jug",
      "bottle",
      "container",
      "size of pack",
    ],
  },
  bought: { name: "amount bought", kinds: ["any"], words: ["bought", "ordered"] },
  inStock: { name: "amount in stock", kinds: ["any"], words: ["in stock", "stock"] },
  shortAllowed: {
    name: "share that may be left short",
    kinds: ["share"],
    words: ["short allowed", "may be short"],
  },
  hopper: {
    name: "what the hopper holds",
    kinds: ["any"],
    dimensions: ["weight", "volume"],
    words: ["hopper", "hopper size", "hopper capacity", "capacity"],
  },
  swath: {
    name: "distance from one pass to the next",
    kinds: ["length"],
    words: ["swath", "swath width", "throw", "spread width", "spreader width"],
  },
  directions: { name: "passes over the whole area", kinds: ["count"], words: ["directions", "passes"] },
  caughtWeight: {
    name: "weight caught in the test",
    kinds: ["caughtWeight"],
    words: ["caught", "catch", "weight caught"],
  },
  testWidth: {
    name: "width of the pass in the test",
    kinds: ["length"],
    words: ["test width", "pass width", "width"],
  },
  testDistance: {
    name: "distance of the test",
    kinds: ["length"],
    words: ["distance", "test distance", "course"],
  },
  pace: {
    name: "pace of one person",
    kinds: ["any"],
    dimensions: ["area per time"],
    byUnit: "alone",
    inAnHour: true,
    words: ["pace", "work rate", "production rate", "production"],
  },
  crew: {
    name: "people at work",
    kinds: ["count"],
    words: ["crew", "crew size", "people", "hands", "workers"],
  },
  applicationRate: {
    name: "water that falls in an hour",
    kinds: ["any"],
    dimensions: ["length per time"],
    inAnHour: true,
    words: ["application rate", "precipitation rate", "sprinkler rate", "sprinkler output"],
  },
  uniformity: {
    name: "distribution uniformity",
    kinds: ["share"],
    words: ["uniformity", "distribution uniformity", "du"],
  },
  lowestTemperature: {
    name: "lowest temperature of the day",
    kinds: ["temperature"],
    words: ["low", "tmin", "min temp", "lowest temperature"],
  },
  highestTemperature: {
    name: "highest temperature of the day",
    kinds: ["temperature"],
    words: ["high", "tmax", "max temp", "highest temperature"],
  },
  latitude: { name: "latitude", kinds: ["any"], words: ["latitude", "lat"] },
  dayOfYear: { name: "day of the year", kinds: ["count"], words: ["day of year"] },
  cost: {
    name: "cost",
    kinds: ["money"],
    words: ["cost", "costs", "job cost", "our cost", "total cost", "material cost"],
  },
  margin: {
    name: "margin, as a share of the price",
    kinds: ["share"],
    words: ["margin", "gross margin", "profit margin"],
  },
} as const satisfies Record<string, Entry>;

export type Concept = keyof typeof entries;

export interface Meaning extends Entry {
  readonly id: Concept;
  readonly isA?: Concept;
  readonly mayBe?: Concept;
}

const meaningOf = ([id, entry]: [string, Entry]): Meaning => ({ ...entry, id }) as Meaning;

/** Every concept with all that is said of it, in order. */
export const meanings: readonly Meaning[] = Object.entries<Entry>(entries).map(meaningOf);

const byId = new Map(meanings.map((meaning) => [meaning.id, meaning]));

export const meaningNamed = (id: string): Meaning | undefined => byId.get(id as Concept);

/** Words that add nothing to what a column is taken for. */
export const fillers: ReadonlySet<string> = new Set([
  "#",
  "of",
  "the",
  "for",
  "at",
  "in",
  "on",
  "to",
  "per",
  "each",
  "a",
  "our",
  "total",
  "net",
  "measured",
  "wanted",
  "planned",
]);

/** Words that turn a heading into something else: a lot is not the lawn on it, a price of a bag is not its size. */
export const strangers: ReadonlySet<string> = new Set([
  "lot",
  "house",
  "building",
  "roof",
  "patio",
  "paving",
  "price",
  "paid",
  "date",
  "phone",
  "note",
  "notes",
]);

/** Words of headings that cells hold as well, as the name of a thing: with a unit they are headings, alone they may be either. */
export const things: ReadonlySet<string> = new Set([
  ...["turf", "ground", "surface", "size", "border", "edging", "strip", "pure", "n", "ai", "used", "applied"],
  ...["sprayed", "caught", "catch", "collected", "compost", "topdress", "layer", "water", "watering"],
  ...["irrigation", "rain", "bag", "bags", "sack", "fertiliser", "fertilizer", "jug", "bottle", "container"],
  ...["hopper", "throw", "course", "crew", "people", "hands", "workers", "low", "high", "reject", "rejected"],
]);

/** What a column of the meaning may be measured in; nothing where any unit will do. */
export const dimensionsOf = ({ kinds, dimensions = [] }: Meaning): readonly Dimension[] => [
  ...new Set([...kinds.flatMap((kind) => dimensionOf[kind] ?? []), ...dimensions]),
];

/** Whether it is told in words; all others are figures. */
export const isText = ({ kinds }: Meaning): boolean => kinds.includes("text");
