/** Days as a sheet counts them. */

/** A day as a date. */
export const dateTold = (day: number): string =>
  new Date(Math.round((day - dayOfEpoch) * millisecondsOfDay)).toISOString().slice(0, 10);

const dayOfEpoch = 25_569;
const millisecondsOfDay = 86_400_000;

export const dayOf = (date: Date): number => Math.floor(date.getTime() / millisecondsOfDay) + dayOfEpoch;

/** A number that can be a date of this century or the last. */
export const isDay = (value: number | undefined): value is number =>
  value !== undefined && value > 7_000 && value < 80_000;
