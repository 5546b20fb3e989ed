/** Quantities through mathjs, a units library that knows nothing of ours: the outside authority on every factor. */
import { all, create } from "mathjs";
import type { Unit } from "mathjs";
import type { Kind, QuantityKind, UnitSystem } from "../../src/engine/units";

const math = create(all ?? {});

// The library keeps the acre to six figures only (4046.86 m2), so the acre is given to it as 43,560 ft2.
math.createUnit("statuteacre", "43560 sqft");

/** Each kind of quantity as mathjs writes its units; seeds are counted, so they have no unit of their own. */
const written: Record<QuantityKind | "temperature", Record<UnitSystem, string>> = {
  area: { us: "ft^2", metric: "m^2" },
  length: { us: "ft", metric: "m" },
  stripWidth: { us: "in", metric: "cm" },
  depth: { us: "in", metric: "mm" },
  weight: { us: "lbm", metric: "kg" },
  caughtWeight: { us: "lbm", metric: "g" },
  spreadRate: { us: "lbm / (1000 ft^2)", metric: "g / m^2" },
  labelRate: { us: "floz / statuteacre", metric: "ml / hectare" },
  liquidDose: { us: "floz", metric: "ml" },
  concentration: { us: "lbm / gallon", metric: "g / l" },
  activeRate: { us: "lbm / statuteacre", metric: "g / hectare" },
  sprayVolume: { us: "gallon / statuteacre", metric: "l / hectare" },
  tank: { us: "gallon", metric: "l" },
  bagVolume: { us: "ft^3", metric: "l" },
  waterVolume: { us: "gallon", metric: "l" },
  seedCount: { us: "1 / lbm", metric: "1 / kg" },
  seedDensity: { us: "1 / in^2", metric: "1 / cm^2" },
  nozzleFlow: { us: "gallon / minute", metric: "l / minute" },
  speed: { us: "mile / hour", metric: "km / hour" },
  sprayWidth: { us: "in", metric: "m" },
  rainDepth: { us: "in", metric: "mm" },
  temperature: { us: "degF", metric: "degC" },
};

const unitOf = (expression: string): Unit => {
  const one: unknown = math.evaluate(expression.startsWith("1") ? expression : `1 ${expression}`);
  return one as Unit;
};

const inBase = new Map<string, number>();

/** How large a unit is in the base units of mathjs. */
function sizeOf(expression: string): number {
  const known = inBase.get(expression);
  if (known !== undefined) return known;
  const { value } = unitOf(expression).toSI();
  if (typeof value !== "number") throw new TypeError(`mathjs gives no number for ${expression}`);
  inBase.set(expression, value);
  return value;
}

/** How many of the one system's unit make one of the other's. */
export const unitRatio = (kind: QuantityKind, from: UnitSystem, to: UnitSystem): number =>
  sizeOf(written[kind][from]) / sizeOf(written[kind][to]);

const isQuantity = (kind: Kind): kind is QuantityKind | "temperature" => kind in written;

/** A value of a kind, from one unit system to the other; a plain number stays as it is. */
export function converted(value: number, kind: Kind, from: UnitSystem, to: UnitSystem): number {
  if (!isQuantity(kind) || from === to) return value;
  if (kind === "temperature")
    return math.unit(value, written.temperature[from]).toNumber(written.temperature[to]);
  return value * unitRatio(kind, from, to);
}

/** A value of a kind in the base units of mathjs; a plain number stays as it is. */
export const inBaseUnits = (value: number, kind: Kind, system: UnitSystem): number =>
  isQuantity(kind) ? value * sizeOf(written[kind][system]) : value;
