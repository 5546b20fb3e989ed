/**
 * The units that stand in the headings of estimators' tables, by their spellings. Their sizes are those of the
 * engine's units and nothing else: a unit that the engine does not know is recognised, but cannot be converted.
 */
import type { Fraction, Kind, UnitSystem } from "../../engine/units";
import { fraction, over, quantityKinds, times, toNumber } from "../../engine/units";

/** What is measured: `area`, or `weight per area` for a unit with a denominator. */
export type Dimension = string;

export interface NamedUnit {
  /** As it is told: "lb per 1000 ft²". */
  readonly name: string;
  /** In a sentence, where its name would read badly. */
  readonly said?: string;
  readonly dimension: Dimension;
  /** In metres, kilograms and seconds; null for a unit that the engine does not know. */
  readonly size: Fraction | null;
  /** Given where the unit belongs to one system only. */
  readonly system?: UnitSystem;
}

export interface SpelledUnit extends NamedUnit {
  readonly spellings: readonly string[];
}

const { area, length, stripWidth, depth, weight, caughtWeight, spreadRate, labelRate, liquidDose } =
  quantityKinds;
const { tank, bagVolume, nozzleFlow, speed } = quantityKinds;

const one = fraction(1);
const acre = over(liquidDose.us.size, labelRate.us.size);
const hectare = over(liquidDose.metric.size, labelRate.metric.size);
const thousandSquareFeet = over(weight.us.size, spreadRate.us.size);
const cubicMetre = times(area.metric.size, length.metric.size);
const minute = over(tank.us.size, nozzleFlow.us.size);
const hour = over(times(fraction(1000), length.metric.size), speed.metric.size);

