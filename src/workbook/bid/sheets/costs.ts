/** For the estimator alone: the terms of the job, and what each step of it costs and is sold for. */
import type { Limits } from "../../../engine/parameters";
import { areaColumn, inWords, paceUnit } from "../declare/common";
import type { FigureId } from "../declare/figures";
import { figures, PlacedFigures } from "../declare/figures";
import type { ColumnId } from "../declare/table";
import { PlacedTable, table } from "../declare/table";
import type { Takes } from "../entry";
import { amount, lesserPart, limitsOrNone, part, wholeAmount } from "../entry";
import type { WorkStep } from "../job";
import { workSteps } from "../job";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { SheetPlan } from "../plan";
import type { PurchaseRefs } from "./purchases";
import { needColumn } from "./purchases";
import type { QuantityRefs } from "./quantities";
import { bought, stepNames } from "./steps";

const share = (limits: Limits, example: number) => (): Takes => ({
  takes: "share",
  limits,
  example,
  empty: "Leave it empty for none.",
});

export const terms = figures({
  id: "terms",
  sheet: "order",
  figures: {
    crew: {
      name: "Crew",
      unit: () => "people",
      holds: "number",
      says: "How many people do the work.",
      takes: () => ({
        takes: "number",
        limits: limitsOrNone("WORK_HOURS", "crew"),
        example: 2,
        empty: "An empty cell is read as one person.",
      }),
    },
    hourly: {
      name: "Labor, cost of a person-hour",
      holds: "number",
      form: "money",
      says: "What an hour of one of them costs.",
      takes: () => ({ takes: "money", limits: amount, example: 38 }),
    },
    overhead: {
      name: "Overhead on cost",
      holds: "number",
      form: "per cent",
      says: "What is added to cost for the business.",
      takes: share(part, 0.1),
    },
    margin: {
      name: "Margin, as a share of the price",
      holds: "number",
      form: "per cent",
      says: "The share of the price that is to be earned.",
      takes: share(limitsOrNone("MARGIN_PRICE", "margin"), 0.35),
    },
    tax: {
      name: "Sales tax",
      holds: "number",
      form: "per cent",
      says: "The tax on the price.",
      takes: share(lesserPart, 0.06),
    },
    deposit: {
      name: "Deposit, as a share of the price with tax",
      holds: "number",
      form: "per cent",
      says: "What is due with the signature.",
      takes: share(part, 0.3),
    },
    validDays: {
      name: "The bid holds for",
      unit: () => "days",
      holds: "number",
      form: "whole",
      says: "How long the client may take.",
      takes: () => ({ takes: "number", limits: wholeAmount, example: 30 }),
    },
    bidDay: {
      name: "Date of the bid",
      holds: "number",
      form: "date",
      says: "The day that the bid is dated.",
      takes: () => ({ takes: "date" }),
    },
    seedingDay: {
      name: "Seeding day",
      holds: "number",
      means: "seedingDay",
      form: "date",
      says: "The day of the work, from which all other dates are counted.",
      takes: () => ({ takes: "date", empty: "Leave it empty until it is agreed." }),
    },
    client: inWords("Client", "For whom the work is done."),
    company: inWords("Your company", "Who does it."),
    shown: {
      name: "The client sees prices",
      holds: "text",
      says: "Whether the bid shows a price for each step.",
      takes: () => ({
        takes: "choice",
        choices: ["by step", "as one sum"],
        empty: "An empty cell is read as one sum.",
      }),
    },
  },
});
export type Term = FigureId<typeof terms>;

export const steps = table({
  id: "steps",
  sheet: "order",
  rows: [...workSteps, "beforeTax", "withTax", "earned", "markedUp"],
  gap: { before: "area", columns: 2 },
  columns: {
    step: { name: "Step", holds: "text", says: "The step of the work." },
    area: areaColumn("The ground that it covers, or nothing where it is not in the job."),
    pace: {
      name: "Pace",
      unit: paceUnit,
      holds: "number",
      says: "How much of it one person does in an hour.",
      takes: (system) => ({
        takes: "number",
        limits: limitsOrNone("WORK_HOURS", "pace"),
        example: system === "us" ? 1500 : 140,
        empty: "Leave it empty if the step takes hours of its own.",
      }),
    },
    fixed: {
      name: "Further hours",
      holds: "number",
      says: "Hours of the crew that no area explains.",
      takes: () => ({ takes: "number", limits: amount, example: 0.5 }),
    },
    hours: { name: "Crew hours", holds: "number", form: "two decimals", says: "How long the crew is at it." },
    labour: { name: "Labor", holds: "number", form: "money", says: "What those hours cost." },
    materials: { name: "Materials", holds: "number", form: "money", says: "What its material costs." },
    equipment: {
      name: "Equipment",
      holds: "number",
      form: "money",
      says: "What is hired or reckoned for machines.",
      takes: () => ({ takes: "money", limits: amount, example: 85 }),
    },
    direct: { name: "Cost", holds: "number", form: "money", says: "The three together." },
    loaded: { name: "With overhead", holds: "number", form: "money", says: "The cost with overhead." },
    price: { name: "Price", holds: "number", form: "money", says: "What the step is sold for." },
  },
});
type StepColumn = ColumnId<typeof steps>;

