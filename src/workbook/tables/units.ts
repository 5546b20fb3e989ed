/** The unit that a text spells, what it measures, and how one is converted into another. */
import type { Fraction, Kind, UnitSystem } from "../../engine/units";
import { fraction, over, quantityKinds, toNumber } from "../../engine/units";
import type { Dimension, NamedUnit, SpelledUnit } from "./spelled-units";
import { hour, spelledDenominators, spelledUnits } from "./spelled-units";

const one = fraction(1);

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

/** The words that a unit may begin with, as far as its stroke. */
const firstWords = new Set(
  [...spelledUnits.flatMap(({ spellings }) => spellings), ...Object.keys(ratioNames)].map(
    (spelling) => spelling.split(/[ /]/)[0] ?? "",
  ),
);

/** Whether a unit may begin with a word of a plain text: most words can be passed over. */
export const mayBeginUnit = (word: string): boolean => firstWords.has(word.split("/")[0] ?? "");

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

/** Whether a text is one of the units that our own sheets tell figures in. */
export const isUnit = (text: string): boolean => ownUnits.has(text);
const ownUnits = new Set(Object.values(quantityKinds).flatMap(({ us, metric }) => [us.text, metric.text]));
