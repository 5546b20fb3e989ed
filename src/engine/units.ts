/**
 * The units of the trade. Only defining constants are stored, each with its source; every factor between
 * units is derived from them as an exact fraction, so that twelve inches are a foot and not 12.000000000000002.
 */

/** An exact fraction. Factors between units are kept so until the moment a formula needs a number. */
export interface Fraction {
  readonly top: bigint;
  readonly bottom: bigint;
}

const greatestCommonDivisor = (a: bigint, b: bigint): bigint =>
  b === 0n ? a : greatestCommonDivisor(b, a % b);

export function fraction(top: bigint, bottom = 1n): Fraction {
  const common = greatestCommonDivisor(top, bottom);
  return { top: top / common, bottom: bottom / common };
}

export const times = (a: Fraction, b: Fraction): Fraction => fraction(a.top * b.top, a.bottom * b.bottom);
export const over = (a: Fraction, b: Fraction): Fraction => fraction(a.top * b.bottom, a.bottom * b.top);
export const toNumber = (a: Fraction): number => Number(a.top) / Number(a.bottom);

const whole = (n: bigint): Fraction => fraction(n);
const square = (a: Fraction): Fraction => times(a, a);
const cube = (a: Fraction): Fraction => times(a, square(a));

// International yard and pound agreement, 1959 (NIST SP 811, appendix B): inch 0.0254 m, pound 0.45359237 kg.
const metre = whole(1n);
const inch = fraction(254n, 10_000n);
const kilogram = whole(1n);
const pound = fraction(45_359_237n, 100_000_000n);
// NIST Handbook 44, appendix C: foot 12 in, mile 5280 ft, US gallon 231 in3 of 128 fl oz, acre 43,560 ft2.
const foot = times(whole(12n), inch);
const mile = times(whole(5280n), foot);
const gallon = times(whole(231n), cube(inch));
const fluidOunce = over(gallon, whole(128n));
const acre = times(whole(43_560n), square(foot));
// SI: centimetre, millimetre, gram, litre (a cubic decimetre), hectare (10,000 m2); minute and hour.
const centimetre = fraction(1n, 100n);
const millimetre = fraction(1n, 1000n);
const gram = fraction(1n, 1000n);
const litre = fraction(1n, 1000n);
const millilitre = over(litre, whole(1000n));
const hectare = whole(10_000n);
const minute = whole(60n);
const hour = times(whole(60n), minute);

/** A unit as it is read by a person, and its size in metres, kilograms and seconds. */
export interface Unit {
  /** After a number: "22 in". */
  readonly text: string;
  /** In a sentence: "the width in inches". */
  readonly said: string;
  readonly size: Fraction;
}

const unit = (text: string, size: Fraction, said = text): Unit => ({ text, said, size });

export type UnitSystem = "us" | "metric";
export const unitSystems: readonly UnitSystem[] = ["us", "metric"];

/** What each kind of quantity is measured in, in the two unit systems. */
export const quantityKinds = {
  area: { us: unit("ft²", square(foot)), metric: unit("m²", square(metre)) },
  length: { us: unit("ft", foot, "feet"), metric: unit("m", metre, "metres") },
  stripWidth: { us: unit("in", inch, "inches"), metric: unit("cm", centimetre) },
  depth: { us: unit("in", inch, "inches"), metric: unit("mm", millimetre) },
  weight: { us: unit("lb", pound), metric: unit("kg", kilogram) },
  caughtWeight: { us: unit("lb", pound), metric: unit("g", gram) },
  spreadRate: {
    us: unit("lb per 1000 ft²", over(pound, times(whole(1000n), square(foot)))),
    metric: unit("g per m²", gram),
  },
  labelRate: {
    us: unit("fl oz per acre", over(fluidOunce, acre)),
    metric: unit("mL per ha", over(millilitre, hectare)),
  },
  liquidDose: { us: unit("fl oz", fluidOunce), metric: unit("mL", millilitre) },
  concentration: {
    us: unit("lb active per US gal", over(pound, gallon)),
    metric: unit("g active per L", over(gram, litre)),
  },
  activeRate: {
    us: unit("lb active per acre", over(pound, acre)),
    metric: unit("g active per ha", over(gram, hectare)),
  },
  sprayVolume: {
    us: unit("US gal per acre", over(gallon, acre)),
    metric: unit("L per ha", over(litre, hectare)),
  },
  tank: { us: unit("US gal", gallon), metric: unit("L", litre) },
  bagVolume: { us: unit("ft³", cube(foot)), metric: unit("L", litre) },
  waterVolume: { us: unit("US gal", gallon), metric: unit("L", litre) },
  seedCount: { us: unit("seeds per lb", over(whole(1n), pound)), metric: unit("seeds per kg", whole(1n)) },
  seedDensity: {
    us: unit("live seeds per in²", over(whole(1n), square(inch))),
    metric: unit("live seeds per cm²", over(whole(1n), square(centimetre))),
  },
  nozzleFlow: {
    us: unit("US gal per min", over(gallon, minute)),
    metric: unit("L per min", over(litre, minute)),
  },
  speed: {
    us: unit("mph", over(mile, hour)),
    metric: unit("km per h", over(times(whole(1000n), metre), hour)),
  },
  sprayWidth: { us: unit("in", inch, "inches"), metric: unit("m", metre, "metres") },
  rainDepth: { us: unit("in", inch, "inches"), metric: unit("mm", millimetre) },
} as const satisfies Record<string, Record<UnitSystem, Unit>>;

