/** What to buy, over all zones together, and below it, for the estimator alone, what the job costs and is sold for. */
import type { PlannedSheets } from "../bid-sheets";
import type { Sheet } from "../declare/sheet";
import type { WorkStep } from "../job";
import type { Kit } from "../kit";
import type { SheetPlan } from "../plan";
import { planAlternates, wayMaterials, wayPrices, ways, waySearch } from "./alternates";
import type { Term } from "./costs";
import { planSteps, planTerms, steps, terms } from "./costs";
import { packSearch, planPurchases, purchases } from "./purchases";
import type { Bought } from "./steps";

export interface OrderRefs {
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

function planOrder(kit: Kit, plan: SheetPlan, { materials, quantities }: PlannedSheets): OrderRefs {
  const packed = planPurchases(kit, plan, materials, quantities);
  const { totals } = packed;
  plan.put(
    totals + 3,
    1,
    "For the estimator, to fill in the boxed cells: from here on nothing is printed",
    "heading",
  );
  const set = planTerms(kit, plan, totals + 4);
  const term = (which: Term) => set.fixed(which);
  const work = planSteps(kit, plan, set.end + 2, term, quantities, packed);
  const option = planAlternates(kit, plan, work.end + 4, {
    term,
    quantities,
    purchases: packed,
    steps: work,
  });
  plan.widths = [
    32, 17, 7, 20, 12, 10, 10, 10, 10, 11, 10, 11, 10, 9, 9, 10, 10, 11, 24, 30, 3, 11, 11, 11, 11, 11, 11,
    11, 11, 11, 11,
  ];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return {
    term: (which) => set.cell(which),
    material: (which) => {
      const at = (id: Parameters<typeof packed.placed.cell>[0]) => packed.placed.cell(id, packed.row(which));
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
      const at = (id: "area" | "hours" | "price") => work.placed.cell(id, work.row(step));
      return { area: at("area"), hours: at("hours"), price: at("price") };
    },
    hours: work.placed.cell("hours", work.end),
    price: work.placed.cell("price", work.end),
    taxed: work.placed.cell("price", work.end + 1),
    option,
  };
}

export const orderSheet: Sheet<OrderRefs> = {
  name: "Order",
  purpose: "Order: needs of all zones added up, then packed once",
  legend: "Whole packs, each material packed once for the whole job.",
  tab: "worked",
  tellsCosts: true,
  tables: [purchases, packSearch, steps, ways, wayPrices, wayMaterials, waySearch],
  figures: [terms],
  plan: planOrder,
};
