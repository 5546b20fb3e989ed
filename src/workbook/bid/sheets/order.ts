/** What to buy, over all zones together, and below it, for the estimator alone, what the job costs and is sold for. */
import { asFormula } from "../../write-cells";
import type { Limits } from "../../../engine/parameters";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { Named, Takes } from "../entry";
import { amount, headOf, lesserPart, limitsOrNone, part, wholeAmount } from "../entry";
import type { WorkStep } from "../job";
import { workSteps } from "../job";
import { blockHere, fixedHere, here } from "../plan";
import type { NumberForm, SheetPlan } from "../plan";
import type { MaterialRefs, Section } from "./materials";
import type { QuantityRefs } from "./quantities";

export const stepNames: Record<WorkStep, string> = {
  prepare: "Prepare the ground",
  seed: "Seed",
  starter: "Starter fertilizer",
  preEmergent: "Pre-emergent",
  topdress: "Topdressing",
  conditioner: "Soil conditioner",
  finish: "Clean up and set up the water",
};

/** The steps that use a material, in the order of the job. */
export const bought = ["seed", "starter", "preEmergent", "topdress", "conditioner"] as const;
export type Bought = (typeof bought)[number];

const terms = [
  "crew",
  "hourly",
  "overhead",
  "margin",
  "tax",
  "deposit",
  "validDays",
  "bidDay",
  "seedingDay",
  "client",
  "company",
  "shown",
] as const;
export type Term = (typeof terms)[number];

export const options = [
  "Overseeding only",
  "Full renovation",
  "Renovation with a second topdressing",
] as const;

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

const column = {
  need: 4,
  stock: 5,
  toBuy: 6,
  size: 7,
  price: 10,
  packs: 13,
  bought: 16,
  left: 17,
  cost: 18,
  supplier: 19,
  watch: 20,
  // Beside the page: what the search over packs is given, and what it finds.
  searchNeed: 22,
  searchSize: 23,
  searchPrice: 26,
  mix: 29,
} as const;
const three = (what: string): readonly string[] => [1, 2, 3].map((n) => `${what} ${n}`);

/** The heads of what is to be bought, in the order of the columns. */
export const orderHeads = {
  material: ["Material"],
  step: ["For"],
  unit: ["Unit"],
  need: ["Need"],
  stock: ["In stock"],
  toBuy: ["To buy"],
  size: three("Size of pack"),
  price: three("Price of pack"),
  packs: three("Packs"),
  bought: ["Bought"],
  left: ["Left over"],
  cost: ["Cost"],
  supplier: ["Supplier"],
} as const;

const head = 6;
const rowOf = (which: Bought): number => head + 1 + bought.indexOf(which);

export function planOrder(kit: Kit, materials: MaterialRefs, quantities: QuantityRefs): OrderRefs {
  const plan = kit.sheet("order", "Whole packs, each material packed once for the whole job.");
  planPacks(kit, plan, materials, quantities);
  const totals = rowOf("conditioner") + 1;
  plan.put(totals, 1, "Materials", "total");
  for (let at = 2; at <= column.supplier; at++) plan.put(totals, at, "", "total");
  const costs = blockHere(head + 1, column.cost, totals - 1, column.cost);
  plan.put(totals, column.cost, asFormula(`SUM(${costs})`), "total", { form: "money" });
  plan.printed = { rows: totals, columns: column.supplier };

  plan.put(
    totals + 3,
    1,
    "For the estimator, to fill in the boxed cells: from here on nothing is printed",
    "heading",
  );
  const termRow = planTerms(kit, plan, totals + 4);
  const term = (which: Term) => fixedHere(termRow(which), column.need);
  const steps = planSteps(kit, plan, termRow("shown") + 3, term, quantities);
  const choices = planOptions(kit, plan, steps.end + 4, term, quantities, steps.row);
  plan.widths = [
    32, 17, 7, 20, 12, 10, 10, 10, 10, 11, 10, 11, 10, 9, 9, 10, 10, 11, 24, 30, 3, 11, 11, 11, 11, 11, 11,
    11, 11, 11, 11,
  ];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return {
    plan,
    term: (which) => plan.at(termRow(which), column.need),
    material: (which) => {
      const at = (place: number) => plan.at(rowOf(which), place);
      return {
        name: at(1),
        need: at(column.need),
        sizes: [0, 1, 2].map((n) => at(column.size + n)),
        packs: [0, 1, 2].map((n) => at(column.packs + n)),
        bought: at(column.bought),
        inStock: at(column.stock),
      };
    },
    step: (step) => ({
      area: plan.at(steps.row(step), stepColumn.area),
      hours: plan.at(steps.row(step), stepColumn.hours),
      price: plan.at(steps.row(step), stepColumn.price),
    }),
    hours: plan.at(steps.end, stepColumn.hours),
    price: plan.at(steps.end, stepColumn.price),
    taxed: plan.at(steps.end + 1, stepColumn.price),
    option: (index) => ({ name: plan.at(choices(index), 1), taxed: plan.at(choices(index), 9) }),
  };
}

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

