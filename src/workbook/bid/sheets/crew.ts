/** The day in order, for the people who do it: what goes into each hopper and tank, how far, how long. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import { cautions } from "../../../engine/cautions";
import type { PlannedSheets } from "../bid-sheets";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { WorkStep } from "../job";
import type { NumberForm, SheetPlan } from "../plan";
import { formOf, unitOf } from "../declare/declared";
import type { DeclaredFigure, FigureId } from "../declare/figures";
import { knowFigure } from "../declare/figures";
import type { Sheet } from "../declare/sheet";
import type { ColumnId } from "../declare/table";
import { PlacedTable } from "../declare/table";
import type { OrderRefs } from "./order";
import type { QuantityRefs } from "./quantities";
import type { DayStepId } from "./work-day";
import { day, loads, portions, shift } from "./work-day";

const tick = "☐";
const width = 9;
/** The column of the figures at the head of the page. */
const shiftColumn = 8;

type DayColumn = ColumnId<typeof day>;
type Worked = Partial<Record<DayColumn, readonly [formula: string, form: NumberForm]>>;

/** The figures at the head of the page, each to the right of its label. */
function planShift(plan: SheetPlan, order: OrderRefs): void {
  const seedingDay = order.term("seedingDay");
  const stand = (row: number, id: FigureId<typeof shift>, formula: string) => {
    const { name, form } = shift.figures[id];
    plan.put(row, shiftColumn - 1, name, "unit", { align: "right" });
    plan.put(row, shiftColumn, asFormula(formula), "result", { form, align: "right" });
    knowFigure(plan, shift, id, row, [shiftColumn, shiftColumn]);
  };
  stand(2, "day", `IF(${seedingDay}=0,"",${seedingDay})`);
  stand(3, "crew", `MAX(1,${order.term("crew")})`);
  stand(4, "hours", order.hours);
}

/** A table of what each zone takes. */
function planPortions(kit: Kit, plan: SheetPlan, head: number, quantities: QuantityRefs): void {
  const placed = new PlacedTable(kit, plan, portions, head);
  placed.heads({ align: "right" });
  placed.put("tick", head, "", "column");
  placed.put("zone", head, portions.columns.zone.name, "column");
  const shown = ["area", "seedStrip", "seedFirst", "starter", "spray", "topdressing", "conditioner"] as const;
  for (let i = 0; i < quantities.capacity; i++) {
    const row = head + 1 + i;
    const name = quantities.zone(i, "zone");
    placed.formula("tick", row, `IF(${name}="","","${tick}")`, "tick");
    placed.formula("zone", row, name, "label");
    for (const id of shown) placed.result(id, row, `IF(${name}="","",${quantities.zone(i, id)})`);
  }
  placed.known(head + quantities.capacity);
}

