/** What to buy, over all zones together, and below it, for the estimator alone, what the job costs and is sold for. */
import type { WorkStep } from "../job";
import type { Kit } from "../kit";
import type { SheetPlan } from "../plan";
import { planAlternates } from "./alternates";
import type { Term } from "./costs";
import { planSteps, planTerms } from "./costs";
import type { MaterialRefs } from "./materials";
import { planPurchases } from "./purchases";
import type { QuantityRefs } from "./quantities";
import type { Bought } from "./steps";

export interface OrderRefs {
  readonly plan: SheetPlan;
  readonly term: (term: Term) => string;
  /** A material's name, need, packs of one of three sizes, a pack's size, all of it bought. */
  readonly material: (which: Bought) => {
    readonly name: string;
    readonly need: string;
    readonly packs: readonly string[];
    readonly sizes: readonly string[];
    readonly bought: string;
    readonly inStock: string;
  };
  readonly step: (step: WorkStep) => {
    readonly area: string;
    readonly hours: string;
    readonly price: string;
  };
  readonly price: string;
  readonly taxed: string;
  readonly option: (index: number) => { readonly name: string; readonly taxed: string };
  readonly hours: string;
}

const places = [1, 2, 3] as const;

export function planOrder(kit: Kit, materials: MaterialRefs, quantities: QuantityRefs): OrderRefs {
  const plan = kit.sheet("order", "Whole packs, each material packed once for the whole job.");
  const purchases = planPurchases(kit, plan, materials, quantities);
  const { totals } = purchases;
  plan.put(
    totals + 3,
    1,
    "For the estimator, to fill in the boxed cells: from here on nothing is printed",
    "heading",
  );
  const terms = planTerms(kit, plan, totals + 4);
  const term = (which: Term) => terms.fixed(which);
  const steps = planSteps(kit, plan, terms.end + 2, term, quantities, purchases);
  const option = planAlternates(kit, plan, steps.end + 4, { term, quantities, purchases, steps });
  plan.widths = [
    32, 17, 7, 20, 12, 10, 10, 10, 10, 11, 10, 11, 10, 9, 9, 10, 10, 11, 24, 30, 3, 11, 11, 11, 11, 11, 11,
    11, 11, 11, 11,
  ];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return {
    plan,
    term: (which) => terms.cell(which),
    material: (which) => {
      const at = (id: Parameters<typeof purchases.placed.cell>[0]) =>
        purchases.placed.cell(id, purchases.row(which));
      return {
        name: at("material"),
        need: at("need"),
        sizes: places.map((n) => at(`size${n}`)),
        packs: places.map((n) => at(`packs${n}`)),
        bought: at("bought"),
        inStock: at("stock"),
      };
    },
    step: (step) => {
      const at = (id: "area" | "hours" | "price") => steps.placed.cell(id, steps.row(step));
      return { area: at("area"), hours: at("hours"), price: at("price") };
    },
    hours: steps.placed.cell("hours", steps.end),
    price: steps.placed.cell("price", steps.end),
    taxed: steps.placed.cell("price", steps.end + 1),
    option,
  };
}
