/**
 * The units of the trade. Only defining constants are stored, each with its source; every factor between
 * units is derived from them as an exact fraction, so that twelve inches are a foot and not 12.000000000000002.
 */

/** A positive fraction as the powers of its prime factors, so that no product of units is ever rounded. */
export type Fraction = ReadonlyMap<number, number>;

/** The powers of the prime factors of a whole number. */
function whole(number: number): Fraction {
  const powers = new Map<number, number>();
  let rest = number;
  for (let prime = 2; rest > 1; prime += 1) {
    // What no number up to its square root divides is prime itself.
    const factor = prime * prime > rest ? rest : prime;
    for (; rest % factor === 0 && rest > 1; rest /= factor) powers.set(factor, (powers.get(factor) ?? 0) + 1);
  }
  return powers;
}

function combined(a: Fraction, b: Fraction, sign: 1 | -1): Fraction {
  const powers = new Map(a);
  b.forEach((power, prime) => powers.set(prime, (powers.get(prime) ?? 0) + sign * power));
  return powers;
}

export const times = (a: Fraction, b: Fraction): Fraction => combined(a, b, 1);
export const over = (a: Fraction, b: Fraction): Fraction => combined(a, b, -1);

/** The nearest number: what stands above and below the line are whole numbers that a double holds exactly. */
export function toNumber(a: Fraction): number {
  let [top, bottom] = [1, 1];
  a.forEach((power, prime) => {
    for (let i = 0; i < power; i++) top *= prime;
    for (let i = 0; i > power; i--) bottom *= prime;
  });
  return top / bottom;
}

export const fraction = (top: number, bottom = 1): Fraction => over(whole(top), whole(bottom));
const square = (a: Fraction): Fraction => times(a, a);
const cube = (a: Fraction): Fraction => times(a, square(a));

// International yard and pound agreement, 1959 (NIST SP 811, appendix B): inch 0.0254 m, pound 0.45359237 kg.
const metre = whole(1);
const inch = fraction(254, 10_000);
const kilogram = whole(1);
const pound = fraction(45_359_237, 100_000_000);
// NIST Handbook 44, appendix C: foot 12 in, mile 5280 ft, US gallon 231 in3 of 128 fl oz, acre 43,560 ft2.
const foot = times(whole(12), inch);
const mile = times(whole(5280), foot);
const gallon = times(whole(231), cube(inch));
const fluidOunce = over(gallon, whole(128));
const acre = times(whole(43_560), square(foot));
// SI: centimetre, millimetre, gram, litre (a cubic decimetre), hectare (10,000 m2); minute and hour.
const centimetre = fraction(1, 100);
const millimetre = fraction(1, 1000);
const gram = fraction(1, 1000);
const litre = fraction(1, 1000);
const millilitre = over(litre, whole(1000));
const hectare = whole(10_000);
const minute = whole(60);
const hour = times(whole(60), minute);

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
  length: { us: unit("ft", foot, "feet"), metric: unit("m", metre, "meters") },
  stripWidth: { us: unit("in", inch, "inches"), metric: unit("cm", centimetre) },
  depth: { us: unit("in", inch, "inches"), metric: unit("mm", millimetre) },
  weight: { us: unit("lb", pound), metric: unit("kg", kilogram) },
  caughtWeight: { us: unit("lb", pound), metric: unit("g", gram) },
  spreadRate: {
    us: unit("lb per 1000 ft²", over(pound, times(whole(1000), square(foot)))),
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
  seedCount: { us: unit("seeds per lb", over(whole(1), pound)), metric: unit("seeds per kg", whole(1)) },
  seedDensity: {
    us: unit("live seeds per in²", over(whole(1), square(inch))),
    metric: unit("live seeds per cm²", over(whole(1), square(centimetre))),
  },
  nozzleFlow: {
    us: unit("US gal per min", over(gallon, minute)),
    metric: unit("L per min", over(litre, minute)),
  },
  speed: {
    us: unit("mph", over(mile, hour)),
    metric: unit("km per h", over(times(whole(1000), metre), hour)),
  },
  sprayWidth: { us: unit("in", inch, "inches"), metric: unit("m", metre, "meters") },
  rainDepth: { us: unit("in", inch, "inches"), metric: unit("mm", millimetre) },
} as const satisfies Record<string, Record<UnitSystem, Unit>>;

export type QuantityKind = keyof typeof quantityKinds;

/** Kinds that read the same in both unit systems. */
const plainKinds = {
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
  kinds.reduce((size, kind) => times(size, quantityKinds[kind][system].size), whole(1));

/** A conversion named by what goes in and what comes out, in each unit system. */
export type Conversion = Record<UnitSystem, Factor>;

export function conversion(multiplied: readonly QuantityKind[], result: readonly QuantityKind[]): Conversion {
  const ratio = (system: UnitSystem) => over(kindSize(multiplied, system), kindSize(result, system));
  const us = ratio("us");
  const operation = toNumber(us) >= 1 ? "times" : "over";
  const factor = (exact: Fraction): Factor => ({
    operation,
    by: toNumber(operation === "times" ? exact : over(whole(1), exact)),
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
