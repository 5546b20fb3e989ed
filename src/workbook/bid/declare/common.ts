/** Columns that several sheets have: what differs is what each is for. */
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

/** What a person does in an hour. */
export const paceUnit: UnitOf = (unit) => `${unit("area")} per person-hour`;
