/**
 * Which column each argument of a function is taken from, where the function can be given one value from each of a
 * row's cells: the one about what the parameter is called by, or another one that is said here. The tests miss a
 * function without words for one of its parameters.
 */
import { catalogue } from "../../engine/catalogue";
import type { WorksheetFunction } from "../../engine/formula";
import { givesOneValue } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { unitsParameter } from "../../engine/parameters";
import type { Concept, Meaning } from "./concepts";
import { meaningNamed } from "./concepts";

/** By function and parameter, where that is not the concept of the parameter's own name. */
export const columnFor: Readonly<Record<string, Readonly<Record<string, Concept>>>> = {
  EDGE_AREA: { perimeter: "edge", width: "stripWidth" },
  SEED_WEIGHT: { rate: "seedRate" },
  SEED_DENSITY: { rate: "seedRate" },
  NUTRIENT_RATE: { weight: "fertiliserWeight" },
  NOZZLE_VOLUME: { width: "nozzleSpacing" },
  TOPDRESS_VOLUME: { depth: "layer" },
  TOPDRESS_BAGS: { depth: "layer" },
  PACKS: { pack: "packSize" },
  HOPPER_LOADS: { amount: "need", capacity: "hopper" },
  DELIVERED_RATE: { caught: "caughtWeight", width: "testWidth", distance: "testDistance" },
  RUN_TIME: { depth: "waterDepth" },
  WATER_VOLUME: { depth: "waterDepth" },
  REFERENCE_ET: { t_min: "lowestTemperature", t_max: "highestTemperature" },
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

/** The concept that is named as a parameter is: `pureLiveSeed` for `pure_live_seed`. */
export const conceptNamedAs = ({ id }: Parameter): Concept | undefined =>
  meaningNamed(id.replace(/_[a-z]/g, ([, letter = ""]) => letter.toUpperCase()))?.id;

/** What a column is about that an argument is taken from. */
export const conceptFor = ({ id }: WorksheetFunction, parameter: Parameter): Concept | undefined =>
  columnFor[id]?.[parameter.id] ?? conceptNamedAs(parameter);

const taken = new Set(rowFunctions.flatMap((one) => argumentsOf(one).map((each) => conceptFor(one, each))));

/** Whether any function takes a column of it. */
export const isTaken = ({ id }: Meaning): boolean => taken.has(id);
