/**
 * Published seeding rates of cool-season lawn grasses, in lb of pure live seed per 1000 ft2. A row of the table is the
 * span of the figures that were read in their sources; where none was read, the span of those from memory, and the row
 * says so. Sources disagree by up to a factor of two: the pane shows each figure beside its source.
 */
import { flatMap, greatest, least } from "../lists";
import type { LookUpTable, Source } from "../formula";

export const purposes = ["new", "overseed"] as const;
export type Purpose = (typeof purposes)[number];

export const bounds = ["low", "mid", "high"] as const;

/** One figure of one source. */
export interface RateFigure {
  readonly low: number;
  readonly high: number;
  readonly source: Source;
  readonly fromMemory?: true;
}

export interface RateRow {
  readonly grass: string;
  readonly purpose: Purpose;
  readonly figures: readonly RateFigure[];
}

const cornell: Source = {
  title: "Seeding rates (Safe Sports Fields)",
  publisher: "Cornell University, CALS",
  note: "sports turf",
};
const ohio: Source = {
  title: "Lawn Establishment, Bulletin 546, Table 1",
  publisher: "Ohio State University Extension",
};
const kansas: Source = {
  title: "Overseeding column",
  publisher: "K-State Research & Extension, Johnson County",
  year: 2021,
};
const chanute: Source = { title: "Renovating fescue lawns", publisher: "K-State Extension, Chanute Tribune" };
const nebraska: Source = {
  title: "Renovating lawns in the fall",
  publisher: "Nebraska Extension, York News-Times",
  year: 2021,
};
const nebraskaHalf: Source = { ...nebraska, note: "half of the rate on bare soil" };
const illinois: Source = {
  title: "Lawn seeding column",
  publisher: "University of Illinois Extension, Lincoln Daily News",
  year: 2013,
};
const colorado: Source = {
  title: "Overseeding a Kentucky bluegrass lawn, question 877015",
  publisher: "Ask Extension, Colorado State University",
  year: 2024,
};
const michigan: Source = {
  title: "Creeping bentgrass seeding rates, traffic affect green establishment",
  publisher: "Golf Course Management, Michigan State University research",
  year: 2018,
  note: "putting green; 7.9 to 16 oz per 1000 ft²",
};
const remembered: Source = {
  title: "Typical ranges of extension tables",
  publisher: "various extension services",
  note: "from memory, not read in a source",
};

const read = (source: Source, low: number, high = low): RateFigure => ({ low, high, source });
const memory = (low: number, high: number): RateFigure => ({
  low,
  high,
  source: remembered,
  fromMemory: true,
});
const row = (grass: string, purpose: Purpose, ...figures: readonly RateFigure[]): RateRow => ({
  grass,
  purpose,
  figures,
});

const ounces = 1 / 16;

export const rateRows: readonly RateRow[] = [
  row(
    "Kentucky bluegrass",
    "new",
    read(cornell, 1, 3),
    read(ohio, 1, 2),
    read(kansas, 3, 4),
    read(nebraska, 2, 3),
    memory(1.5, 3),
  ),
  row("Kentucky bluegrass", "overseed", read(kansas, 2), read(nebraskaHalf, 1, 1.5), memory(1, 2)),
  row("perennial ryegrass", "new", read(cornell, 4, 6), memory(4, 8)),
  row("perennial ryegrass", "overseed", memory(2, 5)),
  row(
    "tall fescue",
    "new",
    read(cornell, 6, 8),
    read(kansas, 6, 8),
    read(chanute, 6, 8),
    read(nebraska, 6, 8),
    memory(6, 9),
  ),
  row(
    "tall fescue",
    "overseed",
    read(kansas, 3, 4),
    read(chanute, 3, 4),
    read(nebraskaHalf, 3, 4),
    read(colorado, 4, 6),
    memory(3, 5),
  ),
  row("fine fescue", "new", memory(3, 5)),
  row("fine fescue", "overseed", memory(2, 3)),
  row("creeping red fescue", "new", memory(3, 5)),
  row("creeping red fescue", "overseed", memory(2, 3)),
  row("chewings fescue", "new", memory(3, 5)),
  row("chewings fescue", "overseed", memory(2, 3)),
  row("hard fescue", "new", memory(3, 5)),
  row("hard fescue", "overseed", memory(2, 3)),
  row("creeping bentgrass", "new", read(michigan, 7.9 * ounces, 16 * ounces), memory(0.5, 1.5)),
  row("creeping bentgrass", "overseed", memory(0.25, 0.75)),
  row("Kentucky bluegrass and perennial ryegrass", "new", read(cornell, 3, 5), read(ohio, 2, 3)),
  row("Kentucky bluegrass and perennial ryegrass", "overseed", read(nebraskaHalf, 1, 2.5)),
  row("Kentucky bluegrass and fine fescue", "new", read(ohio, 2, 4), read(illinois, 4)),
  row("Kentucky bluegrass and fine fescue", "overseed", read(illinois, 2)),
];

export const knownGrasses: readonly string[] = [...new Set(rateRows.map(({ grass }) => grass))];

/** A row with the span that counts, for the pane. */
export interface SeedRateSpan extends RateRow {
  readonly low: number;
  readonly high: number;
  /** No figure of the row was read in its source. */
  readonly fromMemory: boolean;
  /** The sources that were read do not all print the same figures. */
  readonly sourcesDisagree: boolean;
}

function spanOf(rates: RateRow): SeedRateSpan {
  const verified = rates.figures.filter(({ fromMemory }) => fromMemory !== true);
  const counted = verified.length > 0 ? verified : rates.figures;
  const [first] = counted;
  return {
    ...rates,
    low: least(counted.map(({ low }) => low)),
    high: greatest(counted.map(({ high }) => high)),
    fromMemory: verified.length === 0,
    sourcesDisagree: counted.some(({ low, high }) => low !== first?.low || high !== first.high),
  };
}

/** Every row of the table with its span, its sources and how far they can be trusted. */
const seedRateSpans: readonly SeedRateSpan[] = rateRows.map(spanOf);

/** The spans as a table to look up: by grass and purpose, in the column of the bound. */
export const seedRateTable: LookUpTable = {
  columns: bounds,
  rows: seedRateSpans.map(({ grass, purpose, low, high }) => ({
    keys: [grass, purpose],
    figures: [low, (low + high) / 2, high],
  })),
};

export const seedRateSources: readonly Source[] = [
  ...new Set(flatMap(rateRows, ({ figures }) => figures.map(({ source }) => source))),
];