/** Units that stand alone or before a stroke. */
export const spelledUnits: readonly SpelledUnit[] = [
  {
    name: "ft²",
    dimension: "area",
    size: area.us.size,
    system: "us",
    spellings: ["sq ft", "sqft", "ft2", "ft^2", "sf", "square feet", "square foot", "sq feet", "sq foot"],
  },
  {
    name: "1000 ft²",
    dimension: "area",
    size: thousandSquareFeet,
    system: "us",
    spellings: ["1000 sq ft", "1000 sqft", "1000 ft2", "1000 sf", "msf", "thousand sq ft"],
  },
  { name: "acres", dimension: "area", size: acre, system: "us", spellings: ["acres", "acre", "ac"] },
  {
    name: "m²",
    dimension: "area",
    size: area.metric.size,
    system: "metric",
    spellings: ["m2", "m^2", "sqm", "sq m", "qm", "square metres", "square meters", "square metre"],
  },
  {
    name: "ha",
    dimension: "area",
    size: hectare,
    system: "metric",
    spellings: ["ha", "hectares", "hectare"],
  },
  {
    name: "square yards",
    dimension: "area",
    size: null,
    system: "us",
    spellings: ["sq yd", "sq yds", "sqyd", "yd2", "yd^2", "sy", "square yards", "square yard"],
  },
  {
    name: "ft",
    dimension: "length",
    size: length.us.size,
    system: "us",
    spellings: ["ft", "feet", "foot", "lf", "lin ft", "linear feet"],
  },
  {
    name: "in",
    said: "inches",
    dimension: "length",
    size: depth.us.size,
    system: "us",
    spellings: ["in", "inch", "inches", '"'],
  },
  {
    name: "m",
    dimension: "length",
    size: length.metric.size,
    system: "metric",
    spellings: ["m", "metres", "meters", "metre", "meter", "lfm"],
  },
  {
    name: "cm",
    dimension: "length",
    size: stripWidth.metric.size,
    system: "metric",
    spellings: ["cm", "centimetres", "centimeters"],
  },
  {
    name: "mm",
    dimension: "length",
    size: depth.metric.size,
    system: "metric",
    spellings: ["mm", "millimetres", "millimeters"],
  },
  { name: "yards", dimension: "length", size: null, system: "us", spellings: ["yd", "yds", "yards", "yard"] },
  {
    name: "miles",
    dimension: "length",
    size: times(speed.us.size, hour),
    system: "us",
    spellings: ["mile", "miles", "mi"],
  },
  {
    name: "km",
    dimension: "length",
    size: times(speed.metric.size, hour),
    system: "metric",
    spellings: ["km", "kilometres", "kilometers"],
  },
  {
    name: "lb",
    dimension: "weight",
    size: weight.us.size,
    system: "us",
    spellings: ["lb", "lbs", "pound", "pounds", "#"],
  },
  {
    name: "kg",
    dimension: "weight",
    size: weight.metric.size,
    system: "metric",
    spellings: ["kg", "kgs", "kilo", "kilos", "kilograms"],
  },
  {
    name: "g",
    dimension: "weight",
    size: caughtWeight.metric.size,
    system: "metric",
    spellings: ["g", "gr", "gram", "grams"],
  },
  {
    name: "ounces (by weight or by volume)",
    dimension: "weight",
    size: null,
    system: "us",
    spellings: ["oz", "ounce", "ounces"],
  },
  { name: "tons", dimension: "weight", size: null, spellings: ["ton", "tons", "tonnes", "tonne", "t"] },
  {
    name: "fl oz",
    dimension: "volume",
    size: liquidDose.us.size,
    system: "us",
    spellings: ["fl oz", "floz", "fluid ounces", "fluid ounce"],
  },
  {
    name: "mL",
    dimension: "volume",
    size: liquidDose.metric.size,
    system: "metric",
    spellings: ["ml", "millilitres", "milliliters"],
  },
  {
    name: "US gal",
    dimension: "volume",
    size: tank.us.size,
    system: "us",
    spellings: ["gal", "gals", "us gal", "gallon", "gallons"],
  },
  {
    name: "L",
    dimension: "volume",
    size: bagVolume.metric.size,
    system: "metric",
    spellings: ["l", "ltr", "litre", "litres", "liter", "liters"],
  },
  {
    name: "ft³",
    dimension: "volume",
    size: bagVolume.us.size,
    system: "us",
    spellings: ["cu ft", "cuft", "ft3", "ft^3", "cf", "cubic feet", "cubic foot"],
  },
  {
    name: "m³",
    dimension: "volume",
    size: cubicMetre,
    system: "metric",
    spellings: ["m3", "m^3", "cbm", "cu m", "cubic metres", "cubic meters"],
  },
  {
    name: "cubic yards",
    dimension: "volume",
    size: null,
    system: "us",
    spellings: ["cu yd", "cu yds", "cuyd", "yd3", "yd^3", "cy", "cubic yards", "cubic yard"],
  },
  {
    name: "quarts",
    dimension: "volume",
    size: null,
    system: "us",
    spellings: ["qt", "qts", "quart", "quarts"],
  },
  { name: "pints", dimension: "volume", size: null, system: "us", spellings: ["pt", "pts", "pint", "pints"] },
  { name: "min", dimension: "time", size: minute, spellings: ["min", "mins", "minute", "minutes"] },
  { name: "h", dimension: "time", size: hour, spellings: ["h", "hr", "hrs", "hour", "hours"] },
  { name: "seeds", dimension: "seeds", size: one, spellings: ["seeds", "seed"] },
  { name: "%", dimension: "share", size: fraction(1, 100), spellings: ["%", "percent", "per cent", "pct"] },
  {
    name: "money",
    dimension: "money",
    size: one,
    spellings: ["$", "€", "£", "usd", "eur", "gbp", "dollars", "euro"],
  },
  {
    name: "°F",
    dimension: "temperature",
    size: null,
    system: "us",
    spellings: ["°f", "deg f", "degf", "fahrenheit"],
  },
  {
    name: "°C",
    dimension: "temperature",
    size: null,
    system: "metric",
    spellings: ["°c", "deg c", "degc", "celsius"],
  },
];

/** What stands after a stroke beside the units above: the trade's short ways to say 1000 ft² and an acre. */
export const spelledDenominators: readonly SpelledUnit[] = [
  {
    name: "1000 ft²",
    dimension: "area",
    size: thousandSquareFeet,
    system: "us",
    spellings: ["1000", "m", "k", "thousand"],
  },
  { name: "acre", dimension: "area", size: acre, system: "us", spellings: ["a", "ac", "acre"] },
];

/** A share written as one, such as 0.85: no heading spells it, but a person may choose it. */
export const plainShare: NamedUnit = { name: "share, such as 0.85", dimension: "share", size: one };
export const hundredths: NamedUnit = {
  name: "per cent, such as 85",
  dimension: "share",
  size: fraction(1, 100),
};

/** Short names for whole ratios. */
const ratioNames: Readonly<Record<string, string>> = { gpa: "gal/acre", mph: "mile/h", "km/h": "km/hour" };

const index = (units: readonly SpelledUnit[]): ReadonlyMap<string, SpelledUnit> =>
  new Map(units.flatMap((unit) => unit.spellings.map((spelling) => [spelling, unit] as const)));
const alone = index(spelledUnits);
const below = index(spelledDenominators);

/** Lower case, without accents, dots and thousands' commas, so that headings can be compared. */
export const plainText = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase()
    .replace(/(\d),(?=\d{3}\b)/g, "$1")
    .replace(/\.(?!\d)/g, "")
    .replace(/\bper cent\b/g, "%")
    .replace(/[_\s]+/g, " ")
    .replace(/ ?\/ ?/g, "/")
    .trim();

