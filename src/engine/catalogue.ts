/** Every worksheet function, in the order of the job. */
import { deliveredRate } from "./crew/delivered-rate";
import { walkLength } from "./crew/walk-length";
import { workHours } from "./crew/work-hours";
import { edition } from "./edition/edition";
import { bagCoverage } from "./fertiliser/bag-coverage";
import { fertiliserWeight } from "./fertiliser/fertiliser-weight";
import { grade } from "./fertiliser/grade";
import { nutrientRate } from "./fertiliser/nutrient-rate";
import type { WorksheetFunction } from "./formula";
import { givesOneValue } from "./formula";
import { edgeArea } from "./measure/edge-area";
import { geoArea } from "./measure/geo-area";
import { geoPerimeter } from "./measure/geo-perimeter";
import { offsetArea } from "./measure/offset-area";
import { perimeter } from "./measure/perimeter";
import { polygonArea } from "./measure/polygon-area";
import { radialArea } from "./measure/radial-area";
import { eachRow } from "./order/each-row";
import { hopperLoads } from "./order/hopper-loads";
import { packMix } from "./order/pack-mix";
import { packs } from "./order/packs";
import { activeRate } from "./preemergent/active-rate";
import { granuleActiveRate } from "./preemergent/granule-active-rate";
import { labelDose } from "./preemergent/label-dose";
import { nozzleVolume } from "./preemergent/nozzle-volume";
import { seasonRoom } from "./preemergent/season-room";
import { sprayVolume } from "./preemergent/spray-volume";
import { tankLoads } from "./preemergent/tank-loads";
import { marginPrice } from "./price/margin-price";
import { pureLiveSeed } from "./seed/pure-live-seed";
import { seedDensity } from "./seed/seed-density";
import { seedMix } from "./seed/seed-mix";
import { seedRate } from "./seed/seed-rate";
import { seedWeight } from "./seed/seed-weight";
import { screenLoss } from "./topdress/screen-loss";
import { topdressBags } from "./topdress/topdress-bags";
import { topdressDepth } from "./topdress/topdress-depth";
import { topdressVolume } from "./topdress/topdress-volume";
import { catchUniformity } from "./water/catch-uniformity";
import { referenceEt } from "./water/reference-et";
import { runTime } from "./water/run-time";
import { waterVolume } from "./water/water-volume";

/** Every function of the add-in is called by this name before its own. */
export const namespace = "SWARD";

const inOrder: readonly WorksheetFunction[] = [
  polygonArea,
  perimeter,
  offsetArea,
  radialArea,
  edgeArea,
  geoArea,
  geoPerimeter,
  pureLiveSeed,
  seedRate,
  seedWeight,
  seedDensity,
  seedMix,
  grade,
  fertiliserWeight,
  nutrientRate,
  bagCoverage,
  labelDose,
  activeRate,
  granuleActiveRate,
  seasonRoom,
  tankLoads,
  sprayVolume,
  nozzleVolume,
  topdressVolume,
  topdressBags,
  topdressDepth,
  screenLoss,
  packs,
  packMix,
  hopperLoads,
  walkLength,
  deliveredRate,
  workHours,
  runTime,
  waterVolume,
  catchUniformity,
  referenceEt,
  marginPrice,
  edition,
];

/** EACH_ROW stands before the functions about the add-in itself. */
export const catalogue: readonly WorksheetFunction[] = [
  ...inOrder.filter(({ step }) => step !== "edition"),
  eachRow(inOrder.filter(givesOneValue)),
  ...inOrder.filter(({ step }) => step === "edition"),
];

const byId = new Map(catalogue.map((definition) => [definition.id, definition]));

/** The function of a name, with or without the namespace, in any letter case. */
export function functionNamed(name: string): WorksheetFunction | undefined {
  const id = name.toUpperCase();
  return byId.get(id.startsWith(`${namespace}.`) ? id.slice(namespace.length + 1) : id);
}
