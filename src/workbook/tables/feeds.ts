/**
 * Which column each argument of a function is taken from, where the function can be given one value from each of a
 * row's cells: by function and parameter, so that a function without words for one of its parameters is missed here.
 */
import { catalogue } from "../../engine/catalogue";
import type { WorksheetFunction } from "../../engine/formula";
import { givesOneValue } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { unitsParameter } from "../../engine/parameters";
import type { Concept, Meaning } from "./concepts";

export const columnFor: Readonly<Record<string, Readonly<Record<string, Concept>>>> = {
  EDGE_AREA: { perimeter: "edge", width: "stripWidth", corners: "corners" },
  PURE_LIVE_SEED: { purity: "purity", germination: "germination", dormant: "dormant" },
  SEED_RATE: { grass: "grass", purpose: "purpose", bound: "bound" },
  SEED_WEIGHT: { area: "area", rate: "seedRate", pure_live_seed: "pureLiveSeed" },
  SEED_DENSITY: { rate: "seedRate", seeds_per_weight: "seedsPerWeight", pure_live_seed: "pureLiveSeed" },
  GRADE: { grade: "grade", nutrient: "nutrient" },
  FERTILISER_WEIGHT: { area: "area", nutrient_rate: "nutrientRate", nutrient_share: "nutrientShare" },
  NUTRIENT_RATE: { weight: "fertiliserWeight", area: "area", nutrient_share: "nutrientShare" },
  BAG_COVERAGE: { bag_weight: "bagWeight", nutrient_rate: "nutrientRate", nutrient_share: "nutrientShare" },
  LABEL_DOSE: { area: "area", label_rate: "labelRate" },
  ACTIVE_RATE: { label_rate: "labelRate", concentration: "concentration" },
  GRANULE_ACTIVE_RATE: { product_rate: "productRate", active_share: "activeShare" },
  SPRAY_VOLUME: { collected: "collected", area: "area" },
  NOZZLE_VOLUME: { flow: "flow", speed: "speed", width: "nozzleSpacing" },
  TOPDRESS_VOLUME: { area: "area", depth: "layer" },
  TOPDRESS_BAGS: {
    area: "area",
    depth: "layer",
    bag_volume: "bagVolume",
    screen_loss: "screenLoss",
    swell: "swell",
  },
  TOPDRESS_DEPTH: {
    area: "area",
    bags: "bags",
    bag_volume: "bagVolume",
    screen_loss: "screenLoss",
    swell: "swell",
  },
  PACKS: { need: "need", pack: "packSize", short_allowed: "shortAllowed" },
  HOPPER_LOADS: { amount: "need", capacity: "hopper" },
  WALK_LENGTH: { area: "area", swath: "swath", directions: "directions" },
  DELIVERED_RATE: { caught: "caughtWeight", width: "testWidth", distance: "testDistance" },
  WORK_HOURS: { area: "area", pace: "pace", crew: "crew" },
  RUN_TIME: { depth: "waterDepth", application_rate: "applicationRate", uniformity: "uniformity" },
  WATER_VOLUME: { area: "area", depth: "waterDepth" },
  REFERENCE_ET: {
    t_min: "lowestTemperature",
    t_max: "highestTemperature",
    latitude: "latitude",
    day_of_year: "dayOfYear",
  },
  MARGIN_PRICE: { cost: "cost", margin: "margin" },
};

/** The functions that can be given one value from each of a row's cells. */
export const rowFunctions: readonly WorksheetFunction[] = catalogue.filter(
  (definition) =>
    givesOneValue(definition) &&
    definition.parameters.length > 0 &&
    definition.parameters.every(({ takes }) => takes === "number" || takes === "text"),
);

export const argumentsOf = ({ parameters }: WorksheetFunction): readonly Parameter[] =>
  parameters.filter((parameter) => parameter !== unitsParameter);

/** What a column is about that an argument is taken from. */
export const conceptFor = ({ id }: WorksheetFunction, parameter: Parameter): Concept | undefined =>
  columnFor[id]?.[parameter.id];

const taken = new Set(rowFunctions.flatMap((one) => argumentsOf(one).map((each) => conceptFor(one, each))));

/** Whether any function takes a column of it. */
export const isTaken = ({ id }: Meaning): boolean => taken.has(id);