const needColumn = {
  seed: "seed",
  starter: "starter",
  preEmergent: "spray",
  topdress: "topdressing",
  conditioner: "conditioner",
} as const;

/** Loose topdressing as the volume printed on the bags that have to be opened for it. */
const opened = (quantities: QuantityRefs, loose: string): string =>
  `${loose}/(${quantities.figure("swell")}*(1-${quantities.figure("screenLoss")}))`;

function planPacks(kit: Kit, plan: SheetPlan, materials: MaterialRefs, quantities: QuantityRefs): void {
  plan.columns(head, Object.values(orderHeads).flat());
  plan.put(
    head - 1,
    column.searchNeed,
    "Search for the cheapest mix; a size that is not on sale is priced out of it",
    "note",
  );
  plan.columns(
    head,
    ["Searched need", ...three("Searched size"), ...three("Searched price"), ...three("Cheapest mix, packs")],
    column.searchNeed,
  );
  for (const which of bought) {
    const row = rowOf(which);
    const at = (place: number) => here(row, place);
    const section = sectionOf[which];
    const chosen = quantities.chosen(chosenOf[which]);
    plan.put(row, 1, asFormula(`${chosen.name}&""`), "label");
    plan.put(row, 2, stepNames[which], "label");
    const unit =
      which === "preEmergent" ? "liquidDose" : which === "topdress" ? "bagVolume" : ("weight" as const);
    plan.put(row, 3, kit.unit(unit), "unit");
    const total = quantities.total(needColumn[which]);
    plan.result(row, column.need, which === "topdress" ? opened(quantities, total) : total, "two decimals");
    plan.result(row, column.stock, materials.figure(section, "stock", chosen), "two decimals");
    plan.result(row, column.toBuy, `MAX(0,${at(column.need)}-${at(column.stock)})`, "two decimals");
    const sizes = blockHere(row, column.size, row, column.size + 2);
    const prices = blockHere(row, column.price, row, column.price + 2);
    const searchNeed = plan.result(
      row,
      column.searchNeed,
      `IF(SUM(${sizes})=0,0,${at(column.toBuy)})`,
      "two decimals",
    );
    const [searched, searchedPrices] = searchBlocks(row);
    planMix(plan, row, column.mix, kit.call("PACK_MIX", searchNeed, searched, searchedPrices));
    for (const n of [0, 1, 2]) {
      plan.result(row, column.size + n, materials.pack(section, "size", n, chosen), "two decimals");
      plan.result(row, column.price + n, materials.pack(section, "price", n, chosen), "money");
      const size = at(column.size + n);
      const price = at(column.price + n);
      plan.result(row, column.searchSize + n, `IF(${size}=0,MAX(${sizes}),${size})`, "two decimals");
      plan.result(
        row,
        column.searchPrice + n,
        `IF(SUM(${prices})=0,${at(column.searchSize + n)},IF(${size}*${price}=0,1000*(1+MAX(${prices})),${price}))`,
        "money",
      );
      const simple = whereSet(size, kit.call("PACKS", at(column.toBuy), size));
      plan.result(row, column.packs + n, bySizes(sizes, simple, at(column.mix + n)), "whole");
    }
    const packs = blockHere(row, column.packs, row, column.packs + 2);
    plan.result(row, column.bought, `SUMPRODUCT(${packs},${sizes})`, "two decimals");
    plan.result(
      row,
      column.left,
      `${at(column.stock)}+${at(column.bought)}-${at(column.need)}`,
      "two decimals",
    );
    plan.result(row, column.cost, `SUMPRODUCT(${packs},${prices})`, "money");
    plan.put(row, column.supplier, asFormula(`${materials.text(section, "supplier", chosen)}`), "label");
    plan.put(
      row,
      column.watch,
      asFormula(
        `IF(${at(column.toBuy)}=0,"",IF(SUM(${sizes})=0,"enter a pack size on Materials",IF(SUM(${prices})=0,"no price on Materials","")))`,
      ),
      "caution",
    );
  }
}

