/** What Watering holds, as it is declared: intervals of the grasses, settings, the calendar, how long sprinklers run. */
import type { UnitSystem } from "../../../engine/units";
import { figures } from "../declare/figures";
import { table } from "../declare/table";
import type { Takes } from "../entry";
import { amount, limitsOrNone, wholeAmount } from "../entry";

const days = <const N extends string, const S extends string>(name: N, says: S, example: number) =>
  ({
    name,
    unit: () => "days",
    holds: "number",
    form: "whole",
    says,
    takes: (): Takes => ({ takes: "number", limits: wholeAmount, example }),
  }) as const;

/** What is published of each grass, for the estimator to change. */
export const intervals = table({
  id: "intervals",
  sheet: "watering",
  columns: {
    grass: {
      name: "Grass named on Site holds",
      holds: "text",
      form: "text",
      says: "A grass that the name of a zone's grass holds.",
    },
    first: days("First seedlings", "When its first seedlings are to be seen.", 5),
    last: days("Last", "When its last seedlings are.", 10),
    height: {
      name: "Mowing height",
      unit: "rainDepth",
      holds: "number",
      form: { us: "general", metric: "whole" },
      says: "How high it is kept.",
      takes: (system) => ({ takes: "number", limits: amount, example: system === "us" ? 2 : 50 }),
    },
  },
});

/** One watering, as deep as is usual. */
const watered = <const N extends string, const S extends string>(
  name: N,
  says: S,
  us: number,
  metric: number,
) =>
  ({
    name,
    unit: "rainDepth",
    holds: "number",
    says,
    takes: (system: UnitSystem): Takes => ({
      takes: "number",
      limits: limitsOrNone("WATER_VOLUME", "depth"),
      example: system === "us" ? us : metric,
    }),
  }) as const;

/** How the schedule is reckoned, for the estimator to change. Each is written with what is usual, its example. */
export const schedule = figures({
  id: "schedule",
  sheet: "watering",
  figures: {
    light: watered("One light watering", "The water that keeps the seed moist.", 0.1, 2.5),
    timesADay: {
      name: "Light waterings a day",
      holds: "number",
      form: "whole",
      says: "How often it is given at first.",
      takes: (): Takes => ({ takes: "number", limits: wholeAmount, example: 2 }),
    },
    deep: watered("One deep watering, later on", "The water that young grass is given.", 0.5, 12),
    feeding: days("Next feeding after seeding", "When it is to be fed again.", 42),
    growth: days("From last seedlings to first mowing", "How long the last seedlings grow until then.", 10),
  },
});

/** How long the sprinklers run, a row for each zone in the order of Site. */
export const runTimes = table({
  id: "runTimes",
  sheet: "watering",
  columns: {
    zone: { name: "Zone", holds: "text", means: "zone", says: "The zone, from Site." },
    first: {
      name: "First seedlings",
      unit: () => "days",
      holds: "number",
      form: "whole",
      says: "When the first seedlings of its earliest grass are to be seen.",
    },
    last: {
      name: "Last seedlings",
      unit: () => "days",
      holds: "number",
      form: "whole",
      says: "When the last seedlings of its slowest grass are.",
    },
    height: {
      name: "Mowing height",
      unit: "rainDepth",
      holds: "number",
      form: { us: "one decimal", metric: "whole" },
      says: "How high its highest grass is kept.",
    },
    light: {
      name: "Light watering",
      unit: () => "minutes",
      holds: "number",
      form: "whole",
      says: "How long a light watering takes, where the zone was tested with catch cans.",
    },
    deep: {
      name: "Deep watering",
      unit: () => "minutes",
      holds: "number",
      form: "whole",
      says: "How long a deep watering takes, where the zone was tested with catch cans.",
    },
    volume: {
      name: "Light watering",
      unit: "waterVolume",
      holds: "number",
      form: "whole",
      says: "The water that a light watering takes.",
    },
  },
});

/** What the client is to do when. */
export const calendar = table({
  id: "calendar",
  sheet: "watering",
  rows: ["seeding", "firstSeedlings", "lastSeedlings", "deeper", "firstMowing", "mowed", "feeding"],
  columns: {
    what: { name: "What", holds: "text", says: "What happens." },
    date: { name: "Date", holds: "number", form: "date", says: "When, once the seeding day is set." },
    day: { name: "", holds: "number", says: "Days after seeding." },
    todo: { name: "What to do", holds: "text", says: "What the client does about it." },
  },
});

export type CalendarDay = (typeof calendar.rows)[number];
