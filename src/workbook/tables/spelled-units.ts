/**
 * The units that stand in the headings of estimators' tables, by their spellings. Their sizes are those of the
 * engine's units and nothing else: a unit that the engine does not know is recognised, but cannot be converted.
 */
import type { Fraction, UnitSystem } from "../../engine/units";
import { fraction, over, quantityKinds, times } from "../../engine/units";

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
export const hour = over(times(fraction(1000), length.metric.size), speed.metric.size);

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
