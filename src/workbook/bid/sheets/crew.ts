/** The day in order, for the people who do it: what goes into each hopper and tank, how far, how long. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import { cautions } from "../../../engine/cautions";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { WorkStep } from "../job";
import type { NumberForm, SheetPlan } from "../plan";
import { here } from "../plan";
import { PlacedTable, table } from "../declare/table";
import type { OrderRefs } from "./order";
import type { QuantityRefs, ZoneColumn } from "./quantities";

const tick = "☐";
const width = 9;

const took = <const N extends string, const F extends NumberForm, const S extends string>(
  name: N,
  form: F,
  says: S,
) => ({ name, holds: "number", form, says }) as const;

/** The day in order: each line to be ticked, with what it takes. */
export const day = table({
  id: "day",
  sheet: "crew",
  rows: [
    "water",
    "prepare",
    "edges",
    "firstDirection",
    "crossedDirection",
    "rake",
    "starter",
    "topdress",
    "conditioner",
    "preEmergent",
    "blowOff",
    "signs",
  ],
  columns: {
    tick: { name: "", holds: "text", says: "To tick when it is done." },
    step: { name: "Step", holds: "text", says: "What is to be done." },
    amount: took("Amount", "two decimals", "How much of the material it takes in all."),
    unit: { name: "Unit", holds: "text", says: "What that is measured in." },
    fills: took("Fills", "whole", "How often the hopper is filled."),
    inEach: took("In each", "two decimals", "What goes in each time."),
    walk: { ...took("Walk", "whole", "How far the spreader is walked."), unit: "length" },
    minutes: took("Minutes", "whole", "How long that takes."),
    hours: took("Crew hours", "one decimal", "How long the crew is at it."),
  },
});
export type DayStepId = (typeof day.rows)[number];

