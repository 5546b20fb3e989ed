/** The set of sheets that carries a renovation from measuring to the job review, laid out but not yet written. */
import type { UnitSystem } from "../../engine/units";
import { asFormula } from "../writing";
import type { BidSheet, PlannedSheets, SheetNames } from "./bid-sheets";
import { bidSheetNames, bidSheets, forEachSheet, sheetOfBid } from "./bid-sheets";
import type { JobInput } from "./job";
import { Kit } from "./kit";
import { SheetPlan } from "./plan";

export interface BidChoices {
  readonly system: UnitSystem;
  readonly property: string;
  /** The job filled in, or undefined for empty input cells. */
  readonly job: JobInput | undefined;
}

export type BidPlan = Readonly<Record<BidSheet, SheetPlan>>;

const boxed = "Boxed cells are yours to fill in; everything else is worked out from them.";

export function planBid({ system, property, job }: BidChoices, names: SheetNames = bidSheetNames): BidPlan {
  const kit = new Kit(system, property, job, names);
  const plans = forEachSheet((which) => new SheetPlan(names[which]));
  for (const which of bidSheets) planHead(kit, plans, which);
  planSheets(kit, plans);
  return plans;
}

/** The head of a sheet: property, what the sheet is, how to read it. */
function planHead(kit: Kit, plans: BidPlan, which: BidSheet): void {
  const { purpose, legend = boxed } = sheetOfBid(which);
  const title = which === "site" ? kit.property : asFormula(`${plans.site.at(1, 1)}&""`);
  const plan = plans[which];
  plan.put(1, 1, title, "title", { form: "text" });
  plan.put(2, 1, purpose, "purpose");
  plan.put(3, 1, legend, "legend");
}

/** Lays each sheet out once: a sheet that another one asks for before that one. */
function planSheets(kit: Kit, plans: BidPlan): void {
  const begun = new Set<BidSheet>();
  const planned = new Map<BidSheet, unknown>();
  const planOne = (which: BidSheet): unknown => {
    if (planned.has(which)) return planned.get(which);
    if (begun.has(which)) throw new Error(`The sheet ${which} of a bid refers to what is laid out after it.`);
    begun.add(which);
    planned.set(which, sheetOfBid(which).plan(kit, plans[which], others));
    return planned.get(which);
  };
  const asked = forEachSheet((which) => ({ get: () => planOne(which) }));
  const others = Object.defineProperties({}, asked) as PlannedSheets;
  for (const which of bidSheets) planOne(which);
}
