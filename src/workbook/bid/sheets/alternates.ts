/** Other ways to do the job, each with its own seeding and so many times each step, packed and priced anew. */
import { inWords } from "../declare/common";
import { PlacedTable, table } from "../declare/table";
import type { Takes } from "../entry";
import { amount } from "../entry";
import { workSteps } from "../job";
import type { WorkStep } from "../job";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import { blockHere } from "../plan";
import type { SheetPlan } from "../plan";
import type { StepRefs, Term } from "./costs";
import { priced } from "./costs";
import type { PurchaseRefs } from "./purchases";
import { bySizes, planMix, searchLeft } from "./purchases";
import type { QuantityRefs } from "./quantities";
import type { Bought } from "./steps";
import { bought, stepNames } from "./steps";

export const options = [
  "Overseeding only",
  "Full renovation",
  "Renovation with a second topdressing",
] as const;

const times = (step: WorkStep) =>
  ({
    name: stepNames[step],
    holds: "number",
    says: "How often this way does the step.",
    takes: (): Takes => ({
      takes: "number",
      limits: amount,
      example: 1,
      empty: "It counts how often this way does the step; 0 or empty leaves it out.",
    }),
  }) as const;

export const ways = table({
  id: "ways",
  sheet: "order",
  gap: { before: "seeding", columns: 2 },
  columns: {
    option: inWords("Option", "What the way is called."),
    seeding: {
      name: "Seeding",
      holds: "text",
      says: "Whether it seeds as the bid does.",
      takes: () => ({ takes: "choice", choices: ["as bid", "overseed", "new"] }),
    },
    prepare: times("prepare"),
    seed: times("seed"),
    starter: times("starter"),
    preEmergent: times("preEmergent"),
    topdress: times("topdress"),
    conditioner: times("conditioner"),
    finish: times("finish"),
  },
});

const money = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "number", form: "money", says }) as const;

export const wayPrices = table({
  id: "wayPrices",
  sheet: "order",
  gap: { before: "materials", columns: 2 },
  columns: {
    option: { name: "Option, worked out", holds: "text", says: "What the way is called." },
    materials: money("Materials", "What its materials cost."),
    labour: money("Labor", "What its hours cost."),
    equipment: money("Equipment", "What its machines cost."),
    loaded: money("With overhead", "The three with overhead."),
    price: money("Price", "What it is sold for."),
    taxed: money("Price with tax", "The same with tax."),
  },
});

export const wayMaterials = table({
  id: "wayMaterials",
  sheet: "order",
  columns: {
    option: { name: "Materials of the options", holds: "text", says: "The way that it is bought for." },
    step: { name: "For", holds: "text", says: "The step of the work." },
    unit: { name: "Unit", holds: "text", says: "What it is measured in." },
    toBuy: { name: "To buy", holds: "number", form: "two decimals", says: "Its need less the stock." },
    cost: money("Cost", "What its packs cost."),
  },
});

const mixed = <const N extends 1 | 2 | 3>(n: N) =>
  ({
    name: `Cheapest mix, packs ${n}`,
    holds: "number",
    form: "whole",
    says: "How many of the pack cost least in all.",
  }) as const;

export const waySearch = table({
  id: "waySearch",
  sheet: "order",
  // Under the search of the bid's own packs.
  gap: { before: "mix1", columns: 6, isBare: true },
  columns: {
    need: {
      name: "Searched need",
      holds: "number",
      form: "two decimals",
      says: "What is to be bought, or nothing where no pack is on sale.",
    },
    mix1: mixed(1),
    mix2: mixed(2),
    mix3: mixed(3),
  },
});

const usualTimes: readonly (readonly number[])[] = [
  [1, 1, 1, 1, 0, 1, 1],
  [1, 1, 1, 1, 1, 1, 1],
  [1, 1, 1, 1, 2, 1, 1],
];
const usualSeeding = ["overseed", "new", "as bid"];

interface AlternateTables {
  readonly given: PlacedTable<typeof ways>;
  readonly worked: PlacedTable<typeof wayPrices>;
  readonly packed: PlacedTable<typeof wayMaterials>;
  readonly searched: PlacedTable<typeof waySearch>;
}

interface OrderParts {
  readonly term: (term: Term) => string;
  readonly quantities: QuantityRefs;
  readonly purchases: PurchaseRefs;
  readonly steps: StepRefs;
}