function planCrew(kit: Kit, plan: SheetPlan, { quantities, order }: PlannedSheets): void {
  const { figure, total } = quantities;
  const lb = kit.unit("weight");
  planShift(plan, order);

  let row = 6;
  const placed = new PlacedTable(kit, plan, day, row++);
  const rows = new Map<string, number>();
  placed.heads({ align: "right" });
  placed.put("tick", placed.head, "", "column");
  placed.put("step", placed.head, "Step", "column");
  placed.put("unit", placed.head, "Unit", "column");
  const hours = (step: WorkStep) => order.step(step).hours;
  const step = (
    id: DayStepId,
    title: string,
    how: Content,
    lines: number,
    worked: Worked = {},
    unit: Content = "",
  ) => {
    rows.set(id, row);
    placed.put("tick", row, tick, "tick");
    placed.put("step", row, title, "heading");
    placed.put("unit", row, unit, "unit");
    for (const [id, [formula, form]] of Object.entries(worked) as [DayColumn, Worked[DayColumn] & object][])
      plan.result(row, placed.column(id), formula, form);
    row++;
    plan.across(row++, [2, width], how, "text", lines);
  };
  /** What is filled or opened, in a column of the day, with its unit beside it. */
  const beside = (id: FigureId<typeof loads>, column: "amount" | "inEach", formula: string) => {
    const at = placed.column(column);
    const declared: DeclaredFigure = loads.figures[id];
    knowFigure(plan, loads, id, row, [at, at]);
    plan.put(row, at + 1, unitOf(declared, kit.system) ?? "", "unit");
    return plan.result(row, at, formula, formOf(declared, kit.system) ?? "general");
  };
  const load = (id: FigureId<typeof loads>, formula: string) => {
    placed.put("step", row, loads.figures[id].name, "label");
    return beside(id, "amount", formula);
  };
  /** A pass with a spreader: how often the hopper is filled, what goes in, how far and how long it is walked. */
  const pass = (amount: string, area: string, swath: string, crewHours?: string) => {
    const fills = whereSet(figure("hopper"), kit.call("HOPPER_LOADS", amount, figure("hopper")));
    const walk = whereSet(swath, kit.call("WALK_LENGTH", area, swath, 1));
    const times = placed.at("fills", row);
    return {
      amount: [amount, "two decimals"],
      fills: [fills, "whole"],
      inEach: [`IF(${times}=0,${amount},${amount}/${times})`, "two decimals"],
      walk: [`IF(${amount}=0,0,${walk})`, "whole"],
      minutes: [
        whereSet(figure("walkingPace"), `${placed.at("walk", row)}/${figure("walkingPace")}`),
        "whole",
      ],
      ...(crewHours === undefined ? {} : { hours: [crewHours, "one decimal"] as const }),
    } as const;
  };
  const dropSwath = `${figure("dropWidth")}/${kit.system === "us" ? 12 : 100}`;
  step(
    "water",
    "Water first",
    "Set up sprinklers, hoses and timer and try them now: after seeding nobody walks on the ground again.",
    1,
    { hours: [hours("finish"), "one decimal"] },
  );
  step(
    "prepare",
    "Prepare the ground",
    "Mow low, rake out, loosen the surface; take off what comes loose.",
    1,
    {
      hours: [hours("prepare"), "one decimal"],
    },
  );
  step(
    "edges",
    "Seed the edges",
    "Weigh out the seed for the strip. Drop spreader along every edge, open side away from beds and paving.",
    1,
    pass(total("seedStrip"), total("strip"), dropSwath, hours("seed")),
    lb,
  );
  step(
    "firstDirection",
    "Broadcast, first direction",
    "Weigh out half of the remainder. Start on a low setting and go on crisscross until the hopper is empty.",
    1,
    pass(total("seedFirst"), total("remainder"), figure("swath")),
    lb,
  );
  step(
    "crossedDirection",
    "Broadcast, crossed direction",
    "The other half, square to the first direction, in the same way. Do not seed the edges again.",
    1,
    pass(total("seedCrossed"), total("remainder"), figure("swath")),
    lb,
  );
  step(
    "rake",
    "Rake in and roll",
    "Rake lightly so that seed meets soil, then roll once with an empty or half-full roller.",
    1,
  );
  step(
    "starter",
    "Starter fertilizer",
    "Half in each of two crossed directions. Sweep what lands on hard surfaces back onto the grass.",
    1,
    pass(order.material("starter").need, `2*${total("area")}`, figure("swath"), hours("starter")),
    lb,
  );
  step(
    "topdress",
    "Topdress",
    "Screen, spread evenly, drag in. Put the bags that were opened and what the screen kept on Review.",
    1,
    { amount: [total("topdressing"), "one decimal"], hours: [hours("topdress"), "one decimal"] },
    `${kit.unit("bagVolume")} loose`,
  );
  load("bags", order.material("topdress").need);
  row++;
  step(
    "conditioner",
    "Soil conditioner",
    asFormula(
      `IF(${order.material("conditioner").need}=0,"Not in this job.","Repeat"&IF(${figure("conditionerDays")}=0,"",", after "&TEXT(${figure("conditionerDays")},"0")&" days")&", as its label says.")`,
    ),
    1,
    pass(order.material("conditioner").need, total("area"), figure("swath"), hours("conditioner")),
    asFormula(`IF(${order.material("conditioner").need}=0,"","${lb}")`),
  );
  planSpray();
  step(
    "blowOff",
    "Blow off",
    "Blow all hard surfaces clean, back onto the grass; nothing goes into a drain.",
    1,
  );
  step(
    "signs",
    "Signs and tape",
    "Put up signs or tape at every way in. Walk the client through the watering schedule.",
    1,
  );

  function planSpray(): void {
    step(
      "preEmergent",
      "Pre-emergent, per label",
      "Protective equipment as the label asks: at the least long sleeves, long pants, shoes and socks, resistant gloves.",
      1,
      {
        amount: [order.material("preEmergent").need, "two decimals"],
        hours: [hours("preEmergent"), "one decimal"],
      },
      kit.unit("liquidDose"),
    );
    const [volume, tank] = [figure("sprayVolume"), figure("tank")];
    const dose = order.material("preEmergent").need;
    // A volume for an area at so much per acre or hectare, as a dose of product is. A table of loads would spill over
    // a number of rows that a handed-over sheet cannot change; the two kinds of load can be reckoned anywhere.
    const water = load(
      "water",
      `IF(OR(${dose}=0,${volume}=0),0,${kit.call("LABEL_DOSE", total("area"), volume)})`,
    );
    row++;
    const tanks = load("tanks", whereSet(tank, kit.call("HOPPER_LOADS", water, tank)));
    row++;
    for (const [id, product, each] of [
      ["full", "fullProduct", `MIN(${tank},${water})`],
      ["last", "lastProduct", `${water}-(${tanks}-1)*${tank}`],
    ] as const) {
      const filled = load(id, whereSet(tanks, each));
      beside(product, "inEach", whereSet(water, `${dose}*${filled}/${water}`));
      row++;
    }
  }

  placed.known(row - 1, (id) => rows.get(id) ?? 0);
  row++;
  plan.put(row++, 2, "Cautions", "heading");
  for (const caution of cautions.pesticide.slice(0, 5)) plan.across(row++, [2, width], caution, "caution");
  row++;
  plan.put(row++, 2, "What each zone takes", "heading");
  planPortions(kit, plan, row, quantities);
  plan.widths = [5, 34, 13, 15, 11, 13, 13, 14, 13];
  plan.titleRows = [1, 2];
}

export const crewSheet: Sheet = {
  name: "Crew",
  purpose: "Crew: the day in order",
  legend: "Tick each line when it is done. The label on each product comes first.",
  tab: "paper",
  tellsCosts: false,
  tables: [day, portions],
  figures: [shift, loads],
  plan: planCrew,
};
