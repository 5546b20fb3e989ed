/** The price book as it is declared: for each kind of material what the tag, the bag and the label say, stock and packs. */
import type { QuantityKind, UnitSystem } from "../../../engine/units";
import { inWords } from "../declare/common";
import type { Declared } from "../declare/declared";
import { table } from "../declare/table";
import type { Takes } from "../entry";
import { amount, lesserPart, limitsOf, limitsOrNone, onTheLabel, wholeAmount } from "../entry";
import { choicesOf } from "../kit";

/** A column that only the label which the estimator holds may fill. */
const onLabel = <const D extends Declared>(declared: D) => ({ ...declared, isFromLabel: true }) as const;

const figure =
  (id: string, parameter: string, us: number | typeof onTheLabel, metric: typeof us = us, empty?: string) =>
  (system: UnitSystem): Takes => ({
    takes: "number",
    limits: limitsOrNone(id, parameter),
    example: system === "us" ? us : metric,
    ...(empty === undefined ? {} : { empty }),
  });

const untold = "Leave it empty if the label does not say.";
const labelled = (id: string, parameter: string) => figure(id, parameter, onTheLabel, onTheLabel, untold);

const repeated = (example: number | typeof onTheLabel) => (): Takes => ({
  takes: "number",
  limits: wholeAmount,
  example,
  empty: "Leave it empty if it is not repeated.",
});

const share =
  (
    id: string,
    parameter: string,
    example: number | typeof onTheLabel,
    empty?: string,
    limits = limitsOrNone(id, parameter),
  ) =>
  (): Takes => ({ takes: "share", limits, example, ...(empty === undefined ? {} : { empty }) });

const name = {
  name: "Name",
  holds: "text",
  means: "product",
  form: "text",
  says: "What the material is called, to choose it by on Quantities.",
} as const;

const notOnSale = "Leave it empty if there is no such pack.";

const pack = <const N extends 1 | 2 | 3>(n: N, unit: QuantityKind) =>
  ({
    name: `Pack ${n}`,
    unit,
    holds: "number",
    says: `What pack ${n} holds.`,
    takes: figure("PACKS", "pack", 25, 25, notOnSale),
  }) as const;

const price = <const N extends 1 | 2 | 3>(n: N) =>
  ({
    name: `Price of pack ${n}`,
    holds: "number",
    form: "money",
    says: `What pack ${n} costs.`,
    takes: (): Takes => ({ takes: "money", limits: amount, example: 86, empty: notOnSale }),
  }) as const;

/** What every material has: stock, up to three packs with their prices, who sells it. */
const sold = (unit: QuantityKind) =>
  ({
    stock: {
      name: "In stock",
      unit,
      holds: "number",
      means: "inStock",
      says: "What is left from other jobs.",
      takes: () => ({
        takes: "number",
        limits: amount,
        example: 10,
        empty: "Leave it empty if there is none.",
      }),
    },
    size1: pack(1, unit),
    size2: pack(2, unit),
    size3: pack(3, unit),
    price1: price(1),
    price2: price(2),
    price3: price(3),
    supplier: inWords("Supplier", "Who sells it."),
  }) as const satisfies Readonly<Record<string, Declared>>;

/** So many columns stand between a material's name and its stock. */
const ownColumns = 8;
const section = <const C extends Readonly<Record<string, Declared>>>(
  id: string,
  own: C,
  unit: QuantityKind,
) =>
  table({
    id,
    sheet: "materials",
    isOpen: true,
    columns: { name, ...own, ...sold(unit) },
    gap: { before: "stock", columns: ownColumns - Object.keys(own).length },
  });

const seedLots = section(
  "seedLots",
  {
    grass: {
      name: "Grass",
      holds: "text",
      means: "grass",
      says: "The grass of the lot.",
      takes: () => ({ takes: "choice", choices: choicesOf("SEED_RATE", "grass") }),
    },
    lot: inWords("Lot on the tag", "The lot's number."),
    tested: {
      name: "Tested on",
      holds: "number",
      means: "tested",
      form: "date",
      says: "The date of the germination test on the tag.",
      takes: () => ({ takes: "date" }),
    },
    purity: {
      name: "Pure seed",
      holds: "number",
      means: "purity",
      form: "per cent",
      says: "The share of pure seed on the tag.",
      takes: share("PURE_LIVE_SEED", "purity", 0.97, "Leave it empty if the tag does not say."),
    },
    germination: {
      name: "Germination",
      holds: "number",
      means: "germination",
      form: "per cent",
      says: "The share that germinated.",
      takes: share(
        "PURE_LIVE_SEED",
        "germination",
        0.88,
        undefined,
        limitsOf("PURE_LIVE_SEED", "germination"),
      ),
    },
    dormant: {
      name: "Hard or dormant",
      holds: "number",
      means: "dormant",
      form: "per cent",
      says: "The share of hard or dormant seed.",
      takes: share("PURE_LIVE_SEED", "dormant", 0.05, undefined, limitsOf("PURE_LIVE_SEED", "dormant")),
    },
    pureLiveSeed: {
      name: "Pure live seed",
      holds: "number",
      form: "per cent",
      says: "The share that will grow, from the three before it.",
    },
    seedsPerWeight: {
      name: { us: "Seeds per lb", metric: "Seeds per kg" },
      holds: "number",
      form: "whole",
      says: "How many seeds a weight of it holds.",
      takes: figure("SEED_DENSITY", "seeds_per_weight", 250_000, 550_000),
    },
  },
  "weight",
);

