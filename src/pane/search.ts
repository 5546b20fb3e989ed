/** The functions in the order of the job, and which of them a search finds. */
import { catalogue } from "../engine/catalogue";
import type { JobStep, WorksheetFunction } from "../engine/formula";
import { jobSteps } from "../engine/formula";
import { nameOf } from "./words";

export interface Group {
  readonly step: JobStep;
  readonly heading: string;
  readonly functions: readonly WorksheetFunction[];
}

/** Lower case, and "fertilizer" finds "fertiliser". */
const folded = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase()
    .replace(/iz(?=[aei])/g, "is");

/** What the trade calls them besides, where neither name nor sentence says it. */
const alsoCalled: Readonly<Record<string, string>> = {
  POLYGON_AREA: "square feet coordinates survey",
  OFFSET_AREA: "square feet irregular bed trapezoid simpson",
  RADIAL_AREA: "square feet irregular",
  GEO_AREA: "gps map square feet",
  GEO_PERIMETER: "gps map",
  PURE_LIVE_SEED: "pls",
  SEED_WEIGHT: "pls overseed",
  SEED_RATE: "overseed lb per m",
  GRADE: "n-p-k npk analysis",
  BAG_COVERAGE: "square feet per bag",
  LABEL_DOSE: "herbicide",
  ACTIVE_RATE: "ai herbicide",
  GRANULE_ACTIVE_RATE: "ai herbicide",
  SEASON_ROOM: "annual yearly maximum",
  TANK_LOADS: "tank mix batch fill",
  SPRAY_VOLUME: "gpa carrier calibration",
  NOZZLE_VOLUME: "gpa gpm mph calibration",
  TOPDRESS_VOLUME: "cubic yards compost",
  TOPDRESS_BAGS: "compost",
  DELIVERED_RATE: "spreader calibration",
  WORK_HOURS: "man-hours labor production rate",
  RUN_TIME: "irrigation zone",
  WATER_VOLUME: "irrigation gallons",
  CATCH_UNIFORMITY: "du audit irrigation",
  REFERENCE_ET: "eto irrigation",
  MARGIN_PRICE: "gross markup profit",
};

const searchable = (definition: WorksheetFunction): string =>
  folded(
    [
      nameOf(definition),
      alsoCalled[definition.id] ?? "",
      definition.id.replaceAll("_", " "),
      definition.sentence,
      jobSteps[definition.step],
      definition.result.name,
      ...definition.parameters.map(({ id, about }) => `${id.replaceAll("_", " ")} ${about}`),
    ].join(" "),
  );

/** Groups with at least one function in which every word of the query occurs. */
export function groupsFor(query: string, all: readonly WorksheetFunction[] = catalogue): readonly Group[] {
  const words = folded(query).split(/\s+/).filter(Boolean);
  const found = all.filter((definition) => {
    const text = searchable(definition);
    return words.every((word) => text.includes(word));
  });
  return (Object.keys(jobSteps) as JobStep[])
    .map((step) => ({
      step,
      heading: jobSteps[step],
      functions: found.filter((definition) => definition.step === step),
    }))
    .filter(({ functions }) => functions.length > 0);
}
