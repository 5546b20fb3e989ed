/** After the job: what was really used, so that the next bid reckons with it. */
import { asFormula } from "../../writing";
import { paceUnit } from "../declare/common";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import type { Entry, Takes } from "../entry";
import { amount } from "../entry";
import type { SheetPlan } from "../plan";
import { here } from "../plan";
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
const used = (name: string, unit: string): Entry => ({ name, unit, ...whenKnown });

const real = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "number", says, takes: (): Takes => whenKnown }) as const;

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

export function planReview(kit: Kit, quantities: QuantityRefs, order: OrderRefs): SheetPlan {
  const plan = kit.sheet("review");
  const { figure, total } = quantities;
  plan.put(5, 1, "Materials", "heading");
  plan.columns(6, [
    "Material",
    "Unit",
    "Taken along",
    "Brought back",
    "Used",
    "Planned",
    "Real rate",
    "Planned rate",
    "Unit of rate",
    "Used against plan",
  ]);
  const area = total("area");
  bought.forEach((which: Bought, i) => {
    const row = 7 + i;
    const at = (column: number) => here(row, column);
    const { name, need, inStock, bought: packs } = order.material(which);
    plan.put(row, 1, asFormula(name), "label");
    const unit = which === "preEmergent" ? "liquidDose" : which === "topdress" ? "bagVolume" : "weight";
    plan.put(row, 2, kit.unit(unit), "unit");
    plan.result(row, 3, `${inStock}+${packs}`, "two decimals");
    plan.input(row, 4, undefined, { entry: used("Brought back", kit.unit(unit)) });
    plan.result(row, 5, `IF(${at(4)}="",0,${at(3)}-${at(4)})`, "two decimals");
    plan.result(row, 6, need, "two decimals");
    const rate = (amount: string) =>
      which === "preEmergent" || which === "topdress"
        ? `IF(${area}=0,0,${amount}/${area}*1000)`
        : `IF(OR(${area}=0,${amount}=0),0,${kit.call("NUTRIENT_RATE", amount, area, 1)})`;
    plan.result(row, 7, rate(at(5)), "two decimals");
    plan.result(row, 8, rate(at(6)), "two decimals");
    plan.put(
      row,
      9,
      which === "preEmergent" || which === "topdress"
        ? `${kit.unit(unit)} per 1000 ${kit.unit("area")}`
        : kit.unit("spreadRate"),
      "unit",
    );
    plan.result(row, 10, `IF(OR(${at(5)}=0,${at(6)}=0),"",${at(5)}/${at(6)}-1)`, "per cent", {
      align: "right",
    });
  });
  const screen = 14;
  plan.put(screen, 1, "Screen", "heading");
  const sieve = new PlacedTable(kit, plan, screened, screen + 1);
  const kept = screen + 2;
  sieve.heads();
  sieve.formula("material", kept, order.material("topdress").name, "label");
  const loose = kit.unit("bagVolume");
  sieve.put("unit", kept, loose, "unit");
  const openedCell = sieve.input("opened", kept, undefined, { entry: used("Opened", loose) });
  const out = sieve.input("screenedOut", kept, undefined, { entry: used("Screened out", loose) });
  const loss = sieve.result(
    "realLoss",
    kept,
    `IF(${openedCell}=0,"",${kit.call("SCREEN_LOSS", openedCell, out)})`,
    { align: "right" },
  );
  sieve.result("planned", kept, figure("screenLoss"));
  sieve.known(kept, () => kept);

  const hours = 19;
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
  clock.known(hours + 1 + workSteps.length, rowOf);
  const carry = hours + 3 + workSteps.length;
  plan.put(carry, 1, "For the next bid", "heading");
  plan.across(
    carry + 1,
    [1, 10],
    asFormula(
      `IF(${loss}="","Enter what was opened and screened out, and this line says what to carry to Materials.","Materials, "&${order.material("topdress").name}&", screen loss: "&TEXT(${loss},"0.0%")&" instead of "&TEXT(${figure("screenLoss")},"0.0%")&".")`,
    ),
    "text",
  );
  plan.across(
    carry + 2,
    [1, 10],
    "Carry a real pace over to its step on the next bid's Order sheet. One job is a hint; three make a figure.",
    "text",
  );
  plan.widths = [34, 12, 15, 15, 16, 13, 11, 12, 24, 14];
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return plan;
}
