/** What Site holds, as it is declared: the zones of a property, a row each, and what its place asks for. */
import type { UnitSystem } from "../../../engine/units";
import { areaColumn, seedRateColumn } from "../declare/common";
import type { Declared, Held } from "../declare/declared";
import { figures } from "../declare/figures";
import type { ColumnId } from "../declare/table";
import { partName, table } from "../declare/table";
import type { Takes } from "../entry";
import { lesserPart, limitsOf, limitsOrNone } from "../entry";
import { choicesOf } from "../kit";

const elsewise = "Leave it empty if the zone is measured another way.";
const untested = "Leave it empty where no test with catch cans was made.";

const bySystem = (system: UnitSystem, us: number, metric: number): number => (system === "us" ? us : metric);

/** A measure of a zone, of which each way of measuring takes some. */
const measure =
  (us: number, metric: number, limits = limitsOf("EDGE_AREA", "perimeter"), empty = elsewise) =>
  (system: UnitSystem): Takes => ({ takes: "number", limits, example: bySystem(system, us, metric), empty });

/** A column of Site says how wide it is: no other table stands above or below it. */
type SiteColumn = Declared & { readonly width: number };

/** What is filled in of a zone, in this order. */
const filledIn = {
  name: {
    width: 18,
    name: "Zone",
    holds: "text",
    means: "zone",
    form: "text",
    says: "What a part of the lawn is called, on every sheet.",
  },
  purpose: {
    width: 11,
    name: "Purpose",
    holds: "text",
    means: "purpose",
    says: "New ground or overseeding, which decides the published rate.",
    takes: () => ({
      takes: "choice",
      choices: choicesOf("SEED_RATE", "purpose"),
      empty: "An empty cell is read as new ground.",
    }),
  },
  grass: {
    width: 18,
    name: "Grass",
    holds: "text",
    means: "grass",
    says: "The grass that is to grow there.",
    takes: () => ({
      takes: "choice",
      choices: choicesOf("SEED_RATE", "grass"),
      empty: "Leave it empty for another grass and type its seeding rate.",
    }),
  },
  measured: {
    width: 12,
    name: "How measured",
    holds: "text",
    means: "measured",
    says: "The shape by which the area is worked out.",
    takes: () => ({
      takes: "choice",
      choices: ["typed", "rectangle", "circle", "triangle", "strip", "outline"],
    }),
  },
  length: {
    width: 11,
    name: "Length, base or diameter",
    unit: "length",
    holds: "number",
    says: "The longer measure of a rectangle, strip or triangle; the diameter of a circle.",
    takes: measure(64, 20),
  },
  width: {
    width: 10,
    name: "Width or height",
    unit: "length",
    holds: "number",
    says: "The other measure of a rectangle or triangle.",
    takes: measure(52, 16),
  },
  stripWidth: {
    width: 9,
    name: "Strip width",
    unit: "stripWidth",
    holds: "number",
    says: "How wide a strip is.",
    takes: measure(36, 90, limitsOf("EDGE_AREA", "width")),
  },
  insideCorners: {
    width: 9,
    name: "Inside corners",
    holds: "number",
    says: "Corners that a strip turns around, where it would be counted twice.",
    takes: () => ({
      takes: "number",
      limits: limitsOf("EDGE_AREA", "corners"),
      example: 4,
      empty: "An empty cell is read as no corners.",
    }),
  },
  typedArea: {
    width: 10,
    name: "Typed area",
    unit: "area",
    holds: "number",
    says: "An area that is known.",
    takes: measure(4200, 390, limitsOf("SEED_WEIGHT", "area")),
  },
  leftOut: {
    width: 11,
    name: "Left out: beds, paving",
    unit: "area",
    holds: "number",
    says: "What lies within the shape and is no lawn.",
    takes: measure(120, 11, limitsOf("SEED_WEIGHT", "area"), "Leave it empty if nothing is left out."),
  },
  typedEdge: {
    width: 11,
    name: "Edge to walk, if typed",
    unit: "length",
    holds: "number",
    means: "edge",
    says: "The length of the edge, where it is not that of the shape.",
    takes: measure(
      266,
      81,
      limitsOf("EDGE_AREA", "perimeter"),
      "Leave it empty to take the edge of the shape.",
    ),
  },
  plusMinus: {
    width: 10,
    name: "Measured to ±",
    holds: "number",
    form: "per cent",
    says: "The share by which the area may be wrong.",
    takes: () => ({
      takes: "share",
      limits: lesserPart,
      example: 0.02,
      empty: "An empty cell is read as exact.",
    }),
  },
  typedRate: {
    width: 13,
    name: "Seeding rate, if typed",
    unit: "spreadRate",
    holds: "number",
    means: "seedRate",
    says: "A seeding rate that takes the place of the published one.",
    takes: measure(
      7,
      35,
      limitsOrNone("SEED_WEIGHT", "rate"),
      "Leave it empty for the published rate of the grass.",
    ),
  },
  sprinklerRate: {
    width: 11,
    name: "Sprinkler rate",
    unit: (unit) => `${unit("rainDepth")} per h`,
    holds: "number",
    says: "The depth of water an hour, from a test with catch cans.",
    takes: measure(0.6, 15, limitsOrNone("RUN_TIME", "application_rate"), untested),
  },
  uniformity: {
    width: 10,
    name: "Sprinkler evenness",
    holds: "number",
    form: "per cent",
    says: "How evenly the sprinklers water, from the same test.",
    takes: () => ({
      takes: "share",
      limits: limitsOrNone("RUN_TIME", "uniformity"),
      example: 0.75,
      empty: untested,
    }),
  },
} as const satisfies Readonly<Record<string, SiteColumn>>;

