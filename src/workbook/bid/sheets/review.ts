/** After the job: what was really used, so that the next bid reckons with it. */
import { asFormula } from "../../write-cells";
import type { Kit } from "../kit";
import type { Entry } from "../entry";
import { amount } from "../entry";
import type { SheetPlan } from "../plan";
import { here } from "../plan";
import type { OrderRefs } from "./order";
import type { Bought } from "./steps";
import { bought, stepNames } from "./steps";
import { workSteps } from "../job";
import type { QuantityRefs } from "./quantities";

/** A figure of the real job. */
const used = (name: string, unit?: string): Entry => ({
  name,
  ...(unit === undefined ? {} : { unit }),
  takes: "number",
  limits: amount,
  example: 2.5,
  empty: "Leave it empty until you know.",
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
  plan.columns(screen + 1, ["", "Unit", "Opened", "Screened out", "Real screen loss", "Planned"]);
  plan.put(screen + 2, 1, asFormula(`${order.material("topdress").name}`), "label");
  plan.put(screen + 2, 2, kit.unit("bagVolume"), "unit");
  const loose = kit.unit("bagVolume");
  const openedCell = plan.input(screen + 2, 3, undefined, { entry: used("Opened", loose) });
  const out = plan.input(screen + 2, 4, undefined, { entry: used("Screened out", loose) });
  plan.result(
    screen + 2,
    5,
    `IF(${openedCell}=0,"",${kit.call("SCREEN_LOSS", openedCell, out)})`,
    "per cent",
    { align: "right" },
  );
  plan.result(screen + 2, 6, figure("screenLoss"), "per cent");

  const hours = 19;
  plan.put(hours, 1, "Hours", "heading");
  plan.columns(hours + 1, [
    "Step",
    "",
    "Crew hours planned",
    "Crew hours taken",
    `Real pace, ${kit.unit("area")} per person-hour`,
  ]);
  workSteps.forEach((step, i) => {
    const row = hours + 2 + i;
    plan.put(row, 1, stepNames[step], "label");
    plan.result(row, 3, order.step(step).hours, "two decimals");
    const taken = plan.input(row, 4, undefined, { entry: used("Crew hours taken") });
    plan.result(
      row,
      5,
      `IF(${taken}=0,"",${order.step(step).area}/(${taken}*MAX(1,${order.term("crew")})))`,
      "whole",
      { align: "right" },
    );
  });
  const carry = hours + 3 + workSteps.length;
  plan.put(carry, 1, "For the next bid", "heading");
  const loss = here(screen + 2, 5);
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
