/** What the client sees: what is done, what it costs, what else is on offer, what is not covered. One page. */
import { asFormula } from "../../writing";
import { cautions } from "../../../engine/cautions";
import type { Kit } from "../kit";
import { workSteps } from "../job";
import type { SheetPlan } from "../plan";
import { here } from "../plan";
import type { OrderRefs } from "./order";
import { options } from "./alternates";
import { stepNames } from "./steps";
import type { QuantityRefs } from "./quantities";

const all = [1, 3] as const;

const exclusions = [
  "Seed, starter and topdressing washed out by a storm after seeding: spread again at the price of the step.",
  "Failure where the watering schedule was not kept up, or where the ground was walked on before the second mowing.",
  "Weeds that the pre-emergent's label does not name; repairs to sprinklers, paving and beds.",
];

/** Zone names that a sentence lists before it counts the others. */
const namesListed = 6;

export function planBidSheet(kit: Kit, quantities: QuantityRefs, order: OrderRefs): SheetPlan {
  const plan = kit.sheet("bid", "");
  const to = (reference: string, label: string) => `IF(${reference}="","",${label}&${reference})`;
  const day = (reference: string) =>
    `TEXT(${reference},"${kit.system === "us" ? "mmmm d, yyyy" : "d mmmm yyyy"}")`;
  const [bidDay, valid, seedingDay] = [
    order.term("bidDay"),
    order.term("validDays"),
    order.term("seedingDay"),
  ];
  plan.across(3, [1, 2], asFormula(`${to(order.term("client"), '"For "')}`), "text");
  plan.put(3, 3, asFormula(`IF(${bidDay}=0,"",${day(bidDay)})`), "text", { align: "right" });
  plan.across(4, [1, 2], asFormula(`${to(order.term("company"), '"From "')}`), "text");
  plan.put(
    4,
    3,
    asFormula(`IF(${bidDay}*${valid}=0,"","holds until "&${day(`${bidDay}+${valid}`)})`),
    "text",
    {
      align: "right",
    },
  );

  let row = 6;
  plan.put(row++, 1, "What we do", "heading");
  for (const [formula, lines] of scope(kit, quantities, order)) {
    plan.across(row++, all, asFormula(formula), "text", lines);
  }
  plan.across(
    row++,
    all,
    asFormula(
      `IF(${seedingDay}=0,"Seeding day: by arrangement.","Seeding day: "&${day(seedingDay)}&", weather allowing.")`,
    ),
    "text",
  );

  row++;
  plan.put(row, 1, "Price", "column");
  plan.put(row, 2, "", "column");
  plan.put(row++, 3, asFormula(`IF(${order.term("shown")}="by step","each step","in all")`), "column", {
    align: "right",
  });
  for (const step of workSteps) {
    const { price, area } = order.step(step);
    plan.put(row, 1, stepNames[step], "label");
    plan.put(row, 2, "", "label");
    const shown = `IF(${area}=0,"not included",IF(${order.term("shown")}="by step",${price},"included"))`;
    plan.result(row++, 3, shown, "money", { align: "right" });
  }
  const line = (label: string, formula: string, role: "result" | "total") => {
    plan.put(row, 1, label, role === "total" ? "total" : "label");
    plan.put(row, 2, "", role === "total" ? "total" : "label");
    plan.put(row++, 3, asFormula(formula), role, { form: "money", align: "right" });
  };
  line("Before tax", order.price, "total");
  line("Sales tax", `${order.taxed}-${order.price}`, "result");
  line("Price with tax", order.taxed, "total");
  const taxed = here(row - 1, 3);
  line("Deposit, due with your signature", `ROUND(${taxed}*${order.term("deposit")},2)`, "result");
  line("Balance, due when the work is done", `${taxed}-${here(row - 1, 3)}`, "result");

  row++;
  plan.put(row, 1, "Instead of this you may choose", "column");
  plan.put(row, 2, "", "column");
  plan.put(row++, 3, "price with tax", "column", { align: "right" });
  options.forEach((_, i) => {
    const { name, taxed: price } = order.option(i);
    plan.put(row, 1, asFormula(name), "label");
    plan.put(row, 2, "", "label");
    plan.result(row++, 3, price, "money", { align: "right" });
  });

  row++;
  plan.put(row++, 1, "Not covered", "heading");
  for (const exclusion of exclusions) plan.across(row++, all, exclusion, "text");
  row++;
  plan.put(row++, 1, "For everyone's safety", "heading");
  for (const caution of cautions.pesticide.slice(0, 5)) plan.across(row++, all, caution, "caution");
  row += 2;
  plan.across(row, [1, 1], "Accepted: signature and date", "signature");
  plan.across(row, [3, 3], "For the company", "signature");
  plan.widths = [44, 24, 34];
  plan.onePage = true;
  return plan;
}

/** What is done, a sentence each; a step that is not in the job says so. */
function scope(
  kit: Kit,
  quantities: QuantityRefs,
  order: OrderRefs,
): readonly (readonly [formula: string, lines: number])[] {
  const { figure, total } = quantities;
  const listed = Array.from({ length: namesListed }, (_, i) => quantities.zone(i, "zone"));
  const names = listed.map((name, i) => (i === 0 ? name : `IF(${name}="","",", "&${name})`)).join("&");
  const count = `SUMPRODUCT((${quantities.all("zone")}<>"")*1)`;
  const more = `IF(${count}>${namesListed}," and "&${count}-${namesListed}&" more","")`;
  const lb = kit.unit("weight");
  const said = (which: Parameters<OrderRefs["material"]>[0], decimals: number, unit: string) => {
    const { need, name } = order.material(which);
    return `${kit.words(need, decimals, unit)}&" of "&${name}`;
  };
  const without = (which: Parameters<OrderRefs["material"]>[0], sentence: string, title: string) =>
    `IF(${order.material(which).need}=0,"${title}: not included.",${sentence})`;
  return [
    [
      `"Ground: "&${names}&${more}&"; "&${kit.words(total("area"), 0, kit.unit("area"))}&" in all."`,
      (kit.job?.zones.length ?? listed.length) > 4 ? 2 : 1,
    ],
    [
      without(
        "seed",
        `"Seed: "&${said("seed", 1, lb)}&IF(${figure("pureLiveSeed")}=0,"",", "&TEXT(${figure("pureLiveSeed")},"0%")&" of it pure live seed")&IF(${figure("dropWidth")}=0,"",", along the edges by drop spreader")&", broadcast in two crossed directions, raked in and rolled."`,
        "Seed",
      ),
      2,
    ],
    [
      without(
        "starter",
        `"Starter fertilizer: "&${said("starter", 1, lb)}&", which gives "&TEXT(${figure("phosphateRate")},"0.0##")&" ${kit.unit("spreadRate")} of phosphate."`,
        "Starter fertilizer",
      ),
      1,
    ],
    [
      without(
        "preEmergent",
        `"Pre-emergent against annual weeds: "&${order.material("preEmergent").name}&", once over the whole area, per label."`,
        "Pre-emergent",
      ),
      1,
    ],
    [
      without(
        "topdress",
        `"Topdressing: "&${order.material("topdress").name}&", screened, "&TEXT(${figure("depth")},"0.###")&" ${kit.unit("depth")} deep over the whole area."`,
        "Topdressing",
      ),
      1,
    ],
    [without("conditioner", `"Soil conditioner: "&${said("conditioner", 1, lb)}&"."`, "Soil conditioner"), 1],
    ['"Water: sprinklers are set up and tried before we seed; you get a watering schedule with dates."', 1],
  ];
}