export type QuantityKind = keyof typeof quantityKinds;

/** Kinds that read the same in both unit systems. */
export const plainKinds = {
  share: "",
  count: "",
  money: "",
  text: "",
  any: "",
  minutes: "min",
  hours: "h",
} as const;

export type PlainKind = keyof typeof plainKinds;
export type Kind = QuantityKind | PlainKind | "temperature";

export const hasUnits = (kind: Kind): kind is QuantityKind | "temperature" =>
  kind === "temperature" || kind in quantityKinds;

/** The unit of a kind as a person reads it: `unitText("depth", "metric")` is `"mm"`. */
export function unitText(kind: Kind, system: UnitSystem): string {
  if (kind === "temperature") return system === "us" ? "°F" : "°C";
  return kind in quantityKinds
    ? quantityKinds[kind as QuantityKind][system].text
    : plainKinds[kind as PlainKind];
}

/** The unit of a kind in a sentence: `unitSaid("depth", "us")` is `"inches"`. */
export const unitSaid = (kind: Kind, system: UnitSystem): string =>
  kind in quantityKinds ? quantityKinds[kind as QuantityKind][system].said : unitText(kind, system);

/**
 * How a product of quantities turns into another quantity: multiply or divide by one number, whichever is not
 * below one, so that a formula reads "/ 12" and not "* 0.08333333333333333". Dimensionless when 1.
 */
export interface Factor {
  readonly operation: "times" | "over";
  readonly by: number;
}

const kindSize = (kinds: readonly QuantityKind[], system: UnitSystem): Fraction =>
  kinds.reduce((size, kind) => times(size, quantityKinds[kind][system].size), whole(1n));

/** A conversion named by what goes in and what comes out, in each unit system. */
export type Conversion = Record<UnitSystem, Factor>;

export function conversion(multiplied: readonly QuantityKind[], result: readonly QuantityKind[]): Conversion {
  const ratio = (system: UnitSystem) => over(kindSize(multiplied, system), kindSize(result, system));
  const us = ratio("us");
  const operation = us.top >= us.bottom ? "times" : "over";
  const factor = (exact: Fraction): Factor => ({
    operation,
    by: toNumber(operation === "times" ? exact : over(whole(1n), exact)),
  });
  return { us: factor(us), metric: factor(ratio("metric")) };
}

const between = (kind: QuantityKind, from: UnitSystem, to: UnitSystem): number =>
  toNumber(over(quantityKinds[kind][from].size, quantityKinds[kind][to].size));

/** For a figure published in the US unit of its kind: as it stands, or in the metric unit. */
export const publishedInUs = (kind: QuantityKind): Conversion => ({
  us: { operation: "times", by: 1 },
  metric: { operation: "times", by: between(kind, "us", "metric") },
});

/** For an equation that is stated in the metric unit of its result: in the US unit, or as it stands. */
export const statedInMetric = (kind: QuantityKind): Conversion => ({
  us: { operation: "over", by: between(kind, "us", "metric") },
  metric: { operation: "over", by: 1 },
});

/** Degrees on the scale of the unit system to degrees Celsius: first the offset of freezing, then the step. */
export const celsius: Readonly<Record<"freezing" | "step", Conversion>> = {
  freezing: { us: { operation: "times", by: 32 }, metric: { operation: "times", by: 0 } },
  step: { us: { operation: "over", by: 1.8 }, metric: { operation: "over", by: 1 } },
};