/** What Site works out of it. */
const workedOut = {
  area: { ...areaColumn("The ground to be worked, from the shape less what is left out."), width: 11 },
  edge: {
    width: 11,
    name: "Edge to walk",
    unit: "length",
    holds: "number",
    means: "edge",
    form: "one decimal",
    says: "The edge that the drop spreader is walked along.",
  },
  areaAtMost: {
    width: 11,
    name: "Area at most",
    unit: "area",
    holds: "number",
    form: "one decimal",
    says: "The area with what it may be wrong by.",
  },
  seedRate: {
    ...seedRateColumn("The rate that seed is worked out by: typed, or published for the grass."),
    width: 12,
  },
  missing: {
    width: 26,
    name: "Still to do",
    holds: "text",
    says: "What the zone lacks before it can be worked out.",
  },
} as const satisfies Readonly<Record<string, SiteColumn>>;

/** The zones of a property, a row each. */
export const zones = table({
  id: "zones",
  sheet: "site",
  isOpen: true,
  rows: ["all"],
  columns: { ...filledIn, ...workedOut },
});

export type SiteField = ColumnId<typeof zones>;
export type WorkedOutField = keyof typeof workedOut;
type FilledInField = keyof typeof filledIn;
export const filledInFields = Object.keys(filledIn) as readonly FilledInField[];
export const workedOutFields = Object.keys(workedOut) as readonly WorkedOutField[];

/** A zone of a job filled in. */
export type ZoneInput = Readonly<Record<"name" | "purpose" | "measured", string>> & {
  readonly [Field in FilledInField]?: Held<(typeof filledIn)[Field]>;
};

/** The name of the property's own cell, above everything else on Site. */
export const propertyName = partName("site", "property");

/** What a place asks for, beside the zones. */
export const rules = figures({
  id: "rules",
  sheet: "site",
  figures: {
    phosphorus: {
      name: "Local phosphorus rule",
      holds: "text",
      means: "phosphorusRule",
      form: "text",
      note: "Where there is one, in a few words: Checks reminds you of it.",
      says: "What local law says of phosphorus, in the estimator's words.",
    },
  },
});
