/** What a column's head or a label is about, in the words that estimators and our own sheets use. */
import { quantityKinds } from "../../engine/units";
import type { UnitSystem } from "../../engine/units";

/** Each with the heads and labels it goes by, in lower case, up to the first comma, colon or bracket. */
const names = {
  zone: ["zone", "area name", "lawn", "section", "plot", "part of the lawn"],
  product: ["product", "material", "name", "item"],
  purpose: ["purpose", "kind of seeding", "kind of work"],
  grass: ["grass", "grass or mixture", "grass type", "species"],
  measured: ["how measured", "measured as"],
  area: ["area", "lawn area", "zone area", "area to seed", "area to treat", "area to cover"],
  edge: ["edge to walk", "edge", "perimeter", "length round"],
  seedRate: ["seeding rate", "seed rate"],
  seedWeight: ["seed in all", "seed to buy", "seed"],
  starterWeight: ["starter", "starter to buy"],
  phosphate: ["phosphate", "phosphate in the bag", "p2o5", "p₂o₅"],
  purity: ["pure seed", "purity"],
  germination: ["germination"],
  dormant: ["hard or dormant", "dormant", "hard seed", "dormant seed"],
  inert: ["inert matter", "inert"],
  weed: ["weed seed", "weeds"],
  otherCrop: ["other crop seed", "other crop", "crop seed", "other crops"],
  tested: ["tested on", "date tested", "test date", "date of test", "tested"],
  rateLow: ["lowest rate", "lowest label rate", "minimum rate"],
  rateHigh: ["highest rate", "highest label rate", "maximum rate"],
  labelRate: ["label rate used", "label rate"],
  leastVolume: ["least spray volume", "minimum spray volume"],
  sprayVolume: ["spray volume of the sprayer", "spray volume"],
  seasonLimit: ["season limit on the label", "season limit", "season limit of the active"],
  applied: ["applied already this season", "applied already"],
  active: ["active", "active it carries", "active ingredient"],
  grasses: ["grasses it allows", "grasses on the label", "grasses the label allows"],
  repeatDays: ["days before a repeat", "days before it is repeated", "repeat interval"],
  lastApplied: ["last applied on", "last applied", "last application", "applied last on"],
  appliedOn: ["applied on", "date applied", "date of application"],
  seedingDay: ["seeding day", "date of seeding"],
  preEmergent: ["pre-emergent", "pre-emergent used"],
  topdressing: ["topdressing", "topdressing material"],
  screenLoss: ["screen loss"],
  need: ["need", "needed"],
  packSize: ["pack size", "size of pack", "pack", "bag size"],
  packs: ["packs", "packs to buy", "packs ordered", "bags ordered", "bags to buy"],
  bought: ["bought", "ordered"],
  inStock: ["in stock", "stock"],
  phosphorusRule: ["local phosphorus rule", "phosphorus rule"],
} as const satisfies Record<string, readonly string[]>;

export type Concept = keyof typeof names;

const byName = new Map<string, Concept>(
  (Object.entries(names) as [Concept, readonly string[]][]).flatMap(([concept, all]) =>
    all.map((name) => [name, concept] as const),
  ),
);

/** Concepts that are told in words; all others are figures. */
const inWords: ReadonlySet<Concept> = new Set<Concept>([
  "zone",
  "product",
  "purpose",
  "grass",
  "measured",
  "active",
  "grasses",
  "preEmergent",
  "topdressing",
  "phosphorusRule",
]);

export const isInWords = (concept: Concept): boolean => inWords.has(concept);

/** What a head or a label is about, or nothing that is known here. */
export const conceptOf = (text: string): Concept | undefined =>
  byName.get((text.split(/[,(:]/)[0] ?? "").trim().toLowerCase());

const unitTexts = (system: UnitSystem): readonly string[] =>
  Object.values(quantityKinds).map((kind) => kind[system].text);
const both = new Set(unitTexts("us").filter((text) => unitTexts("metric").includes(text)));
const spelt = { us: ["sq ft", "ft2", "sqft"], metric: ["sq m", "m2"] } as const;

const unitsOf = (system: UnitSystem): ReadonlySet<string> =>
  new Set([...unitTexts(system).filter((text) => !both.has(text)), ...spelt[system]]);
const units = { us: unitsOf("us"), metric: unitsOf("metric") } as const;

/** The unit system that a head tells by the unit after its comma or in its brackets, if it does. */
export function systemIn(text: string): UnitSystem | undefined {
  const before = Math.max(text.lastIndexOf(","), text.lastIndexOf("("));
  if (before < 0) return undefined;
  const unit = text
    .slice(before + 1)
    .replace(/\)$/, "")
    .trim();
  return units.us.has(unit) ? "us" : units.metric.has(unit) ? "metric" : undefined;
}

const allUnits = new Set([...unitTexts("us"), ...unitTexts("metric")]);

/** Whether a text is one of the units that figures are told in. */
export const isUnit = (text: string): boolean => allUnits.has(text);
