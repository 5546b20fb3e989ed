/** What is chosen for the job, and what each zone then needs of it. */
import { asFormula } from "../../writing";
import type { PlannedSheets } from "../bid-sheets";
import { areaColumn, seedRateColumn } from "../declare/common";
import type { Declared } from "../declare/declared";
import { formOf } from "../declare/declared";
import type { Sheet } from "../declare/sheet";
import type { ColumnId } from "../declare/table";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { ChosenLine } from "../named-lines";
import type { SheetPlan } from "../plan";
import type { ChosenFigure, Figure } from "./chosen";
import { chosen, chosenLines } from "./chosen";
import { planChosen } from "./choices";

/** What each zone needs, a row each, in the order of Site. */
export const needs = table({
  id: "needs",
  sheet: "quantities",
  rows: ["all"],
  columns: {
    position: { name: "No.", holds: "number", form: "whole", says: "The zone's place on Site." },
    zone: { name: "Zone", holds: "text", means: "zone", says: "The zone, from Site." },
    area: areaColumn("The area that is reckoned with: as measured, or at most."),
    edge: {
      name: "Edge",
      unit: "length",
      holds: "number",
      means: "edge",
      form: "one decimal",
      says: "The edge to walk, from Site.",
    },
    strip: {
      name: "Strip by drop spreader",
      unit: "area",
      holds: "number",
      form: "one decimal",
      says: "What the drop spreader covers along the edge.",
    },
    remainder: {
      name: "Remainder, broadcast",
      unit: "area",
      holds: "number",
      form: "one decimal",
      says: "What is left for the broadcast spreader.",
    },
    seedRate: seedRateColumn("The rate of pure live seed, from Site."),
    seedStrip: {
      name: "Seed on the strip",
      unit: "weight",
      holds: "number",
      form: "two decimals",
      says: "Seed for the strip.",
    },
    seedFirst: {
      name: "Seed, first direction",
      unit: "weight",
      holds: "number",
      means: "seedWeight",
      form: "two decimals",
      says: "Half of the seed for the remainder.",
    },
    seedCrossed: {
      name: "Seed, crossed direction",
      unit: "weight",
      holds: "number",
      means: "seedWeight",
      form: "two decimals",
      says: "The other half.",
    },
    seed: {
      name: "Seed in all",
      unit: "weight",
      holds: "number",
      means: "seedWeight",
      form: "two decimals",
      says: "Seed for the zone, as it comes out of the bag.",
    },
    starter: {
      name: "Starter",
      unit: "weight",
      holds: "number",
      means: "starterWeight",
      form: "two decimals",
      says: "Starter for the zone.",
    },
    spray: {
      name: "Pre-emergent",
      unit: "liquidDose",
      holds: "number",
      means: "preEmergent",
      form: "two decimals",
      says: "Product to spray on the zone.",
    },
    topdressing: {
      name: "Topdressing, loose",
      unit: "bagVolume",
      holds: "number",
      means: "topdressing",
      form: "one decimal",
      says: "Loose topdressing for the zone.",
    },
    conditioner: {
      name: "Conditioner",
      unit: "weight",
      holds: "number",
      form: "two decimals",
      says: "Conditioner for the zone.",
    },
    ifOverseed: {
      name: "Seed if overseeded",
      unit: "weight",
      holds: "number",
      form: "two decimals",
      says: "Seed where the zone were overseeded.",
    },
    ifNew: {
      name: "Seed if made new",
      unit: "weight",
      holds: "number",
      form: "two decimals",
      says: "Seed where the zone were made new.",
    },
    remark: { name: "Watch", holds: "text", says: "What to look at again in the zone." },
  },
});
export type ZoneColumn = ColumnId<typeof needs>;
const columns = Object.keys(needs.columns) as ZoneColumn[];

export interface QuantityRefs {
  readonly capacity: number;
  /** A figure chosen or worked out for the whole job. */
  readonly figure: (figure: Figure) => string;
  /** The material that was chosen, with its line on Materials. */
  readonly chosen: (figure: ChosenFigure) => ChosenLine;
  /** A column's sum over all zones. */
  readonly total: (column: ZoneColumn) => string;
  /** A field of the zone in a row, counted from 0. */
  readonly zone: (index: number, column: ZoneColumn) => string;
  /** The column over all zones. */
  readonly all: (column: ZoneColumn) => string;
}

/** Beside the page, two columns off it. */
const besideLeft = columns.length + 2;