/** The sizes and prices that the search over a material's packs is given. */
const searchBlocks = (row: number): readonly [sizes: string, prices: string] => [
  blockHere(row, column.searchSize, row, column.searchSize + 2),
  blockHere(row, column.searchPrice, row, column.searchPrice + 2),
];

/** A search spills over three cells, one a size; the other two are left free for it. */
function planMix(plan: SheetPlan, row: number, at: number, search: string): void {
  plan.result(row, at, search, "whole");
  for (const n of [1, 2]) plan.put(row, at + n, "", "result", { form: "whole" });
}

/** One size is plain division, which the sheet can do itself; a choice of sizes is a search. */
const bySizes = (sizes: string, simple: string, mix: string): string =>
  `IF(SUM(${sizes})=0,0,IF(COUNTIF(${sizes},">0")=1,${simple},${mix}))`;

function planTerms(kit: Kit, plan: SheetPlan, from: number): (term: Term) => number {
  const { job } = kit;
  const row = (term: Term) => from + terms.indexOf(term);
  const term = (
    which: Term,
    label: string,
    content: string | number | undefined,
    form: NumberForm,
    takes?: Takes,
    unit = "",
  ) => {
    plan.put(row(which), 1, label, "label");
    plan.input(row(which), column.need, content, {
      align: "right",
      form,
      ...(takes === undefined ? {} : { entry: { name: label, ...(unit === "" ? {} : { unit }), ...takes } }),
    });
    plan.put(row(which), column.need + 1, unit, "unit");
  };
  const share = (limits: Limits, example: number): Takes => ({
    takes: "share",
    limits,
    example,
    empty: "Leave it empty for none.",
  });
  const people: Takes = {
    takes: "number",
    limits: limitsOrNone("WORK_HOURS", "crew"),
    example: 2,
    empty: "An empty cell is read as one person.",
  };
  term("crew", "Crew", job?.work.crew, "general", people, "people");
  term("hourly", "Labor, cost of a person-hour", job?.work.hourly, "money", {
    takes: "money",
    limits: amount,
    example: 38,
  });
  term("overhead", "Overhead on cost", job?.work.overhead, "per cent", share(part, 0.1));
  term(
    "margin",
    "Margin, as a share of the price",
    job?.work.margin,
    "per cent",
    share(limitsOrNone("MARGIN_PRICE", "margin"), 0.35),
  );
  term("tax", "Sales tax", job?.work.tax, "per cent", share(lesserPart, 0.06));
  term(
    "deposit",
    "Deposit, as a share of the price with tax",
    job?.work.deposit,
    "per cent",
    share(part, 0.3),
  );
  const held: Takes = { takes: "number", limits: wholeAmount, example: 30 };
  term("validDays", "The bid holds for", job?.client.validDays, "whole", held, "days");
  const arranged: Takes = { takes: "date", empty: "Leave it empty until it is agreed." };
  term("bidDay", "Date of the bid", job?.client.bidDay, "date", { takes: "date" });
  term("seedingDay", "Seeding day", job?.client.seedingDay, "date", arranged);
  term("client", "Client", job?.client.name, "text");
  term("company", "Your company", job?.client.company, "text");
  term("shown", "The client sees prices", "by step", "general", {
    takes: "choice",
    choices: ["by step", "as one sum"],
    empty: "An empty cell is read as one sum.",
  });
  return row;
}

const stepColumn = {
  area: 4,
  pace: 5,
  fixed: 6,
  hours: 7,
  labour: 8,
  materials: 9,
  equipment: 10,
  direct: 11,
  loaded: 12,
  price: 13,
} as const;

const paceIn = (kit: Kit): Named => ({ name: "Pace", unit: `${kit.unit("area")} per person-hour` });
const furtherHours: Named = { name: "Further hours" };
const equipment: Named = { name: "Equipment" };

interface StepTable {
  readonly row: (step: WorkStep) => number;
  /** The row of the sums. */
  readonly end: number;
}

