/** Columns and figures that several sheets have: what differs is what each is for. */
import type { Declared, UnitOf } from "./declared";

/** Ground, in the unit of areas. */
export const areaColumn = <const S extends string>(says: S) =>
  ({
    name: "Area",
    unit: "area",
    holds: "number",
    means: "area",
    form: "one decimal",
    says,
  }) as const satisfies Declared;

/** How much seed goes on so much ground. */
export const seedRateColumn = <const S extends string>(says: S) =>
  ({
    name: "Seeding rate",
    unit: "spreadRate",
    holds: "number",
    means: "seedRate",
    form: "two decimals",
    says,
  }) as const satisfies Declared;

/** What stands there in words. */
export const inWords = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "text", form: "text", says }) as const satisfies Declared;

/** What a person does in an hour. */
export const paceUnit: UnitOf = (unit) => `${unit("area")} per person-hour`;
