/** What is chosen for the job, and what each zone then needs of it. */
import type { Content } from "../../write-cells";
import { asFormula, isFormula } from "../../write-cells";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { Takes } from "../entry";
import { amount, inTheRecords, limitsOf, limitsOrNone, onTheLabel } from "../entry";
import type { ChosenLine } from "../named-lines";
import { lineOf, linesNamed } from "../named-lines";
import { blockHere, fixedHere, here } from "../plan";
import type { NumberForm, SheetPlan } from "../plan";
import type { MaterialRefs } from "./materials";
import type { SiteRefs } from "./site";

const columns = [
  "position",
  "zone",
  "area",
  "edge",
  "strip",
  "remainder",
  "seedRate",
  "seedStrip",
  "seedFirst",
  "seedCrossed",
  "seed",
  "starter",
  "spray",
  "topdressing",
  "conditioner",
  "ifOverseed",
  "ifNew",
  "remark",
] as const;
export type ZoneColumn = (typeof columns)[number];
export const zoneColumn = (column: ZoneColumn): number => columns.indexOf(column) + 1;

const figures = [
  "buyFor",
  "seedLot",
  "pureLiveSeed",
  "starter",
  "phosphateRate",
  "phosphate",
  "starterRate",
  "carried",
  "preEmergent",
  "labelRate",
  "sprayVolume",
  "tank",
  "sprayed",
  "applied",
  "seasonLimit",
  "room",
  "verdict",
  "topdressing",
  "depth",
  "screenLoss",
  "swell",
  "conditioner",
  "conditionerRate",
  "conditionerDays",
  "dropWidth",
  "swath",
  "hopper",
  "walkingPace",
] as const;
export type Figure = (typeof figures)[number];