function planSteps(
  kit: Kit,
  plan: SheetPlan,
  from: number,
  term: (term: Term) => string,
  quantities: QuantityRefs,
): StepTable {
  const rowFor = (step: WorkStep) => from + 1 + workSteps.indexOf(step);
  const end = from + 1 + workSteps.length;
  plan.put(from - 1, 1, "Cost and price of each step", "heading");
  plan.columns(from, ["Step", "", ""]);
  plan.columns(
    from,
    [
      `Area, ${kit.unit("area")}`,
      headOf(paceIn(kit)),
      headOf(furtherHours),
      "Crew hours",
      "Labor",
      "Materials",
      headOf(equipment),
      "Cost",
      "With overhead",
      "Price",
    ],
    4,
  );
  for (const step of workSteps) {
    const row = rowFor(step);
    const at = (which: keyof typeof stepColumn) => here(row, stepColumn[which]);
    const given = kit.job?.work.steps[step];
    const result = (which: keyof typeof stepColumn, formula: string, form: NumberForm) =>
      plan.result(row, stepColumn[which], formula, form);
    plan.put(row, 1, stepNames[step], "label");
    const all = quantities.total("area");
    const material = bought.find((one) => one === step);
    result(
      "area",
      material === undefined ? all : whereSet(quantities.total(needColumn[material]), all),
      "one decimal",
    );
    plan.input(row, stepColumn.pace, given?.pace, {
      entry: {
        ...paceIn(kit),
        takes: "number",
        limits: limitsOrNone("WORK_HOURS", "pace"),
        example: kit.system === "us" ? 1500 : 140,
        empty: "Leave it empty if the step takes hours of its own.",
      },
    });
    plan.input(row, stepColumn.fixed, given?.fixedHours, {
      entry: { ...furtherHours, takes: "number", limits: amount, example: 0.5 },
    });
    result(
      "hours",
      whereSet(
        at("area"),
        `${whereSet(at("pace"), kit.call("WORK_HOURS", at("area"), at("pace"), term("crew")))}+${at("fixed")}`,
      ),
      "two decimals",
    );
    result("labour", `${at("hours")}*MAX(1,${term("crew")})*${term("hourly")}`, "money");
    result("materials", material === undefined ? "0" : here(rowOf(material), column.cost), "money");
    plan.input(row, stepColumn.equipment, given?.equipment, {
      form: "money",
      entry: { ...equipment, takes: "money", limits: amount, example: 85 },
    });
    result("direct", whereSet(at("area"), `${at("labour")}+${at("materials")}+${at("equipment")}`), "money");
    result("loaded", `${at("direct")}*(1+${term("overhead")})`, "money");
    result("price", `ROUND(${priced(kit, at("loaded"), term("margin"))},2)`, "money");
  }
  plan.put(end, 1, "Before tax", "total");
  for (let at = 2; at <= stepColumn.price; at++) plan.put(end, at, "", "total");
  for (const which of ["hours", "labour", "materials", "equipment", "direct", "loaded", "price"] as const) {
    const place = stepColumn[which];
    const sum = `SUM(${blockHere(from + 1, place, end - 1, place)})`;
    plan.put(end, place, which === "price" ? asFormula(`ROUND(${sum},2)`) : asFormula(sum), "total", {
      form: which === "hours" ? "two decimals" : "money",
    });
  }
  const [loaded, price] = [here(end, stepColumn.loaded), here(end, stepColumn.price)];
  const line = (row: number, label: string, formula: string, form: NumberForm) => {
    plan.put(row, 1, label, "label");
    plan.result(row, stepColumn.price, formula, form);
  };
  line(end + 1, "With tax", `ROUND(${price}*(1+${term("tax")}),2)`, "money");
  line(end + 2, "Margin on the price", `IF(${price}=0,0,1-${loaded}/${price})`, "per cent");
  line(end + 3, "The same as a markup on cost", `IF(${loaded}=0,0,${price}/${loaded}-1)`, "per cent");
  return { row: rowFor, end };
}

/** A price that leaves the margin; without a margin the work is sold at cost. */
const priced = (kit: Kit, cost: string, margin: string): string =>
  `IF(${margin}=0,${cost},${kit.call("MARGIN_PRICE", cost, margin)})`;