export function planTerms(kit: Kit, plan: SheetPlan, from: number): PlacedFigures<typeof terms> {
  const placed = new PlacedFigures(kit, plan, terms, from, { label: 1, value: 4, unit: 5 });
  const { work, client } = kit.job ?? {};
  placed.input("crew", work?.crew);
  placed.input("hourly", work?.hourly);
  placed.input("overhead", work?.overhead);
  placed.input("margin", work?.margin);
  placed.input("tax", work?.tax);
  placed.input("deposit", work?.deposit);
  placed.input("validDays", client?.validDays);
  placed.input("bidDay", client?.bidDay);
  placed.input("seedingDay", client?.seedingDay);
  placed.input("client", client?.name);
  placed.input("company", client?.company);
  placed.input("shown", "by step");
  return placed;
}

export interface StepRefs {
  readonly placed: PlacedTable<typeof steps>;
  readonly row: (step: WorkStep) => number;
  /** The row of the sums. */
  readonly end: number;
}

const summed = ["hours", "labour", "materials", "equipment", "direct", "loaded", "price"] as const;

export function planSteps(
  kit: Kit,
  plan: SheetPlan,
  from: number,
  term: (term: Term) => string,
  quantities: QuantityRefs,
  purchases: PurchaseRefs,
): StepRefs {
  const placed = new PlacedTable(kit, plan, steps, from);
  const row = (step: WorkStep) => from + 1 + workSteps.indexOf(step);
  const end = from + 1 + workSteps.length;
  plan.put(from - 1, 1, "Cost and price of each step", "heading");
  placed.heads();
  for (const step of workSteps) planStep(kit, placed, row(step), step, term, quantities, purchases);
  plan.put(end, 1, "Before tax", "total");
  for (let at = 2; at <= placed.right; at++) plan.put(end, at, "", "total");
  for (const which of summed) {
    const sum = `SUM(${placed.here(which, from + 1, end - 1)})`;
    placed.formula(which, end, which === "price" ? `ROUND(${sum},2)` : sum, "total", {
      form: which === "hours" ? "two decimals" : "money",
    });
  }
  const [loaded, price] = [placed.at("loaded", end), placed.at("price", end)];
  const line = (at: number, label: string, formula: string, form: "money" | "per cent") => {
    plan.put(at, 1, label, "label");
    plan.result(at, placed.column("price"), formula, form);
  };
  line(end + 1, "With tax", `ROUND(${price}*(1+${term("tax")}),2)`, "money");
  line(end + 2, "Margin on the price", `IF(${price}=0,0,1-${loaded}/${price})`, "per cent");
  line(end + 3, "The same as a markup on cost", `IF(${loaded}=0,0,${price}/${loaded}-1)`, "per cent");
  placed.known(end + 3, (id) => from + 1 + steps.rows.indexOf(id));
  return { placed, row, end };
}

function planStep(
  kit: Kit,
  placed: PlacedTable<typeof steps>,
  row: number,
  step: WorkStep,
  term: (term: Term) => string,
  quantities: QuantityRefs,
  purchases: PurchaseRefs,
): void {
  const at = (which: StepColumn) => placed.at(which, row);
  const given = kit.job?.work.steps[step];
  placed.put("step", row, stepNames[step], "label");
  const all = quantities.total("area");
  const material = bought.find((one) => one === step);
  placed.result(
    "area",
    row,
    material === undefined ? all : whereSet(quantities.total(needColumn[material]), all),
  );
  placed.input("pace", row, given?.pace);
  placed.input("fixed", row, given?.fixedHours);
  placed.result(
    "hours",
    row,
    whereSet(
      at("area"),
      `${whereSet(at("pace"), kit.call("WORK_HOURS", at("area"), at("pace"), term("crew")))}+${at("fixed")}`,
    ),
  );
  placed.result("labour", row, `${at("hours")}*MAX(1,${term("crew")})*${term("hourly")}`);
  placed.result(
    "materials",
    row,
    material === undefined ? "0" : purchases.placed.at("cost", purchases.row(material)),
  );
  placed.input("equipment", row, given?.equipment);
  placed.result("direct", row, whereSet(at("area"), `${at("labour")}+${at("materials")}+${at("equipment")}`));
  placed.result("loaded", row, `${at("direct")}*(1+${term("overhead")})`);
  placed.result("price", row, `ROUND(${priced(kit, at("loaded"), term("margin"))},2)`);
}

/** A price that leaves the margin; without a margin the work is sold at cost. */
export const priced = (kit: Kit, cost: string, margin: string): string =>
  `IF(${margin}=0,${cost},${kit.call("MARGIN_PRICE", cost, margin)})`;
