/** What is to be bought of each material for the whole job, and the search for the cheapest packs beside it. */
import type { QuantityKind } from "../../../engine/units";
import type { Declared } from "../declare/declared";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { SheetPlan } from "../plan";
import { blockHere } from "../plan";
import type { MaterialRefs } from "./materials";
import type { Section } from "./price-book";
import type { QuantityRefs } from "./quantities";
import type { Bought } from "./steps";
import { bought, stepNames } from "./steps";

const three = <const Id extends string, const D extends Declared>(id: Id, declared: (n: number) => D) =>
  ({ [`${id}1`]: declared(1), [`${id}2`]: declared(2), [`${id}3`]: declared(3) }) as Readonly<
    Record<`${Id}${1 | 2 | 3}`, D>
  >;

const amount = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "number", form: "two decimals", says }) as const;

export const purchases = table({
  id: "purchases",
  sheet: "order",
  rows: [...bought, "all"],
  columns: {
    material: {
      name: "Material",
      holds: "text",
      means: "product",
      says: "The material chosen on Quantities.",
    },
    step: { name: "For", holds: "text", says: "The step of the work that it is for." },
    unit: { name: "Unit", holds: "text", says: "What it is measured in." },
    need: { ...amount("Need", "What all zones need of it together."), means: "need" },
    stock: { ...amount("In stock", "What is left from other jobs, from Materials."), means: "inStock" },
    toBuy: amount("To buy", "The need less the stock."),
    ...three("size", (n) => ({
      name: `Size of pack ${n}`,
      holds: "number",
      form: "two decimals",
      says: `What pack ${n} holds, from Materials.`,
    })),
    ...three("price", (n) => ({
      name: `Price of pack ${n}`,
      holds: "number",
      form: "money",
      says: `What pack ${n} costs, from Materials.`,
    })),
    ...three("packs", (n) => ({
      name: `Packs ${n}`,
      holds: "number",
      form: "whole",
      says: `How many of pack ${n} to buy.`,
    })),
    bought: { ...amount("Bought", "What the packs hold together."), means: "bought" },
    left: amount("Left over", "What will be left of stock and packs."),
    cost: { name: "Cost", holds: "number", form: "money", says: "What the packs cost." },
    supplier: { name: "Supplier", holds: "text", says: "Who sells it.", align: "set in" },
    watch: { name: "", holds: "text", says: "What Materials lacks for it." },
  },
});

/** Beside the page: what the search over packs is given, and what it finds. */
export const packSearch = table({
  id: "packSearch",
  sheet: "order",
  columns: {
    need: amount("Searched need", "What is to be bought, or nothing where no pack is on sale."),
    ...three("size", (n) =>
      amount(`Searched size ${n}`, "A pack on sale; the largest in the place of one that is not."),
    ),
    ...three("price", (n) => ({
      name: `Searched price ${n}`,
      holds: "number",
      form: "money",
      says: "Its price; beyond all others in the place of a pack that is not on sale.",
    })),
    ...three("mix", (n) => ({
      name: `Cheapest mix, packs ${n}`,
      holds: "number",
      form: "whole",
      says: "How many of the pack cost least in all.",
    })),
  },
});

const sectionOf: Record<Bought, Section> = {
  seed: "seedLots",
  starter: "starters",
  preEmergent: "preEmergents",
  topdress: "topdressings",
  conditioner: "conditioners",
};

const chosenOf = {
  seed: "seedLot",
  starter: "starter",
  preEmergent: "preEmergent",
  topdress: "topdressing",
  conditioner: "conditioner",
} as const;

export const needColumn = {
  seed: "seed",
  starter: "starter",
  preEmergent: "spray",
  topdress: "topdressing",
  conditioner: "conditioner",
} as const;

const unitKind = (which: Bought): QuantityKind =>
  which === "preEmergent" ? "liquidDose" : which === "topdress" ? "bagVolume" : "weight";

const head = 6;
/** Two columns off the page. */
export const searchLeft = Object.keys(purchases.columns).length + 2;
const places = [1, 2, 3] as const;

/** Loose topdressing as the volume printed on the bags that have to be opened for it. */
const opened = (quantities: QuantityRefs, loose: string): string =>
  `${loose}/(${quantities.figure("swell")}*(1-${quantities.figure("screenLoss")}))`;

export interface PurchaseRefs {
  readonly placed: PlacedTable<typeof purchases>;
  readonly row: (which: Bought) => number;
  /** The row of the sum. */
  readonly totals: number;
  /** A material's pack sizes and prices on this sheet, as they are on sale and as they are searched. */
  readonly packs: (which: Bought) => { readonly sizes: string; readonly prices: string };
  readonly searched: (which: Bought) => readonly [sizes: string, prices: string];
}

