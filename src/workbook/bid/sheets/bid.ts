/** What the client sees: what is done, what it costs, what else is on offer, what is not covered. One page. */
import { asFormula } from "../../writing";
import { cautions } from "../../../engine/cautions";
import type { Content } from "../../host";
import type { PlannedSheets } from "../bid-sheets";
import type { FigureId } from "../declare/figures";
import { knowFigure } from "../declare/figures";
import type { Sheet } from "../declare/sheet";
import type { Table } from "../declare/table";
import { PlacedTable } from "../declare/table";
import type { Kit } from "../kit";
import { workSteps } from "../job";
import type { CellRole, SheetPlan } from "../plan";
import { instead, notCovered, offer, prices, safety, scope } from "./client-page";
import type { OrderRefs } from "./order";
import { options } from "./alternates";
import { stepNames } from "./steps";
import type { QuantityRefs } from "./quantities";

/** The columns of the page, and those to the left of its prices. */
const all = [1, 3] as const;
const most = [1, 2] as const;
const last = [3, 3] as const;

const exclusions = [
  "Seed, starter and topdressing washed out by a storm after seeding: spread again at the price of the step.",
  "Failure where the watering schedule was not kept up, or where the ground was walked on before the second mowing.",
  "Weeds that the pre-emergent's label does not name; repairs to sprinklers, paving and beds.",
];

/** Zone names that a sentence lists before it counts the others. */
const namesListed = 6;

/** A sentence that follows Order, such as a date in words. */
const day = (kit: Kit, reference: string) =>
  `TEXT(${reference},"${kit.system === "us" ? "mmmm d, yyyy" : "d mmmm yyyy"}")`;

/** The lines under the head of the page: whom it is for and from, its day and its end. */
function planOffer(kit: Kit, plan: SheetPlan, order: OrderRefs): void {
  const to = (reference: string, label: string) => `IF(${reference}="","",${label}&${reference})`;
  const [bidDay, valid] = [order.term("bidDay"), order.term("validDays")];
  const left = (row: number, id: FigureId<typeof offer>, formula: string) => {
    plan.across(row, most, asFormula(formula), "text");
    knowFigure(plan, offer, id, row, most);
  };
  const right = (row: number, id: FigureId<typeof offer>, formula: string) => {
    plan.put(row, last[0], asFormula(formula), "text", { align: "right" });
    knowFigure(plan, offer, id, row, last);
  };
  left(3, "client", to(order.term("client"), '"For "'));
  right(3, "dated", `IF(${bidDay}=0,"",${day(kit, bidDay)})`);
  left(4, "company", to(order.term("company"), '"From "'));
  right(4, "holds", `IF(${bidDay}*${valid}=0,"","holds until "&${day(kit, `${bidDay}+${valid}`)})`);
}

/** A heading with sentences under it; answers with the row after the last of them. */
function planSentences(
  kit: Kit,
  plan: SheetPlan,
  head: number,
  table: Table & { readonly columns: Readonly<Record<"what", { readonly name: string }>> },
  role: CellRole,
  sentences: readonly (readonly [content: Content, lines: number])[],
): number {
  const placed = new PlacedTable(kit, plan, table, head);
  placed.put("what", head, table.columns.what.name, "heading");
  sentences.forEach(([content, lines], i) => plan.across(head + 1 + i, all, content, role, lines));
  const end = head + 1 + sentences.length;
  placed.known(end - 1, (id) => head + 1 + table.rows.indexOf(id));
  return end;
}

function planPrices(kit: Kit, plan: SheetPlan, head: number, order: OrderRefs): number {
  const placed = new PlacedTable(kit, plan, prices, head);
  const rowOf = (id: string) => head + 1 + prices.rows.indexOf(id);
  const shown = order.term("shown");
  placed.heads();
  placed.formula("price", head, `IF(${shown}="by step","each step","in all")`, "column", { align: "right" });
  const line = (id: string, label: string, formula: string, role: "result" | "total" = "result") => {
    const row = rowOf(id);
    const words = role === "total" ? "total" : "label";
    placed.put("step", row, label, words);
    plan.put(row, placed.column("step") + 1, "", words);
    placed.formula("price", row, formula, role, { form: "money", align: "right" });
  };
  for (const step of workSteps) {
    const { price, area } = order.step(step);
    const included = `IF(${shown}="by step",${price},"included")`;
    line(step, stepNames[step], `IF(${area}=0,"not included",${included})`);
  }
  const at = (id: string) => placed.at("price", rowOf(id));
  line("beforeTax", "Before tax", order.price, "total");
  line("tax", "Sales tax", `${order.taxed}-${order.price}`);
  line("withTax", "Price with tax", order.taxed, "total");
  const deposit = `ROUND(${at("withTax")}*${order.term("deposit")},2)`;
  line("deposit", "Deposit, due with your signature", deposit);
  line("balance", "Balance, due when the work is done", `${at("withTax")}-${at("deposit")}`);
  const end = head + 1 + prices.rows.length;
  placed.known(end - 1, rowOf);
  return end;
}

function planInstead(kit: Kit, plan: SheetPlan, head: number, order: OrderRefs): number {
  const placed = new PlacedTable(kit, plan, instead, head);
  placed.heads();
  options.forEach((_, i) => {
    const row = head + 1 + i;
    const { name, taxed: price } = order.option(i);
    placed.formula("option", row, name, "label");
    plan.put(row, placed.column("option") + 1, "", "label");
    placed.result("price", row, price, { align: "right" });
  });
  const end = head + 1 + options.length;
  placed.known(end - 1);
  return end;
}

function planBidSheet(kit: Kit, plan: SheetPlan, { quantities, order }: PlannedSheets): void {
  planOffer(kit, plan, order);
  const seedingDay = order.term("seedingDay");
  const begun = `IF(${seedingDay}=0,"Seeding day: by arrangement.","Seeding day: "&${day(kit, seedingDay)}&", weather allowing.")`;
  const done = [...doneFor(kit, quantities, order), [begun, 1] as const];
  const plain = (text: string) => [text, 1] as const;
  let row = planSentences(
    kit,
    plan,
    6,
    scope,
    "text",
    done.map(([formula, lines]) => [asFormula(formula), lines]),
  );
  row = planPrices(kit, plan, row + 1, order);
  row = planInstead(kit, plan, row + 1, order);
  row = planSentences(kit, plan, row + 1, notCovered, "text", exclusions.map(plain));
  row = planSentences(kit, plan, row + 1, safety, "caution", cautions.pesticide.slice(0, 5).map(plain));
  row += 2;
  for (const [id, columns] of [
    ["accepted", [1, 1]],
    ["signed", last],
  ] as const) {
    plan.across(row, columns, offer.figures[id].name, "signature");
    knowFigure(plan, offer, id, row, columns);
  }
  plan.widths = [44, 24, 34];
  plan.onePage = true;
}

/** What is done, a sentence each; a step that is not in the job says so. */
function doneFor(
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

/** Only the client's prices stand on it. */
export const bidSheet: Sheet = {
  name: "Bid",
  purpose: "Bid for a lawn renovation",
  legend: "",
  tab: "paper",
  tellsCosts: false,
  tables: [scope, prices, instead, notCovered, safety],
  figures: [offer],
  plan: planBidSheet,
};
