/** Figures of a table in the units that a check reckons in, whatever unit their heads state. */
import type { QuantityKind, UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import type { NamedUnit } from "../tables";
import { conversionBetween, dimensionOf, sizeOf } from "../tables";
import type { Reading } from "./reading";
import type { Labelled } from "./seen";
import { numberIn } from "./seen";

interface Sized {
  readonly figure: number;
  /** Its unit as it is told, with the space before it; empty where none is stated. */
  readonly unit: string;
}

/** A blank is 0; undefined where the unit that is stated cannot be carried into that of the kind. */
export function sized(
  { cell, unit }: Labelled,
  kind: QuantityKind,
  system: UnitSystem,
  reading: Reading,
): Sized | undefined {
  const figure = numberIn(cell) ?? 0;
  const asItStands = () => ({ figure, unit: reading.unitOf(cell) });
  if (unit === undefined) return asItStands();
  if (unit.dimension !== dimensionOf[kind] || unit.size === null) return undefined;
  const conversion = conversionBetween(unit.size, sizeOf(kind, system));
  return conversion.text === ""
    ? asItStands()
    : { figure: conversion.apply(figure), unit: ` ${unitText(kind, system)}` };
}

/** A figure in another unit, or undefined where it cannot be carried over; what states no unit is as it stands. */
export function inUnitOf(
  figure: number,
  from: NamedUnit | undefined,
  to: NamedUnit | undefined,
): number | undefined {
  if (from === undefined || to === undefined || from.name === to.name) return figure;
  if (from.dimension !== to.dimension || from.size === null || to.size === null) return undefined;
  return conversionBetween(from.size, to.size).apply(figure);
}
