/** What the crew takes along, as it is declared: the day in order, what is filled under its steps, what each zone takes. */
import { areaColumn } from "../declare/common";
import { figures } from "../declare/figures";
import { table } from "../declare/table";
import type { NumberForm } from "../plan";

const took = <const N extends string, const F extends NumberForm, const S extends string>(
  name: N,
  form: F,
  says: S,
) => ({ name, holds: "number", form, says }) as const;

/** The day in order: each line to be ticked, with what it takes. */
export const day = table({
  id: "day",
  sheet: "crew",
  rows: [
    "water",
    "prepare",
    "edges",
    "firstDirection",
    "crossedDirection",
    "rake",
    "starter",
    "topdress",
    "conditioner",
    "preEmergent",
    "blowOff",
    "signs",
  ],
  columns: {
    tick: { name: "", holds: "text", says: "To tick when it is done." },
    step: { name: "Step", holds: "text", says: "What is to be done." },
    amount: took("Amount", "two decimals", "How much of the material it takes in all."),
    unit: { name: "Unit", holds: "text", says: "What that is measured in." },
    fills: took("Fills", "whole", "How often the hopper is filled."),
    inEach: took("In each", "two decimals", "What goes in each time."),
    walk: { ...took("Walk", "whole", "How far the spreader is walked."), unit: "length" },
    minutes: took("Minutes", "whole", "How long that takes."),
    hours: took("Crew hours", "one decimal", "How long the crew is at it."),
  },
});
export type DayStepId = (typeof day.rows)[number];

/** At the head of the page. */
export const shift = figures({
  id: "shift",
  sheet: "crew",
  figures: {
    day: took("Day", "date", "The seeding day."),
    crew: took("Crew", "whole", "How many people do the work."),
    hours: took("Hours", "one decimal", "How long the crew is at it in all."),
  },
});

/** What is filled and opened, under its step of the day. */
export const loads = figures({
  id: "loads",
  sheet: "crew",
  figures: {
    bags: {
      ...took("Bags to open", "one decimal", "The topdressing by the volume printed on its bags."),
      unit: (unit) => `${unit("bagVolume")} as printed on the bags`,
    },
    water: { ...took("Water in all", "two decimals", "The water that the sprayer puts out."), unit: "tank" },
    tanks: { ...took("Tank loads", "whole", "How often the tank is filled."), unit: () => "loads" },
    full: {
      ...took("Each full load", "two decimals", "The water in a tank that is filled."),
      unit: (unit) => `${unit("tank")} of water`,
    },
    fullProduct: {
      ...took("Product in each full load", "two decimals", "The product that goes into it."),
      unit: (unit) => `${unit("liquidDose")} of product`,
    },
    last: {
      ...took("Last load", "two decimals", "The water in the last tank."),
      unit: (unit) => `${unit("tank")} of water`,
    },
    lastProduct: {
      ...took("Product in the last load", "two decimals", "The product that goes into it."),
      unit: (unit) => `${unit("liquidDose")} of product`,
    },
  },
});

/** What each zone takes, a row each, in the order of Site. */
export const portions = table({
  id: "portions",
  sheet: "crew",
  columns: {
    tick: { name: "", holds: "text", says: "To tick when the zone is done." },
    zone: { name: "Zone", holds: "text", means: "zone", says: "The zone, from Site." },
    area: areaColumn("The ground of the zone."),
    seedStrip: {
      ...took("Edge strip", "two decimals", "Seed for its edges."),
      unit: (unit) => `${unit("weight")} seed`,
    },
    seedFirst: {
      ...took("Each direction", "two decimals", "Seed for either of the two crossed directions."),
      unit: (unit) => `${unit("weight")} seed`,
    },
    starter: {
      ...took("Starter", "two decimals", "Starter for the zone."),
      unit: "weight",
      means: "starterWeight",
    },
    spray: {
      ...took("Pre-emergent", "two decimals", "Product to spray on it."),
      unit: "liquidDose",
      means: "preEmergent",
    },
    topdressing: {
      ...took("Topdressing", "one decimal", "Loose topdressing for it."),
      unit: "bagVolume",
      means: "topdressing",
    },
    conditioner: { ...took("Conditioner", "two decimals", "Conditioner for it."), unit: "weight" },
  },
});