function planQuantities(kit: Kit, plan: SheetPlan, { site, materials }: PlannedSheets): QuantityRefs {
  const { capacity } = site;
  const { figures, lines } = planChosen(kit, plan, materials, besideLeft);
  const fixed = (figure: Figure) => figures.fixed(figure);

  const heading = figures.end + 2;
  const placed = new PlacedTable(kit, plan, needs, heading + 1);
  const firstZone = placed.head + 1;
  const totals = firstZone + capacity;
  placed.known(totals - 1, () => totals);
  plan.put(heading, 1, "By zone", "heading");
  placed.heads();
  const grasses = materials.text("preEmergents", "grasses", {
    name: fixed("preEmergent"),
    line: lines.fixed("line", figures.row("preEmergent")),
  });
  for (let i = 0; i < capacity; i++) planZone(firstZone + i, i + 1);

  function planZone(row: number, position: number): void {
    const at = (column: ZoneColumn) => placed.at(column, row);
    const result = (column: ZoneColumn, formula: string) => placed.result(column, row, formula);
    placed.put("position", row, position, "label", { form: "whole", align: "left" });
    const k = `$${at("position")}`;
    placed.formula("zone", row, site.pickText("name", k), "label");
    result(
      "area",
      `IF(${fixed("buyFor")}="area at most",${site.pick("areaAtMost", k)},${site.pick("area", k)})`,
    );
    result("edge", site.pick("edge", k));
    const strip = kit.call("EDGE_AREA", at("edge"), fixed("dropWidth"), site.pick("insideCorners", k));
    result("strip", whereSet(fixed("dropWidth"), `MIN(${at("area")},${strip})`));
    result("remainder", `${at("area")}-${at("strip")}`);
    result("seedRate", site.pick("seedRate", k));
    const seedOn = (area: string, rate = at("seedRate")) =>
      whereSet(rate, kit.call("SEED_WEIGHT", area, rate, fixed("pureLiveSeed")));
    result("seedStrip", seedOn(at("strip")));
    result("seedFirst", `${seedOn(at("remainder"))}/2`);
    result("seedCrossed", at("seedFirst"));
    result("seed", `${at("seedStrip")}+${at("seedFirst")}+${at("seedCrossed")}`);
    result(
      "starter",
      whereSet(
        fixed("starterRate"),
        kit.call("FERTILISER_WEIGHT", at("area"), fixed("phosphateRate"), fixed("phosphate")),
      ),
    );
    result("spray", whereSet(fixed("labelRate"), kit.call("LABEL_DOSE", at("area"), fixed("labelRate"))));
    result("topdressing", whereSet(fixed("depth"), kit.call("TOPDRESS_VOLUME", at("area"), fixed("depth"))));
    result(
      "conditioner",
      whereSet(fixed("conditionerRate"), kit.call("SEED_WEIGHT", at("area"), fixed("conditionerRate"))),
    );
    for (const purpose of ["overseed", "new"] as const) {
      const grass = site.pickText("grass", k);
      const published = kit.call("SEED_RATE", grass, `"${purpose}"`);
      const rate = `IF(OR(${site.pickText("purpose", k)}="${purpose}",${grass}=""),${at("seedRate")},${published})`;
      result(
        purpose === "new" ? "ifNew" : "ifOverseed",
        `IF(${at("seedRate")}=0,0,${kit.call("SEED_WEIGHT", at("area"), rate, fixed("pureLiveSeed"))})`,
      );
    }
    const grass = site.pickText("grass", k);
    const notListed = `IF(AND(${at("area")}>0,${fixed("labelRate")}>0,${grass}<>"",${grasses}<>""),ISERROR(FIND(LOWER(${grass}),LOWER(${grasses}))))`;
    placed.formula(
      "remark",
      row,
      `IF(${notListed},"the label figures on Materials do not name this grass",${site.pickText("missing", k)})`,
      "caution",
    );
  }

  placed.put("position", totals, "", "total");
  placed.put("zone", totals, "All zones", "total");
  const unsummed: readonly ZoneColumn[] = ["position", "zone", "seedRate", "remark"];
  for (const column of columns.slice(2)) {
    const declared: Declared = needs.columns[column];
    const form = formOf(declared, kit.system) ?? "two decimals";
    if (unsummed.includes(column)) placed.put(column, totals, "", "total", { form });
    else
      placed.formula(column, totals, `SUM(${placed.here(column, firstZone, totals - 1)})`, "total", { form });
  }
  const named = `SUMPRODUCT((${site.column("name")}<>"")*1)-2`;
  const shown = `SUMPRODUCT((${placed.here("zone", firstZone, totals - 1)}<>"")*1)`;
  plan.put(
    heading - 1,
    1,
    asFormula(
      `IF(${named}>${shown},"Site holds "&${named}&" zones and this sheet covers "&${shown}&" of them: write a new bid with more zones, or join zones.","")`,
    ),
    "caution",
  );
  plan.widths = [6, 34, 28, 18, 12, 12, 12, 11, 11, 11, 11, 11, 12, 13, 12, 12, 11, 40, 3, 12, 12];
  plan.printed = { columns: columns.length };
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return {
    capacity,
    figure: (figure) => figures.cell(figure),
    chosen: (figure) => ({
      name: figures.cell(figure),
      line: lines.cell("line", figures.row(figure)),
    }),
    total: (column) => placed.cell(column, totals),
    zone: (index, column) => placed.cell(column, firstZone + index),
    all: (column) => placed.range(column, firstZone, totals - 1),
  };
}

export const quantitiesSheet: Sheet<QuantityRefs> = {
  name: "Quantities",
  purpose: "Quantities: what is chosen, and what each zone needs",
  tab: "worked",
  tellsCosts: false,
  tables: [chosenLines, needs],
  figures: [chosen],
  plan: planQuantities,
};