/** Answers with the name and the price with tax of each, for other sheets. */
export function planAlternates(
  kit: Kit,
  plan: SheetPlan,
  from: number,
  parts: OrderParts,
): (index: number) => { readonly name: string; readonly taxed: string } {
  plan.put(from, 1, "Other ways to do the job: how often each step is done", "heading");
  const heads = { given: from + 1, worked: from + 7, packed: from + 13 };
  const tables: AlternateTables = {
    given: new PlacedTable(kit, plan, ways, heads.given),
    worked: new PlacedTable(kit, plan, wayPrices, heads.worked),
    packed: new PlacedTable(kit, plan, wayMaterials, heads.packed),
    searched: new PlacedTable(kit, plan, waySearch, heads.packed, searchLeft),
  };
  tables.given.heads();
  tables.worked.heads();
  tables.packed.heads();
  tables.searched.heads();
  options.forEach((name, i) => planAlternate(kit, tables, i, name, parts));
  tables.given.known(heads.given + options.length);
  tables.worked.known(heads.worked + options.length);
  tables.packed.known(heads.packed + options.length * bought.length);
  tables.searched.known(heads.packed + options.length * bought.length);
  const row = (index: number) => heads.worked + 1 + index;
  return (index) => ({
    name: tables.worked.cell("option", row(index)),
    taxed: tables.worked.cell("taxed", row(index)),
  });
}

function planAlternate(
  kit: Kit,
  { given, worked, packed, searched }: AlternateTables,
  i: number,
  name: string,
  { term, quantities, purchases, steps }: OrderParts,
): void {
  const [row, price, first] = [given.head + 1 + i, worked.head + 1 + i, packed.head + 1 + i * bought.length];
  given.input("option", row, name);
  const seed = given.input("seeding", row, usualSeeding[i], { align: "right" });
  workSteps.forEach((step, at) => given.input(step, row, usualTimes[i]?.[at]));
  const timesOf = (step: WorkStep) => given.at(step, row);
  bought.forEach((which, n) => {
    const needed = purchases.placed.at("need", purchases.row(which));
    const once =
      which === "seed"
        ? `IF(${seed}="overseed",${quantities.total("ifOverseed")},IF(${seed}="new",${quantities.total("ifNew")},${needed}))`
        : needed;
    const need = `${timesOf(which)}*${once}`;
    planPacks(kit, packed, searched, purchases, first + n, which, need, given.at("option", row));
  });
  const added = (which: "labour" | "equipment") =>
    workSteps
      .map((step) => {
        const at = (id: "area" | typeof which) => steps.placed.at(id, steps.row(step));
        return `${timesOf(step)}*${whereSet(at("area"), at(which))}`;
      })
      .join("+");
  worked.formula("option", price, `${given.at("option", row)}&""`, "label");
  worked.result("materials", price, `SUM(${packed.here("cost", first, first + bought.length - 1)})`);
  worked.result("labour", price, added("labour"));
  worked.result("equipment", price, added("equipment"));
  const three = blockHere(price, worked.column("materials"), price, worked.column("equipment"));
  worked.result("loaded", price, `SUM(${three})*(1+${term("overhead")})`);
  worked.result("price", price, `ROUND(${priced(kit, worked.at("loaded", price), term("margin"))},2)`);
  worked.result("taxed", price, `ROUND(${worked.at("price", price)}*(1+${term("tax")}),2)`);
}

/** What a material costs in one of the ways: its need less the stock, packed anew. */
function planPacks(
  kit: Kit,
  packed: PlacedTable<typeof wayMaterials>,
  searched: PlacedTable<typeof waySearch>,
  purchases: PurchaseRefs,
  row: number,
  which: Bought,
  need: string,
  option: string,
): void {
  const material = purchases.row(which);
  const { sizes, prices } = purchases.packs(which);
  packed.formula("option", row, `${option}&""`, "label");
  packed.put("step", row, stepNames[which], "label");
  packed.formula("unit", row, purchases.placed.at("unit", material), "unit");
  const toBuy = packed.result("toBuy", row, `MAX(0,${need}-${purchases.placed.at("stock", material)})`);
  const searchNeed = searched.result("need", row, `IF(SUM(${sizes})=0,0,${toBuy})`);
  const simple = `${kit.call("PACKS", toBuy, `MAX(${sizes})`)}*SUM(${prices})`;
  const mix = blockHere(row, searched.column("mix1"), row, searched.column("mix3"));
  packed.result("cost", row, bySizes(sizes, simple, `SUMPRODUCT(${mix},${prices})`));
  planMix(
    packed.plan,
    row,
    searched.column("mix1"),
    kit.call("PACK_MIX", searchNeed, ...purchases.searched(which)),
  );
}
