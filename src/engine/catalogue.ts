/** Every worksheet function, in the order of the job. */
import { edition } from "./edition/edition";
import { fertiliserWeight } from "./fertiliser/fertiliser-weight";
import { grade } from "./fertiliser/grade";
import type { WorksheetFunction } from "./formula";
import { edgeArea } from "./measure/edge-area";
import { perimeter } from "./measure/perimeter";
import { polygonArea } from "./measure/polygon-area";
import { packs } from "./order/packs";
import { activeRate } from "./preemergent/active-rate";
import { granuleActiveRate } from "./preemergent/granule-active-rate";
import { labelDose } from "./preemergent/label-dose";
import { seasonRoom } from "./preemergent/season-room";
import { marginPrice } from "./price/margin-price";
import { pureLiveSeed } from "./seed/pure-live-seed";
import { seedWeight } from "./seed/seed-weight";
import { screenLoss } from "./topdress/screen-loss";
import { topdressBags } from "./topdress/topdress-bags";
import { topdressVolume } from "./topdress/topdress-volume";

/** Every function of the add-in is called by this name before its own. */
export const namespace = "SWARD";

export const catalogue: readonly WorksheetFunction[] = [
  polygonArea,
  perimeter,
  edgeArea,
  pureLiveSeed,
  seedWeight,
  grade,
  fertiliserWeight,
  labelDose,
  activeRate,
  granuleActiveRate,
  seasonRoom,
  topdressVolume,
  topdressBags,
  screenLoss,
  packs,
  marginPrice,
  edition,
];

const byId = new Map(catalogue.map((definition) => [definition.id, definition]));

/** The function of a name, with or without the namespace, in any letter case. */
export function functionNamed(name: string): WorksheetFunction | undefined {
  const id = name.toUpperCase();
  return byId.get(id.startsWith(`${namespace}.`) ? id.slice(namespace.length + 1) : id);
}
