/** Figures as a person reads them: in threes, with their unit, to as many places as are meant. */
import type { Kind, UnitSystem } from "../units";
import { unitText } from "../units";

/** The figures of a number and the power of ten of the first of them. */
const powerOfTen = (value: number): number => Number(value.toExponential().split("e")[1]);

/** Decimals that a number is written with at the most. */
const mostDecimals = 20;

/** Decimals without the zeros at their end. */
function withoutZeros(digits: string): string {
  let end = digits.length;
  while (digits.charAt(end - 1) === "0") end--;
  return digits.slice(0, end);
}

function inThrees(digits: string): string {
  const groups: string[] = [];
  for (let end = digits.length; end > 0; end -= 3) groups.unshift(digits.slice(Math.max(0, end - 3), end));
  return groups.join(",");
}

/**
 * A number to so many decimals, in groups of three digits. Written out here, since not every engine that functions run
 * in knows of languages; rounded as a person rounds the figures they see, so 0.15 to one decimal is 0.2.
 */
function grouped(value: number, decimals: number): string {
  const kept = Math.min(decimals, mostDecimals);
  const [digits, power = "0"] = Math.abs(value).toExponential().split("e");
  const scaled = Math.round(Number(`${digits}e${Number(power) + kept}`));
  const [before = "", after = ""] = Number(`${scaled}e${-kept}`).toFixed(Math.max(0, kept)).split(".");
  const fraction = withoutZeros(after);
  const whole = inThrees(before);
  return `${value < 0 ? "-" : ""}${whole}${fraction === "" ? "" : `.${fraction}`}`;
}

const toFigures = (value: number, figures: number): string => grouped(value, figures - 1 - powerOfTen(value));

export const exactly = (value: number): string => toFigures(value, 12);

/** A number rounded for reading: four figures, or one decimal from a thousand up. */
export const readable = (value: number): string =>
  Math.abs(value) >= 1000 ? grouped(value, 1) : toFigures(value, 4);

/** A quantity with its unit: "52.08 ft³", "20 %". */
export function quantity(
  value: number,
  kind: Kind,
  system: UnitSystem,
  show: (value: number) => string = readable,
): string {
  if (kind === "share") return `${show(Number((value * 100).toPrecision(12)))} %`;
  const unit = unitText(kind, system);
  return unit === "" ? show(value) : `${show(value)} ${unit}`;
}