export interface QuantityRefs {
  readonly plan: SheetPlan;
  readonly capacity: number;
  readonly firstZone: number;
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

const firstFigure = 6;

/** What is chosen from Materials, by name. */
const chosenFrom = {
  seedLot: "seedLots",
  starter: "starters",
  preEmergent: "preEmergents",
  topdressing: "topdressings",
  conditioner: "conditioners",
} as const;
type ChosenFigure = keyof typeof chosenFrom;

/** Beside the page: how many lines of Materials have the chosen name, and which is the first of them. */
const beside = { found: columns.length + 2, line: columns.length + 3 } as const;

export function planQuantities(kit: Kit, site: SiteRefs, materials: MaterialRefs): QuantityRefs {
  const plan = kit.sheet("quantities");
  const { capacity } = site;
  const rowOf = planChosen(kit, plan, materials);
  const chosen = (figure: Figure) => fixedHere(rowOf(figure), 3);

  const heading = Math.max(...figures.map(rowOf)) + 3;
  const head = heading + 1;
  const firstZone = head + 1;
  const totals = firstZone + capacity;
  plan.put(heading, 1, "By zone", "heading");
  const [ft2, lb] = [kit.unit("area"), kit.unit("weight")];
  const heads: Record<ZoneColumn, string> = {
    position: "No.",
    zone: "Zone",
    area: `Area, ${ft2}`,
    edge: `Edge, ${kit.unit("length")}`,
    strip: `Strip by drop spreader, ${ft2}`,
    remainder: `Remainder, broadcast, ${ft2}`,
    seedRate: `Seeding rate, ${kit.unit("spreadRate")}`,
    seedStrip: `Seed on the strip, ${lb}`,
    seedFirst: `Seed, first direction, ${lb}`,
    seedCrossed: `Seed, crossed direction, ${lb}`,
    seed: `Seed in all, ${lb}`,
    starter: `Starter, ${lb}`,
    spray: `Pre-emergent, ${kit.unit("liquidDose")}`,
    topdressing: `Topdressing, loose, ${kit.unit("bagVolume")}`,
    conditioner: `Conditioner, ${lb}`,
    ifOverseed: `Seed if overseeded, ${lb}`,
    ifNew: `Seed if made new, ${lb}`,
    remark: "Watch",
  };
  plan.columns(
    head,
    columns.map((column) => heads[column]),
  );
  const grasses = materials.text("preEmergents", "grasses", {
    name: chosen("preEmergent"),
    line: fixedHere(rowOf("preEmergent"), beside.line),
  });
  for (let i = 0; i < capacity; i++) planZone(firstZone + i, i + 1);

  function planZone(row: number, position: number): void {
    const at = (column: ZoneColumn) => here(row, zoneColumn(column));
    const result = (column: ZoneColumn, formula: string, form: NumberForm) =>
      plan.result(row, zoneColumn(column), formula, form);
    plan.put(row, 1, position, "label", { form: "whole", align: "left" });
    const k = `$A${row}`;
    plan.put(row, zoneColumn("zone"), asFormula(`${site.pickText("name", k)}`), "label");
    result(
      "area",
      `IF(${chosen("buyFor")}="area at most",${site.pick("areaAtMost", k)},${site.pick("area", k)})`,
      "one decimal",
    );
    result("edge", site.pick("edge", k), "one decimal");
    const strip = kit.call("EDGE_AREA", at("edge"), chosen("dropWidth"), site.pick("insideCorners", k));
    result("strip", whereSet(chosen("dropWidth"), `MIN(${at("area")},${strip})`), "one decimal");
    result("remainder", `${at("area")}-${at("strip")}`, "one decimal");
    result("seedRate", site.pick("seedRate", k), "two decimals");
    const seedOn = (area: string, rate = at("seedRate")) =>
      whereSet(rate, kit.call("SEED_WEIGHT", area, rate, chosen("pureLiveSeed")));
    result("seedStrip", seedOn(at("strip")), "two decimals");
    result("seedFirst", `${seedOn(at("remainder"))}/2`, "two decimals");
    result("seedCrossed", at("seedFirst"), "two decimals");
    result("seed", `${at("seedStrip")}+${at("seedFirst")}+${at("seedCrossed")}`, "two decimals");
    result(
      "starter",
      whereSet(
        chosen("starterRate"),
        kit.call("FERTILISER_WEIGHT", at("area"), chosen("phosphateRate"), chosen("phosphate")),
      ),
      "two decimals",
    );
    result(
      "spray",
      whereSet(chosen("labelRate"), kit.call("LABEL_DOSE", at("area"), chosen("labelRate"))),
      "two decimals",
    );
    result(
      "topdressing",
      whereSet(chosen("depth"), kit.call("TOPDRESS_VOLUME", at("area"), chosen("depth"))),
      "one decimal",
    );
    result(
      "conditioner",
      whereSet(chosen("conditionerRate"), kit.call("SEED_WEIGHT", at("area"), chosen("conditionerRate"))),
      "two decimals",
    );
    for (const purpose of ["overseed", "new"] as const) {
      const grass = site.pickText("grass", k);
      const published = kit.call("SEED_RATE", grass, `"${purpose}"`);
      const rate = `IF(OR(${site.pickText("purpose", k)}="${purpose}",${grass}=""),${at("seedRate")},${published})`;
      result(
        purpose === "new" ? "ifNew" : "ifOverseed",
        `IF(${at("seedRate")}=0,0,${kit.call("SEED_WEIGHT", at("area"), rate, chosen("pureLiveSeed"))})`,
        "two decimals",
      );
    }
    const grass = site.pickText("grass", k);
    const notListed = `IF(AND(${at("area")}>0,${chosen("labelRate")}>0,${grass}<>"",${grasses}<>""),ISERROR(FIND(LOWER(${grass}),LOWER(${grasses}))))`;
    plan.put(
      row,
      zoneColumn("remark"),
      asFormula(
        `IF(${notListed},"the label figures on Materials do not name this grass",${site.pickText("missing", k)})`,
      ),
      "caution",
    );
  }

  plan.put(totals, 1, "", "total");
  plan.put(totals, zoneColumn("zone"), "All zones", "total");
  for (const column of columns) {
    const at = zoneColumn(column);
    if (at < 3) continue;
    const summed = column !== "seedRate" && column !== "remark";
    const sum = asFormula(`SUM(${blockHere(firstZone, at, totals - 1, at)})`);
    plan.put(totals, at, summed ? sum : "", "total", {
      form: ["area", "edge", "strip", "remainder", "topdressing"].includes(column)
        ? "one decimal"
        : "two decimals",
    });
  }
  const named = `SUMPRODUCT((${site.column("name")}<>"")*1)-2`;
  const shown = `SUMPRODUCT((${blockHere(firstZone, 2, totals - 1, 2)}<>"")*1)`;
  plan.put(
    heading - 1,
    1,
    asFormula(
      `IF(${named}>${shown},"Site holds "&${named}&" zones and this sheet covers "&${shown}&" of them: write a new bid with more zones, or join zones.","")`,
    ),
    "caution",
  );
  plan.widths = [6, 34, 24, 18, 12, 12, 12, 11, 11, 11, 11, 11, 12, 13, 12, 12, 11, 40, 3, 12, 12];
  plan.printed = { columns: columns.length };
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return {
    plan,
    capacity,
    firstZone,
    figure: (figure) => plan.at(rowOf(figure), 3),
    chosen: (figure) => ({ name: plan.at(rowOf(figure), 3), line: plan.at(rowOf(figure), beside.line) }),
    total: (column) => plan.at(totals, zoneColumn(column)),
    zone: (index, column) => plan.at(firstZone + index, zoneColumn(column)),
    all: (column) => plan.block(firstZone, zoneColumn(column), totals - 1, zoneColumn(column)),
  };
}

/** The upper part of the sheet; answers where each figure stands. */
function planChosen(kit: Kit, plan: SheetPlan, materials: MaterialRefs): (figure: Figure) => number {
  const chosen = kit.job?.chosen;
  const rows = new Map<Figure, number>();
  const rowOf = (figure: Figure): number => rows.get(figure) ?? 0;
  const at = (figure: Figure) => here(rowOf(figure), 3);
  let row = firstFigure;
  plan.put(row - 1, 1, "Chosen for this job", "heading");

  const line = (figure: Figure, label: string, unit: string, note: Content) => {
    rows.set(figure, row);
    plan.put(row, 2, label, "label");
    plan.put(row, 4, unit, "unit");
    if (note !== "") plan.put(row, 5, note, isFormula(note) ? "caution" : "note");
  };
  const input = (
    figure: Figure,
    label: string,
    content: string | number | undefined,
    takes: Takes,
    unit = "",
    note: Content = "",
  ) => {
    line(figure, label, unit, note);
    plan.input(row++, 3, content, {
      align: "right",
      ...(takes.takes === "name" ? { form: "text" } : {}),
      entry: { name: label, ...(unit === "" ? {} : { unit }), ...takes },
    });
  };
  const result = (figure: Figure, label: string, formula: string, form: NumberForm, unit = "", note = "") => {
    line(figure, label, unit, note);
    plan.result(row++, 3, formula, form, { align: "right" });
  };
  const isUs = kit.system === "us";
  const sized = (
    id: string,
    parameter: string,
    example: number | typeof onTheLabel,
    empty: string,
  ): Takes => ({
    takes: "number",
    limits: limitsOrNone(id, parameter),
    example,
    empty,
  });
  const named = (section: Parameters<MaterialRefs["names"]>[0], of: string): Takes => ({
    takes: "name",
    at: materials.names(section),
    of,
    empty: "Leave it empty if the job has none.",
  });
  const atLine = (figure: ChosenFigure): ChosenLine => ({
    name: at(figure),
    line: here(rowOf(figure), beside.line),
  });
  const choose = (figure: ChosenFigure, label: string, of: string) => {
    const section = chosenFrom[figure];
    const [name, found] = [here(row, 3), here(row, beside.found)];
    const list = materials.lines(section);
    plan.result(row, beside.found, `IF(${name}="",0,${linesNamed(list, name)})`, "whole");
    plan.result(row, beside.line, `IF(${name}="",0,IF(${found}=0,NA(),${lineOf(list, name)}))`, "whole");
    const remark = asFormula(
      `IF(${name}="","",IF(${found}=0,"not on Materials: choose again",IF(${found}>1,"more than one on Materials has this name: rename the others","")))`,
    );
    input(figure, label, chosen?.[figure], named(section, of), "", remark);
  };

  input("buyFor", "Reckon and buy for", "area as measured", {
    takes: "choice",
    choices: ["area as measured", "area at most"],
    empty: "An empty cell is read as the area as measured.",
  });
  plan.columns(row - 1, ["Lines of that name", "Line on Materials"], beside.found);
  choose("seedLot", "Seed lot", "seed lots");
  result(
    "pureLiveSeed",
    "Pure live seed",
    materials.figure("seedLots", "pureLiveSeed", atLine("seedLot")),
    "per cent",
    "",
    "with no tag figures the seeding rate is read as a bulk rate",
  );
  choose("starter", "Starter fertilizer", "starters");
  input(
    "phosphateRate",
    "Phosphate rate wanted",
    chosen?.phosphateRate,
    sized("FERTILISER_WEIGHT", "nutrient_rate", isUs ? 1 : 5, "Leave it empty for no starter."),
    `${kit.unit("spreadRate")}`,
    "P₂O₅; a soil test and local phosphorus rules decide",
  );
  result(
    "phosphate",
    "Phosphate in the bag",
    materials.figure("starters", "phosphate", atLine("starter")),
    "per cent",
    "P₂O₅",
  );
  result(
    "starterRate",
    "Product rate",
    `IF(OR(${at("phosphate")}=0,${at("phosphateRate")}=0),0,${at("phosphateRate")}/${at("phosphate")})`,
    "two decimals",
    kit.unit("spreadRate"),
  );
  const share = materials.figure("starters", "activeShare", atLine("starter"));
  result(
    "carried",
    "Active that the starter carries",
    `IF(OR(${at("starterRate")}=0,${share}=0),0,${kit.call("GRANULE_ACTIVE_RATE", at("starterRate"), share)})`,
    "four decimals",
    kit.unit("activeRate"),
  );
  choose("preEmergent", "Pre-emergent", "pre-emergents");
  const label = (id: string) => materials.figure("preEmergents", id, atLine("preEmergent"));
  rows.set("labelRate", row);
  const rate = at("labelRate");
  input(
    "labelRate",
    "Label rate used",
    chosen?.labelRate,
    sized("LABEL_DOSE", "label_rate", onTheLabel, "Only your label says how much; empty for no spray."),
    kit.unit("labelRate"),
    asFormula(
      `IF(${rate}=0,"${kit.job === undefined ? "from your label; " : ""}the spray is left out until a rate stands here",IF(AND(${label("rateLow")}>0,${rate}<${label("rateLow")}),"below the lowest rate on the label",IF(AND(${label("rateHigh")}>0,${rate}>${label("rateHigh")}),"ABOVE the highest rate on the label","")))`,
    ),
  );
  const volume = `C${row}`;
  input(
    "sprayVolume",
    "Spray volume of the sprayer",
    chosen?.sprayVolume,
    sized("TANK_LOADS", "spray_volume", isUs ? 43.56 : 400, "Leave it empty until the sprayer is tried out."),
    kit.unit("sprayVolume"),
    asFormula(
      `IF(AND(${rate}>0,${volume}<${label("leastVolume")}),"below the least spray volume on the label","")`,
    ),
  );
  input(
    "tank",
    "Tank",
    chosen?.tank,
    sized("TANK_LOADS", "tank", isUs ? 4 : 15, "Leave it empty for no tank loads."),
    kit.unit("tank"),
  );
  const concentration = label("concentration");
  result(
    "sprayed",
    "Active that the spray delivers",
    `IF(OR(${rate}=0,${concentration}=0),0,${kit.call("ACTIVE_RATE", rate, concentration)})`,
    "four decimals",
    kit.unit("activeRate"),
  );
  input(
    "applied",
    "Applied already this season",
    undefined,
    {
      takes: "number",
      limits: limitsOf("SEASON_ROOM", "applied"),
      example: inTheRecords,
      empty: "Leave it empty if there was none.",
    },
    kit.unit("activeRate"),
    "of the same active, from your records",
  );
  result(
    "seasonLimit",
    "Season limit on the label",
    label("seasonLimit"),
    "four decimals",
    kit.unit("activeRate"),
  );
  const [one, other] = [
    materials.text("starters", "active", atLine("starter")),
    materials.text("preEmergents", "active", atLine("preEmergent")),
  ];
  const together = `IF(AND(${one}<>"",${other}<>"",${one}<>${other}),0,${at("carried")})`;
  result(
    "room",
    "Room left this season",
    whereSet(
      at("seasonLimit"),
      kit.call("SEASON_ROOM", at("seasonLimit"), together, at("sprayed"), at("applied")),
    ),
    "four decimals",
    kit.unit("activeRate"),
    "starter and spray of one active are counted together",
  );
  line("verdict", "Season limit", "", "");
  plan.put(
    row++,
    3,
    asFormula(
      `IF(${at("labelRate")}+${at("carried")}=0,"no pre-emergent",IF(${at("seasonLimit")}=0,"enter the limit",IF(${at("room")}<0,"OVERSPENT","kept")))`,
    ),
    "caution",
    { align: "right" },
  );
  choose("topdressing", "Topdressing", "topdressings");
  input(
    "depth",
    "Depth",
    chosen?.depth,
    sized("TOPDRESS_BAGS", "depth", isUs ? 0.25 : 6, "Leave it empty for no topdressing."),
    kit.unit("depth"),
  );
  result(
    "screenLoss",
    "Screen loss",
    materials.figure("topdressings", "screenLoss", atLine("topdressing")),
    "per cent",
  );
  const swell = materials.figure("topdressings", "swell", atLine("topdressing"));
  result(
    "swell",
    "Swell",
    `IF(${swell}=0,1,${swell})`,
    "two decimals",
    "",
    "loose volume per volume printed on the bag",
  );
  choose("conditioner", "Soil conditioner", "conditioners");
  result(
    "conditionerRate",
    "Conditioner rate",
    materials.figure("conditioners", "rate", atLine("conditioner")),
    "two decimals",
    kit.unit("spreadRate"),
  );
  result(
    "conditionerDays",
    "Days before it is repeated",
    materials.figure("conditioners", "repeatDays", atLine("conditioner")),
    "whole",
  );
  input(
    "dropWidth",
    "Drop spreader, width",
    chosen?.dropWidth,
    sized("EDGE_AREA", "width", isUs ? 22 : 55, "Leave it empty and all is broadcast."),
    kit.unit("stripWidth"),
    "the strip along the edges; without it all is broadcast",
  );
  input(
    "swath",
    "Broadcast spreader, swath",
    chosen?.swath,
    sized("WALK_LENGTH", "swath", isUs ? 8 : 2.5, "Leave it empty for no length to walk."),
    kit.unit("length"),
  );
  input(
    "hopper",
    "Hopper holds",
    chosen?.hopper,
    sized("HOPPER_LOADS", "capacity", isUs ? 40 : 20, "Leave it empty for no count of fills."),
    kit.unit("weight"),
  );
  input(
    "walkingPace",
    "Walking pace",
    chosen?.walkingPace,
    { takes: "number", limits: amount, example: isUs ? 220 : 65, empty: "Leave it empty for no minutes." },
    `${kit.unit("length")} per min`,
  );
  return rowOf;
}