const bare = ({ name, said, dimension, size, system }: NamedUnit): NamedUnit => ({
  name,
  ...(said === undefined ? {} : { said }),
  dimension,
  size,
  ...(system === undefined ? {} : { system }),
});

const ratio = (top: NamedUnit, bottom: NamedUnit): NamedUnit => ({
  name: `${top.name} per ${bottom.name === "acres" ? "acre" : bottom.name}`,
  dimension: `${top.dimension} per ${bottom.dimension}`,
  size: top.size === null || bottom.size === null ? null : over(top.size, bottom.size),
  ...(top.system !== undefined && (bottom.system === undefined || bottom.system === top.system)
    ? { system: top.system }
    : bottom.system !== undefined && top.system === undefined
      ? { system: bottom.system }
      : {}),
});

/** The trade's short denominators belong to US units: a gram per "m" is nothing anyone writes. */
function denominator(text: string, top: NamedUnit): NamedUnit | undefined {
  const short = below.get(text);
  if (short !== undefined && top.system === "us") return short;
  return alone.get(text);
}

/** Longer than any unit that is spelled out. */
const longestUnit = 80;

/** The unit that a text spells, all of it, or undefined. */
export function unitSpelled(text: string): NamedUnit | undefined {
  if (text.length > longestUnit) return undefined;
  const plain = plainText(text);
  const said = ratioNames[plain] ?? plain;
  const single = alone.get(said);
  if (single !== undefined) return bare(single);
  const { index: end = 0, 0: stroke = "" } = /(?!^)(?:\/| per | p )/.exec(said) ?? {};
  const top = alone.get(said.slice(0, end));
  if (top === undefined) return undefined;
  const bottom = denominator(said.slice(end + stroke.length).replace(/^1 /, ""), top);
  return bottom === undefined ? undefined : ratio(top, bottom);
}

/** What each kind of quantity measures; undefined for what takes any unit. */
export const dimensionOf: Readonly<Record<Kind, Dimension | undefined>> = {
  area: "area",
  length: "length",
  stripWidth: "length",
  depth: "length",
  sprayWidth: "length",
  rainDepth: "length",
  weight: "weight",
  caughtWeight: "weight",
  spreadRate: "weight per area",
  activeRate: "weight per area",
  labelRate: "volume per area",
  sprayVolume: "volume per area",
  liquidDose: "volume",
  tank: "volume",
  bagVolume: "volume",
  waterVolume: "volume",
  concentration: "weight per volume",
  seedCount: "seeds per weight",
  seedDensity: "seeds per area",
  nozzleFlow: "volume per time",
  speed: "length per time",
  temperature: "temperature",
  minutes: "time",
  hours: "time",
  share: "share",
  count: "count",
  money: "money",
  text: "text",
  any: undefined,
};

const ratios: readonly NamedUnit[] = spelledUnits.flatMap((top) =>
  [...spelledUnits, ...spelledDenominators]
    .filter(({ name }, i, all) => name !== "acres" && all.findIndex((other) => other.name === name) === i)
    .map((bottom) => ratio(top, bottom)),
);

/** The units of a dimension that can be converted, for a person to choose from. */
export const unitsOf = (dimension: Dimension): readonly NamedUnit[] =>
  dimension === "share"
    ? [plainShare, hundredths]
    : [...spelledUnits, ...ratios]
        .filter((unit) => unit.dimension === dimension && unit.size !== null)
        .map(bare);

/** The size of the unit that a kind is measured in, for a share or a sum of money 1. */
export const sizeOf = (kind: Kind, system: UnitSystem): Fraction =>
  kind in quantityKinds ? quantityKinds[kind as keyof typeof quantityKinds][system].size : one;

/** What a figure is multiplied or divided by, for a formula and for its preview. */
export interface Conversion {
  /** Such as "/100"; empty where nothing is to be done. */
  readonly text: string;
  apply(figure: number): number;
}

/** From one size to another by the shorter of a product and a quotient: "/12", and not "*0.08333333333333333". */
export function conversionBetween(from: Fraction, to: Fraction): Conversion {
  const factor = over(from, to);
  if (toNumber(factor) === 1) return { text: "", apply: (figure) => figure };
  const [by, under] = [toNumber(factor), toNumber(over(one, factor))];
  return String(by).length <= String(under).length
    ? { text: `*${by}`, apply: (figure) => figure * by }
    : { text: `/${under}`, apply: (figure) => figure / under };
}

export const saidOf = ({ name, said = name }: NamedUnit): string => said;

export const perHour = (size: Fraction): Fraction => over(size, hour);