export function planPurchases(
  kit: Kit,
  plan: SheetPlan,
  materials: MaterialRefs,
  quantities: QuantityRefs,
): PurchaseRefs {
  const placed = new PlacedTable(kit, plan, purchases, head);
  const beside = new PlacedTable(kit, plan, packSearch, head, searchLeft);
  const row = (which: Bought) => head + 1 + bought.indexOf(which);
  const totals = head + 1 + bought.length;
  const across = (of: PlacedTable<typeof purchases>, id: "size" | "price" | "packs", at: number) =>
    blockHere(at, of.column(`${id}1`), at, of.column(`${id}3`));
  const refs: PurchaseRefs = {
    placed,
    row,
    totals,
    packs: (which) => ({
      sizes: across(placed, "size", row(which)),
      prices: across(placed, "price", row(which)),
    }),
    searched: (which) => [
      blockHere(row(which), beside.column("size1"), row(which), beside.column("size3")),
      blockHere(row(which), beside.column("price1"), row(which), beside.column("price3")),
    ],
  };
  placed.heads();
  plan.put(
    head - 1,
    searchLeft,
    "Search for the cheapest mix; a size that is not on sale is priced out of it",
    "note",
  );
  beside.heads();
  for (const which of bought) planMaterial(kit, refs, beside, which, materials, quantities);
  plan.put(totals, 1, "Materials", "total");
  const printed = placed.column("supplier");
  for (let at = 2; at <= printed; at++) plan.put(totals, at, "", "total");
  placed.formula("cost", totals, `SUM(${placed.here("cost", head + 1, totals - 1)})`, "total", {
    form: "money",
  });
  placed.known(totals - 1, (id) => (id === "all" ? totals : row(id as Bought)));
  beside.known(totals - 1);
  plan.printed = { rows: totals, columns: printed };
  return refs;
}

function planMaterial(
  kit: Kit,
  { placed, row: rowOf, packs, searched }: PurchaseRefs,
  beside: PlacedTable<typeof packSearch>,
  which: Bought,
  materials: MaterialRefs,
  quantities: QuantityRefs,
): void {
  const row = rowOf(which);
  const { plan } = placed;
  const at = (id: Parameters<typeof placed.at>[0]) => placed.at(id, row);
  const section = sectionOf[which];
  const chosen = quantities.chosen(chosenOf[which]);
  const { sizes, prices } = packs(which);
  placed.formula("material", row, `${chosen.name}&""`, "label");
  placed.put("step", row, stepNames[which], "label");
  placed.put("unit", row, kit.unit(unitKind(which)), "unit");
  const total = quantities.total(needColumn[which]);
  placed.result("need", row, which === "topdress" ? opened(quantities, total) : total);
  placed.result("stock", row, materials.figure(section, "stock", chosen));
  placed.result("toBuy", row, `MAX(0,${at("need")}-${at("stock")})`);
  const need = beside.result("need", row, `IF(SUM(${sizes})=0,0,${at("toBuy")})`);
  planMix(plan, row, beside.column("mix1"), kit.call("PACK_MIX", need, ...searched(which)));
  for (const n of places) {
    placed.result(`size${n}`, row, materials.pack(section, "size", n - 1, chosen));
    placed.result(`price${n}`, row, materials.pack(section, "price", n - 1, chosen));
    const [size, price] = [at(`size${n}`), at(`price${n}`)];
    const searchedSize = beside.result(`size${n}`, row, `IF(${size}=0,MAX(${sizes}),${size})`);
    beside.result(
      `price${n}`,
      row,
      `IF(SUM(${prices})=0,${searchedSize},IF(${size}*${price}=0,1000*(1+MAX(${prices})),${price}))`,
    );
    const simple = whereSet(size, kit.call("PACKS", at("toBuy"), size));
    placed.result(`packs${n}`, row, bySizes(sizes, simple, beside.at(`mix${n}`, row)));
  }
  const packed = blockHere(row, placed.column("packs1"), row, placed.column("packs3"));
  placed.result("bought", row, `SUMPRODUCT(${packed},${sizes})`);
  placed.result("left", row, `${at("stock")}+${at("bought")}-${at("need")}`);
  placed.result("cost", row, `SUMPRODUCT(${packed},${prices})`);
  placed.formula("supplier", row, materials.text(section, "supplier", chosen), "label");
  placed.formula(
    "watch",
    row,
    `IF(${at("toBuy")}=0,"",IF(SUM(${sizes})=0,"enter a pack size on Materials",IF(SUM(${prices})=0,"no price on Materials","")))`,
    "caution",
  );
}

/** A search spills over three cells, one a size; the other two are left free for it. */
export function planMix(plan: SheetPlan, row: number, at: number, search: string): void {
  plan.result(row, at, search, "whole");
  for (const n of [1, 2]) plan.put(row, at + n, "", "result", { form: "whole" });
}

/** One size is plain division, which the sheet can do itself; a choice of sizes is a search. */
export const bySizes = (sizes: string, simple: string, mix: string): string =>
  `IF(SUM(${sizes})=0,0,IF(COUNTIF(${sizes},">0")=1,${simple},${mix}))`;
