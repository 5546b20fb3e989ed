/** After the job: what was really used, so that the next bid reckons with it. */
import { asFormula } from "../../writing";
import type { PlannedSheets } from "../bid-sheets";
import { paceUnit } from "../declare/common";
import type { Sheet } from "../declare/sheet";
import type { ColumnId } from "../declare/table";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import type { Entry, Takes } from "../entry";
import { amount } from "../entry";
import type { SheetPlan } from "../plan";
import type { OrderRefs } from "./order";
import type { Bought } from "./steps";
import { bought, stepNames } from "./steps";
import { workSteps } from "../job";
import type { QuantityRefs } from "./quantities";

/** A figure of the real job. */
const whenKnown: Takes = {
  takes: "number",
  limits: amount,
  example: 2.5,
  empty: "Leave it empty until you know.",
};

/** The same where its unit is that of its row. */
const inUnit = (name: string, unit: string): Entry => ({ name, unit, ...whenKnown });

const real = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "number", says, takes: (): Takes => whenKnown }) as const;

const held = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "number", form: "two decimals", says }) as const;

/** What was planned of each material, and what the job took of it. */
export const used = table({
  id: "used",
  sheet: "review",
  rows: bought,
  columns: {
    material: {
      name: "Material",
      holds: "text",
      means: "product",
      says: "The material of the order.",
    },
    unit: { name: "Unit", holds: "text", says: "What it is measured in." },
    taken: held("Taken along", "What was in stock and what was bought."),
    back: real("Brought back", "What was left after the job."),
    used: held("Used", "What was taken along less what was brought back."),
    planned: held("Planned", "What the bid reckoned with."),
    realRate: held("Real rate", "What was used on so much ground."),
    plannedRate: held("Planned rate", "What the bid put on so much ground."),
    rateUnit: { name: "Unit of rate", holds: "text", says: "What both rates are measured in." },
    against: {
      name: "Used against plan",
      holds: "number",
      form: "per cent",
      says: "How much more was used than planned, as a share of the plan.",
    },
  },
});

/** What the screen kept of what was opened. */
export const screened = table({
  id: "screened",
  sheet: "review",
  rows: ["topdress"],
  columns: {
    material: { name: "", holds: "text", says: "The topdressing of the job." },
    unit: { name: "Unit", holds: "text", says: "What it is measured in." },
    opened: real("Opened", "What was opened, by the volume printed on the bags."),
    screenedOut: real("Screened out", "What stayed on the screen."),
    realLoss: { name: "Real screen loss", holds: "number", form: "per cent", says: "The share of it." },
    planned: {
      name: "Planned",
      holds: "number",
      form: "per cent",
      says: "The share that the bid reckoned with.",
    },
  },
});

/** How long each step took. */
export const taken = table({
  id: "taken",
  sheet: "review",
  rows: workSteps,
  gap: { before: "planned", columns: 1 },
  columns: {
    step: { name: "Step", holds: "text", says: "The step of the work." },
    planned: {
      name: "Crew hours planned",
      holds: "number",
      form: "two decimals",
      says: "How long the bid reckoned with.",
    },
    taken: real("Crew hours taken", "How long it took."),
    pace: {
      name: "Real pace",
      unit: paceUnit,
      holds: "number",
      form: "whole",
      says: "How much one person did in an hour.",
    },
  },
});

const firstTable = 5;
/** A text runs as far as the widest table. */
const acrossAll = [1, Object.keys(used.columns).length] as const;

/** The unit of a material and that of its rate. */
function unitsOf(kit: Kit, which: Bought): { readonly unit: string; readonly rate: string } {
  if (which !== "preEmergent" && which !== "topdress")
    return { unit: kit.unit("weight"), rate: kit.unit("spreadRate") };
  const unit = kit.unit(which === "preEmergent" ? "liquidDose" : "bagVolume");
  return { unit, rate: `${unit} per 1000 ${kit.unit("area")}` };
}

