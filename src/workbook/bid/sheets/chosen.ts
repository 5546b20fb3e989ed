/** What is chosen for the whole job, at the head of Quantities, and what follows from it: the figures as they are declared. */
import type { UnitSystem } from "../../../engine/units";
import type { FigureId } from "../declare/figures";
import { figures } from "../declare/figures";
import { table } from "../declare/table";
import type { Takes } from "../entry";
import { amount, inTheRecords, limitsOf, limitsOrNone, onTheLabel } from "../entry";

/** A measure of the tools or of the work; without it the step is left out. */
const sized =
  (id: string, parameter: string, us: number | typeof onTheLabel, metric: typeof us, empty: string) =>
  (system: UnitSystem): Takes => ({
    takes: "number",
    limits: limitsOrNone(id, parameter),
    example: system === "us" ? us : metric,
    empty,
  });

export const chosen = figures({
  id: "chosen",
  sheet: "quantities",
  figures: {
    buyFor: {
      name: "Reckon and buy for",
      holds: "text",
      says: "Whether needs follow the area as measured, or with what it may be wrong by.",
      takes: () => ({
        takes: "choice",
        choices: ["area as measured", "area at most"],
        empty: "An empty cell is read as the area as measured.",
      }),
    },
    seedLot: {
      name: "Seed lot",
      holds: "text",
      form: "text",
      says: "The lot of seed, by its name on Materials.",
    },
    pureLiveSeed: {
      name: "Pure live seed",
      holds: "number",
      form: "per cent",
      note: "with no tag figures the seeding rate is read as a bulk rate",
      says: "The share of the lot that will grow, from its tag.",
    },
    starter: {
      name: "Starter fertilizer",
      holds: "text",
      form: "text",
      says: "The starter, by its name on Materials.",
    },
    phosphateRate: {
      name: "Phosphate rate wanted",
      unit: "spreadRate",
      holds: "number",
      note: "P₂O₅; a soil test and local phosphorus rules decide",
      says: "The phosphate that the starter is dosed by.",
      takes: sized("FERTILISER_WEIGHT", "nutrient_rate", 1, 5, "Leave it empty for no starter."),
    },
    phosphate: {
      name: "Phosphate in the bag",
      unit: () => "P₂O₅",
      holds: "number",
      means: "phosphate",
      form: "per cent",
      says: "The share of phosphate, from the grade.",
    },
    starterRate: {
      name: "Product rate",
      unit: "spreadRate",
      holds: "number",
      form: "two decimals",
      says: "The starter that gives the phosphate wanted.",
    },
    carried: {
      name: "Active that the starter carries",
      unit: "activeRate",
      holds: "number",
      form: "four decimals",
      says: "The pre-emergent that goes down with the starter.",
    },
    preEmergent: {
      name: "Pre-emergent",
      holds: "text",
      means: "preEmergent",
      form: "text",
      says: "The spray, by its name on Materials.",
    },
    labelRate: {
      name: "Label rate used",
      unit: "labelRate",
      holds: "number",
      means: "labelRate",
      says: "The rate that the estimator took from the label.",
      takes: sized(
        "LABEL_DOSE",
        "label_rate",
        onTheLabel,
        onTheLabel,
        "Only your label says how much; empty for no spray.",
      ),
    },
    sprayVolume: {
      name: "Spray volume of the sprayer",
      unit: "sprayVolume",
      holds: "number",
      means: "sprayVolume",
      says: "The water that the sprayer puts out, as it was tried.",
      takes: sized(
        "TANK_LOADS",
        "spray_volume",
        43.56,
        400,
        "Leave it empty until the sprayer is tried out.",
      ),
    },
    tank: {
      name: "Tank",
      unit: "tank",
      holds: "number",
      says: "What the sprayer's tank holds.",
      takes: sized("TANK_LOADS", "tank", 4, 15, "Leave it empty for no tank loads."),
    },
    sprayed: {
      name: "Active that the spray delivers",
      unit: "activeRate",
      holds: "number",
      form: "four decimals",
      says: "The pre-emergent that goes down with the spray.",
    },
    applied: {
      name: "Applied already this season",
      unit: "activeRate",
      holds: "number",
      means: "applied",
      note: "of the same active, from your records",
      says: "What was applied before this job.",
      takes: () => ({
        takes: "number",
        limits: limitsOf("SEASON_ROOM", "applied"),
        example: inTheRecords,
        empty: "Leave it empty if there was none.",
      }),
    },
    seasonLimit: {
      name: "Season limit on the label",
      unit: "activeRate",
      holds: "number",
      means: "seasonLimit",
      form: "four decimals",
      says: "The most of the active that the label allows in a season.",
    },
    room: {
      name: "Room left this season",
      unit: "activeRate",
      holds: "number",
      form: "four decimals",
      note: "starter and spray of one active are counted together",
      says: "What the season limit leaves after starter, spray and what was applied before.",
    },
    verdict: {
      name: "Season limit",
      holds: "text",
      means: "seasonLimit",
      says: "Whether the season limit is kept, in a word.",
    },
    topdressing: {
      name: "Topdressing",
      holds: "text",
      means: "topdressing",
      form: "text",
      says: "The topdressing, by its name on Materials.",
    },
    depth: {
      name: "Depth",
      unit: "depth",
      holds: "number",
      says: "How deep the topdressing is to lie.",
      takes: sized("TOPDRESS_BAGS", "depth", 0.25, 6, "Leave it empty for no topdressing."),
    },
    screenLoss: {
      name: "Screen loss",
      holds: "number",
      means: "screenLoss",
      form: "per cent",
      says: "The share that stays on the screen, from Materials.",
    },
    swell: {
      name: "Swell",
      holds: "number",
      form: "two decimals",
      note: "loose volume per volume printed on the bag",
      says: "How much a bag gains when it is opened, from Materials.",
    },
    conditioner: {
      name: "Soil conditioner",
      holds: "text",
      form: "text",
      says: "The conditioner, by its name on Materials.",
    },
    conditionerRate: {
      name: "Conditioner rate",
      unit: "spreadRate",
      holds: "number",
      form: "two decimals",
      says: "Its rate, from Materials.",
    },
    conditionerDays: {
      name: "Days before it is repeated",
      holds: "number",
      means: "repeatDays",
      form: "whole",
      says: "Its interval, from Materials.",
    },
    dropWidth: {
      name: "Drop spreader, width",
      unit: "stripWidth",
      holds: "number",
      note: "the strip along the edges; without it all is broadcast",
      says: "The width that the drop spreader covers along the edges.",
      takes: sized("EDGE_AREA", "width", 22, 55, "Leave it empty and all is broadcast."),
    },
    swath: {
      name: "Broadcast spreader, swath",
      unit: "length",
      holds: "number",
      says: "The width that the broadcast spreader covers.",
      takes: sized("WALK_LENGTH", "swath", 8, 2.5, "Leave it empty for no length to walk."),
    },
    hopper: {
      name: "Hopper holds",
      unit: "weight",
      holds: "number",
      says: "What the spreader's hopper holds.",
      takes: sized("HOPPER_LOADS", "capacity", 40, 20, "Leave it empty for no count of fills."),
    },
    walkingPace: {
      name: "Walking pace",
      unit: (unit) => `${unit("length")} per min`,
      holds: "number",
      says: "How fast the spreader is walked.",
      takes: (system) => ({
        takes: "number",
        limits: amount,
        example: system === "us" ? 220 : 65,
        empty: "Leave it empty for no minutes.",
      }),
    },
  },
});
export type Figure = FigureId<typeof chosen>;

/** What is chosen from Materials, by name. */
export const chosenFrom = {
  seedLot: "seedLots",
  starter: "starters",
  preEmergent: "preEmergents",
  topdressing: "topdressings",
  conditioner: "conditioners",
} as const;
export type ChosenFigure = keyof typeof chosenFrom;

/** Beside the page: how many lines of Materials have the chosen name, and which is the first of them. */
export const chosenLines = table({
  id: "chosenLines",
  sheet: "quantities",
  rows: Object.keys(chosenFrom),
  columns: {
    found: {
      name: "Lines of that name",
      holds: "number",
      form: "whole",
      says: "How many lines of Materials have the chosen name.",
    },
    line: {
      name: "Line on Materials",
      holds: "number",
      form: "whole",
      says: "The first of them, counted from the head of its table.",
    },
  },
});
