/** The set of sheets that carries a renovation from measuring to the job review, laid out but not yet written. */
import type { UnitSystem } from "../../engine/units";
import type { JobInput } from "./job";
import type { BidSheet, SheetNames } from "./kit";
import { bidSheetNames, Kit } from "./kit";
import type { SheetPlan } from "./plan";
import { planBidSheet } from "./sheets/bid";
import { planCrew } from "./sheets/crew";
import { planMaterials } from "./sheets/materials";
import { planOrder } from "./sheets/order";
import { outlineRanges, planOutlines } from "./sheets/outlines";
import { planQuantities } from "./sheets/quantities";
import { planRecord } from "./sheets/record";
import { planReview } from "./sheets/review";
import { planSite } from "./sheets/site";
import { planWatering } from "./sheets/watering";

export interface BidChoices {
  readonly system: UnitSystem;
  readonly property: string;
  /** The job filled in, or undefined for empty input cells. */
  readonly job: JobInput | undefined;
}

export type BidPlan = Readonly<Record<BidSheet, SheetPlan>>;

export function planBid({ system, property, job }: BidChoices, names: SheetNames = bidSheetNames): BidPlan {
  const kit = new Kit(system, property, job, names);
  const site = planSite(kit, outlineRanges(kit));
  const materials = planMaterials(kit);
  const quantities = planQuantities(kit, site, materials);
  const order = planOrder(kit, materials, quantities);
  return {
    site: site.plan,
    outlines: planOutlines(kit, site),
    materials: materials.plan,
    quantities: quantities.plan,
    order: order.plan,
    bid: planBidSheet(kit, quantities, order),
    crew: planCrew(kit, quantities, order),
    record: planRecord(kit, materials, quantities, order),
    watering: planWatering(kit, site, quantities, order),
    review: planReview(kit, quantities, order),
  };
}