/** Answers with the row after the last of it. */
function planUsed(kit: Kit, plan: SheetPlan, quantities: QuantityRefs, order: OrderRefs): number {
  plan.put(firstTable, 1, "Materials", "heading");
  const placed = new PlacedTable(kit, plan, used, firstTable + 1);
  const rowOf = (which: string) => placed.head + 1 + used.rows.indexOf(which);
  const area = quantities.total("area");
  placed.heads();
  for (const which of bought) {
    const row = rowOf(which);
    const at = (id: ColumnId<typeof used>) => placed.at(id, row);
    const { name, need, inStock, bought: packs } = order.material(which);
    const { unit, rate: rateUnit } = unitsOf(kit, which);
    const rate = (amount: string) =>
      which === "preEmergent" || which === "topdress"
        ? `IF(${area}=0,0,${amount}/${area}*1000)`
        : `IF(OR(${area}=0,${amount}=0),0,${kit.call("NUTRIENT_RATE", amount, area, 1)})`;
    placed.formula("material", row, name, "label");
    placed.put("unit", row, unit, "unit");
    placed.result("taken", row, `${inStock}+${packs}`);
    placed.input("back", row, undefined, { entry: inUnit("Brought back", unit) });
    placed.result("used", row, `IF(${at("back")}="",0,${at("taken")}-${at("back")})`);
    placed.result("planned", row, need);
    placed.result("realRate", row, rate(at("used")));
    placed.result("plannedRate", row, rate(at("planned")));
    placed.put("rateUnit", row, rateUnit, "unit");
    const [really, planned] = [at("used"), at("planned")];
    const against = `IF(OR(${really}=0,${planned}=0),"",${really}/${planned}-1)`;
    placed.result("against", row, against, { align: "right" });
  }
  const end = placed.head + 1 + bought.length;
  placed.known(end - 1, rowOf);
  return end;
}

interface Screened {
  /** The cell of the share that the screen really kept. */
  readonly loss: string;
  readonly end: number;
}

function planScreened(
  kit: Kit,
  plan: SheetPlan,
  screen: number,
  quantities: QuantityRefs,
  order: OrderRefs,
): Screened {
  plan.put(screen, 1, "Screen", "heading");
  const sieve = new PlacedTable(kit, plan, screened, screen + 1);
  const kept = screen + 2;
  sieve.heads();
  sieve.formula("material", kept, order.material("topdress").name, "label");
  const loose = kit.unit("bagVolume");
  sieve.put("unit", kept, loose, "unit");
  const openedCell = sieve.input("opened", kept, undefined, { entry: inUnit("Opened", loose) });
  const out = sieve.input("screenedOut", kept, undefined, { entry: inUnit("Screened out", loose) });
  const loss = sieve.result(
    "realLoss",
    kept,
    `IF(${openedCell}=0,"",${kit.call("SCREEN_LOSS", openedCell, out)})`,
    { align: "right" },
  );
  sieve.result("planned", kept, quantities.figure("screenLoss"));
  sieve.known(kept, () => kept);
  return { loss, end: kept + 1 };
}

/** Answers with the row after the last of it. */
function planTaken(kit: Kit, plan: SheetPlan, hours: number, order: OrderRefs): number {
  plan.put(hours, 1, "Hours", "heading");
  const clock = new PlacedTable(kit, plan, taken, hours + 1);
  const rowOf = (step: string) => hours + 2 + taken.rows.indexOf(step);
  clock.heads();
  for (const step of workSteps) {
    const row = rowOf(step);
    clock.put("step", row, stepNames[step], "label");
    clock.result("planned", row, order.step(step).hours);
    const spent = clock.input("taken", row, undefined);
    clock.result(
      "pace",
      row,
      `IF(${spent}=0,"",${order.step(step).area}/(${spent}*MAX(1,${order.term("crew")})))`,
      { align: "right" },
    );
  }
  const end = hours + 2 + workSteps.length;
  clock.known(end - 1, rowOf);
  return end;
}

function planReview(kit: Kit, plan: SheetPlan, { quantities, order }: PlannedSheets): void {
  const screen = planUsed(kit, plan, quantities, order) + 2;
  const { loss, end } = planScreened(kit, plan, screen, quantities, order);
  const carry = planTaken(kit, plan, end + 2, order) + 1;
  plan.put(carry, 1, "For the next bid", "heading");
  plan.across(
    carry + 1,
    acrossAll,
    asFormula(
      `IF(${loss}="","Enter what was opened and screened out, and this line says what to carry to Materials.","Materials, "&${order.material("topdress").name}&", screen loss: "&TEXT(${loss},"0.0%")&" instead of "&TEXT(${quantities.figure("screenLoss")},"0.0%")&".")`,
    ),
    "text",
  );
  plan.across(
    carry + 2,
    acrossAll,
    "Carry a real pace over to its step on the next bid's Order sheet. One job is a hint; three make a figure.",
    "text",
  );
  plan.widths = [34, 12, 15, 15, 16, 13, 11, 12, 24, 14];
  plan.landscape = true;
  plan.titleRows = [1, 2];
}

export const reviewSheet: Sheet = {
  name: "Review",
  purpose: "Review: what the job really took",
  tab: "input",
  tellsCosts: true,
  tables: [used, screened, taken],
  figures: [],
  plan: planReview,
};
