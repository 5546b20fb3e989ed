/** Figures and days as they are read on a drawing. */
import type { UnitSystem } from "../../engine/units";

const formats = [0, 1, 2].map(
  (decimals) =>
    new Intl.NumberFormat("en-US", { minimumFractionDigits: decimals, maximumFractionDigits: decimals }),
);
const atMostTwo = new Intl.NumberFormat("en-US", { maximumFractionDigits: 2 });

export const whole = (value: number): string => formats[0]?.format(value) ?? "";
export const oneDecimal = (value: number): string => formats[1]?.format(value) ?? "";
export const short = (value: number): string => atMostTwo.format(value);

/** A sum as the sheet shows it; less than nothing has its sign before the currency's. */
export const money = (value: number, currency: string): string => {
  const rounded = Math.round(value * 100) / 100;
  return `${rounded < 0 ? "−" : ""}${currency}${formats[2]?.format(Math.abs(rounded)) ?? ""}`;
};

export const perCent = (share: number): string =>
  `${share < 0 ? "−" : ""}${oneDecimal(Math.abs(share) * 100)} %`;

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** A day as the sheet counts it. */
export function dayText(serial: number, system: UnitSystem): string {
  const date = new Date((Math.floor(serial) - 25_569) * 86_400_000);
  const month = months[date.getUTCMonth()] ?? "";
  return system === "us" ? `${month} ${date.getUTCDate()}` : `${date.getUTCDate()} ${month}`;
}

/** Names in a sentence: one, two and three. */
export const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1] ?? ""}`;

export const counted = (count: number, one: string): string =>
  `${short(count)} ${count === 1 ? one : `${one}s`}`;