/** Other ways to do the job, priced; answers with the row of an option. */
function planOptions(
  kit: Kit,
  plan: SheetPlan,
  from: number,
  term: (term: Term) => string,
  quantities: QuantityRefs,
  stepRow: (step: WorkStep) => number,
): (index: number) => number {
  const rows = { given: from + 2, worked: from + 8, packed: from + 14 } as const;
  plan.put(from, 1, "Other ways to do the job: how often each step is done", "heading");
  plan.columns(from + 1, ["Option", "", "", "Seeding", ...workSteps.map((step) => stepNames[step])]);
  plan.columns(rows.worked - 1, [
    "Option, worked out",
    "",
    "",
    "Materials",
    "Labor",
    "Equipment",
    "With overhead",
    "Price",
    "Price with tax",
  ]);
  plan.columns(rows.packed - 1, ["Materials of the options", "For", "Unit", "To buy", "Cost"]);
  plan.columns(rows.packed - 1, ["Searched need"], column.searchNeed);
  plan.columns(
    rows.packed - 1,
    [1, 2, 3].map((n) => `Cheapest mix, packs ${n}`),
    column.mix,
  );
  const times: readonly (readonly number[])[] = [
    [1, 1, 1, 1, 0, 1, 1],
    [1, 1, 1, 1, 1, 1, 1],
    [1, 1, 1, 1, 2, 1, 1],
  ];
  const seeding = ["overseed", "new", "as bid"];
  options.forEach((name, i) => {
    const [given, worked, packed] = [rows.given + i, rows.worked + i, rows.packed + i * bought.length];
    plan.input(given, 1, name, { form: "text" });
    const seed = plan.input(given, 4, seeding[i], {
      align: "right",
      entry: { name: "Seeding", takes: "choice", choices: ["as bid", "overseed", "new"] },
    });
    workSteps.forEach((step, at) =>
      plan.input(given, 5 + at, times[i]?.[at], {
        entry: {
          name: stepNames[step],
          takes: "number",
          limits: amount,
          example: 1,
          empty: "It counts how often this way does the step; 0 or empty leaves it out.",
        },
      }),
    );
    const timesOf = (step: WorkStep) => here(given, 5 + workSteps.indexOf(step));
    bought.forEach((which, n) => {
      const needed = here(rowOf(which), column.need);
      const once =
        which === "seed"
          ? `IF(${seed}="overseed",${quantities.total("ifOverseed")},IF(${seed}="new",${quantities.total("ifNew")},${needed}))`
          : needed;
      planOptionPacks(kit, plan, packed + n, which, `${timesOf(which)}*${once}`, here(given, 1));
    });
    const added = (which: "labour" | "equipment") =>
      workSteps
        .map((step) => {
          const at = (place: number) => here(stepRow(step), place);
          return `${timesOf(step)}*${whereSet(at(stepColumn.area), at(stepColumn[which]))}`;
        })
        .join("+");
    plan.put(worked, 1, asFormula(`${here(given, 1)}&""`), "label");
    plan.result(worked, 4, `SUM(${blockHere(packed, 5, packed + bought.length - 1, 5)})`, "money");
    plan.result(worked, 5, added("labour"), "money");
    plan.result(worked, 6, added("equipment"), "money");
    plan.result(worked, 7, `SUM(${blockHere(worked, 4, worked, 6)})*(1+${term("overhead")})`, "money");
    plan.result(worked, 8, `ROUND(${priced(kit, here(worked, 7), term("margin"))},2)`, "money");
    plan.result(worked, 9, `ROUND(${here(worked, 8)}*(1+${term("tax")}),2)`, "money");
  });
  return (index) => rows.worked + index;
}

/** What a material costs in an option: its need less the stock, packed anew. */
function planOptionPacks(
  kit: Kit,
  plan: SheetPlan,
  row: number,
  which: Bought,
  need: string,
  option: string,
): void {
  const material = rowOf(which);
  const sizes = blockHere(material, column.size, material, column.size + 2);
  const prices = blockHere(material, column.price, material, column.price + 2);
  plan.put(row, 1, asFormula(`${option}&""`), "label");
  plan.put(row, 2, stepNames[which], "label");
  plan.put(row, 3, asFormula(`${here(material, 3)}`), "unit");
  const toBuy = plan.result(row, 4, `MAX(0,${need}-${here(material, column.stock)})`, "two decimals");
  const searchNeed = plan.result(row, column.searchNeed, `IF(SUM(${sizes})=0,0,${toBuy})`, "two decimals");
  const simple = `${kit.call("PACKS", toBuy, `MAX(${sizes})`)}*SUM(${prices})`;
  const mixed = `SUMPRODUCT(${blockHere(row, column.mix, row, column.mix + 2)},${prices})`;
  plan.result(row, 5, bySizes(sizes, simple, mixed), "money");
  planMix(plan, row, column.mix, kit.call("PACK_MIX", searchNeed, ...searchBlocks(material)));
}