export function planCrew(kit: Kit, quantities: QuantityRefs, order: OrderRefs): SheetPlan {
  const plan = kit.sheet("crew", "Tick each line when it is done. The label on each product comes first.");
  const { figure, total } = quantities;
  const lb = kit.unit("weight");
  const seedingDay = order.term("seedingDay");
  plan.put(2, 7, "Day", "unit", { align: "right" });
  plan.put(2, 8, asFormula(`IF(${seedingDay}=0,"",${seedingDay})`), "result", {
    form: "date",
    align: "right",
  });
  plan.put(3, 7, "Crew", "unit", { align: "right" });
  plan.put(3, 8, asFormula(`MAX(1,${order.term("crew")})`), "result", { form: "whole", align: "right" });
  plan.put(4, 7, "Hours", "unit", { align: "right" });
  plan.put(4, 8, asFormula(`${order.hours}`), "result", { form: "one decimal", align: "right" });

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
    worked: Partial<Record<number, readonly [string, NumberForm]>> = {},
    unit: Content = "",
  ) => {
    rows.set(id, row);
    placed.put("tick", row, tick, "tick");
    placed.put("step", row, title, "heading");
    placed.put("unit", row, unit, "unit");
    for (const [column, [formula, form]] of Object.entries(worked) as [
      string,
      readonly [string, NumberForm],
    ][]) {
      plan.result(row, Number(column), formula, form);
    }
    row++;
    plan.across(row++, [2, width], how, "text", lines);
  };
  /** A pass with a spreader: how often the hopper is filled, what goes in, how far and how long it is walked. */
  const pass = (amount: string, area: string, swath: string, crewHours?: string) => {
    const fills = whereSet(figure("hopper"), kit.call("HOPPER_LOADS", amount, figure("hopper")));
    const walk = whereSet(swath, kit.call("WALK_LENGTH", area, swath, 1));
    return {
      3: [amount, "two decimals"],
      5: [fills, "whole"],
      6: [`IF(${here(row, 5)}=0,${amount},${amount}/${here(row, 5)})`, "two decimals"],
      7: [`IF(${amount}=0,0,${walk})`, "whole"],
      8: [whereSet(figure("walkingPace"), `${here(row, 7)}/${figure("walkingPace")}`), "whole"],
      ...(crewHours === undefined ? {} : { 9: [crewHours, "one decimal"] as const }),
    } as const;
  };
  const dropSwath = `${figure("dropWidth")}/${kit.system === "us" ? 12 : 100}`;
  step(
    "water",
    "Water first",
    "Set up sprinklers, hoses and timer and try them now: after seeding nobody walks on the ground again.",
    1,
    { 9: [hours("finish"), "one decimal"] },
  );
  step(
    "prepare",
    "Prepare the ground",
    "Mow low, rake out, loosen the surface; take off what comes loose.",
    1,
    {
      9: [hours("prepare"), "one decimal"],
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
    { 3: [total("topdressing"), "one decimal"], 9: [hours("topdress"), "one decimal"] },
    `${kit.unit("bagVolume")} loose`,
  );
  plan.put(row, 2, "Bags to open", "label");
  const bag = order.material("topdress");
  plan.put(row, 3, asFormula(`${bag.need}`), "result", { form: "one decimal" });
  plan.put(row, 4, `${kit.unit("bagVolume")} as printed on the bags`, "unit");
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
      { 3: [order.material("preEmergent").need, "two decimals"], 9: [hours("preEmergent"), "one decimal"] },
      kit.unit("liquidDose"),
    );
    const [volume, tank] = [figure("sprayVolume"), figure("tank")];
    const dose = order.material("preEmergent").need;
    // A volume for an area at so much per acre or hectare, as a dose of product is. A table of loads would spill over
    // a number of rows that a handed-over sheet cannot change; the two kinds of load can be reckoned anywhere.
    const water = plan.result(
      row,
      3,
      `IF(OR(${dose}=0,${volume}=0),0,${kit.call("LABEL_DOSE", total("area"), volume)})`,
      "two decimals",
    );
    plan.put(row, 2, "Water in all", "label");
    plan.put(row++, 4, kit.unit("tank"), "unit");
    plan.put(row, 2, "Tank loads", "label");
    const loads = plan.result(row, 3, whereSet(tank, kit.call("HOPPER_LOADS", water, tank)), "whole");
    plan.put(row++, 4, "loads", "unit");
    for (const [label, each] of [
      ["Each full load", `MIN(${tank},${water})`],
      ["Last load", `${water}-(${loads}-1)*${tank}`],
    ] as const) {
      plan.put(row, 2, label, "label");
      const filled = plan.result(row, 3, whereSet(loads, each), "two decimals");
      plan.put(row, 4, `${kit.unit("tank")} of water`, "unit");
      plan.result(row, 6, whereSet(water, `${dose}*${filled}/${water}`), "two decimals");
      plan.put(row, 7, `${kit.unit("liquidDose")} of product`, "unit");
      row++;
    }
  }

  placed.known(row - 1, (id) => rows.get(id) ?? 0);
  row++;
  plan.put(row++, 2, "Cautions", "heading");
  for (const caution of cautions.pesticide.slice(0, 5)) plan.across(row++, [2, width], caution, "caution");
  row++;
  plan.put(row++, 2, "What each zone takes", "heading");
  const shown: readonly (readonly [string, ZoneColumn, NumberForm])[] = [
    [`Area, ${kit.unit("area")}`, "area", "one decimal"],
    [`Edge strip, ${lb} seed`, "seedStrip", "two decimals"],
    [`Each direction, ${lb} seed`, "seedFirst", "two decimals"],
    [`Starter, ${lb}`, "starter", "two decimals"],
    [`Pre-emergent, ${kit.unit("liquidDose")}`, "spray", "two decimals"],
    [`Topdressing, ${kit.unit("bagVolume")}`, "topdressing", "one decimal"],
    [`Conditioner, ${lb}`, "conditioner", "two decimals"],
  ];
  plan.columns(row, ["", "Zone"]);
  plan.columns(
    row++,
    shown.map(([title]) => title),
    3,
    { align: "right" },
  );
  for (let i = 0; i < quantities.capacity; i++) {
    const name = quantities.zone(i, "zone");
    plan.put(row, 1, asFormula(`IF(${name}="","","${tick}")`), "tick");
    plan.put(row, 2, asFormula(name), "label");
    shown.forEach(([, column, form], n) =>
      plan.result(row, 3 + n, `IF(${name}="","",${quantities.zone(i, column)})`, form),
    );
    row++;
  }
  plan.widths = [5, 34, 13, 15, 11, 13, 13, 14, 13];
  plan.titleRows = [1, 2];
  return plan;
}
