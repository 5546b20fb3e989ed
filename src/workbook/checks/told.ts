/** Figures in the sentences of findings. */
import type { QuantityKind, UnitSystem } from "../../engine/units";
import { over, quantityKinds, toNumber, unitText } from "../../engine/units";

const readOut = new Intl.NumberFormat("en-US", { maximumSignificantDigits: 4 });

/** As many digits as a person reads out. */
export const told = (figure: number): string => readOut.format(figure);

export const quantityTold = (figure: number, kind: QuantityKind, system: UnitSystem): string =>
  `${told(figure)} ${unitText(kind, system)}`;

export const perCent = (share: number): string => `${told(share * 100)} %`;

/** A figure that is published in US units, in another unit system. */
export const fromUs = (figure: number, kind: QuantityKind, system: UnitSystem): number =>
  figure * toNumber(over(quantityKinds[kind].us.size, quantityKinds[kind][system].size));

/** Sums in floating point differ by less than this. */
export const slack = 1e-9;