const starters = section(
  "starters",
  {
    grade: inWords("Grade on the bag", "The three figures of the grade."),
    nitrogen: { name: "Nitrogen, N", holds: "number", form: "per cent", says: "From the grade." },
    phosphate: {
      name: "Phosphate, P₂O₅",
      holds: "number",
      means: "phosphate",
      form: "per cent",
      says: "From the grade.",
    },
    potash: { name: "Potash, K₂O", holds: "number", form: "per cent", says: "From the grade." },
    active: onLabel({
      name: "Active it carries",
      holds: "text",
      means: "active",
      form: "text",
      says: "The pre-emergent in the starter, where it carries one.",
    }),
    activeShare: onLabel({
      name: "Share of active",
      holds: "number",
      form: "fine per cent",
      says: "How much of the starter is the active.",
      takes: share(
        "GRANULE_ACTIVE_RATE",
        "active_share",
        onTheLabel,
        "Leave it empty if the starter carries none.",
      ),
    }),
  },
  "weight",
);

export const preEmergents = section(
  "preEmergents",
  {
    active: onLabel({
      name: "Active",
      holds: "text",
      means: "active",
      form: "text",
      says: "The active ingredient on the label.",
    }),
    rateLow: onLabel({
      name: "Lowest rate",
      unit: "labelRate",
      holds: "number",
      means: "rateLow",
      says: "The lowest rate on the label.",
      takes: labelled("LABEL_DOSE", "label_rate"),
    }),
    rateHigh: onLabel({
      name: "Highest rate",
      unit: "labelRate",
      holds: "number",
      means: "rateHigh",
      says: "The highest rate on the label.",
      takes: labelled("LABEL_DOSE", "label_rate"),
    }),
    concentration: onLabel({
      name: "Concentration",
      unit: "concentration",
      holds: "number",
      says: "How much active a measure of the product holds.",
      takes: labelled("ACTIVE_RATE", "concentration"),
    }),
    seasonLimit: onLabel({
      name: "Season limit",
      unit: "activeRate",
      holds: "number",
      means: "seasonLimit",
      says: "The most of the active that the label allows in a season.",
      takes: labelled("SEASON_ROOM", "season_limit"),
    }),
    leastVolume: onLabel({
      name: "Least spray volume",
      unit: "sprayVolume",
      holds: "number",
      means: "leastVolume",
      says: "The least water that the label asks for.",
      takes: labelled("TANK_LOADS", "spray_volume"),
    }),
    grasses: onLabel({
      name: "Grasses it allows",
      holds: "text",
      means: "grasses",
      form: "text",
      says: "The grasses that the label names.",
    }),
    repeatDays: onLabel({
      name: "Days before a repeat",
      holds: "number",
      means: "repeatDays",
      form: "whole",
      says: "The days that the label asks for before it is applied again.",
      takes: repeated(onTheLabel),
    }),
  },
  "liquidDose",
);

export const topdressings = section(
  "topdressings",
  {
    swell: {
      name: "Swell: loose per bag volume",
      holds: "number",
      says: "How much a bag gains when it is opened.",
      takes: figure("TOPDRESS_BAGS", "swell", 1.2, 1.2, "An empty cell is read as 1: it does not swell."),
    },
    screenLoss: {
      name: "Screen loss, from past jobs",
      holds: "number",
      means: "screenLoss",
      form: "per cent",
      says: "The share that stays on the screen.",
      takes: () => ({
        takes: "share",
        limits: lesserPart,
        example: 0.2,
        empty: "Leave it empty if nothing is screened out.",
      }),
    },
  },
  "bagVolume",
);

const conditioners = section(
  "conditioners",
  {
    rate: {
      name: "Rate",
      unit: "spreadRate",
      holds: "number",
      says: "How much is spread.",
      takes: (system) => ({ takes: "number", limits: amount, example: system === "us" ? 10 : 50 }),
    },
    repeatDays: {
      name: "Days before a repeat",
      holds: "number",
      means: "repeatDays",
      form: "whole",
      says: "The days before it is spread again.",
      takes: repeated(28),
    },
  },
  "weight",
);

export const priceBook = { seedLots, starters, preEmergents, topdressings, conditioners } as const;
export type Section = keyof typeof priceBook;
