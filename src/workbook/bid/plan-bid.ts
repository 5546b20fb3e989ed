/** The first bid, from measurements to a price: four sheets of inputs and live formulas, laid out but not yet written. */
import { namespace, functionNamed } from "../../engine/catalogue";
import { cautions } from "../../engine/cautions";
import type { Parameter } from "../../engine/parameters";
import type { QuantityKind, UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import type { CellOptions, NumberForm } from "./plan";
import { SheetPlan } from "./plan";
import type { JobInput, ZoneInput } from "./sample-property";

export const bidSheetNames = {
  site: "Site",
  materials: "Materials",
  quantities: "Quantities",
  bid: "Bid",
} as const;
export type BidSheet = keyof typeof bidSheetNames;

export interface BidPlan {
  readonly site: SheetPlan;
  readonly materials: SheetPlan;
  readonly quantities: SheetPlan;
  readonly bid: SheetPlan;
}

/** Rows for so many zones are laid out; an unfilled row costs nothing. */
export const zoneRows = 6;
/** Corners that one zone's outline has room for. */
export const cornerRows = 12;

/** Where the zones and their outlines begin on every sheet, so that a zone keeps its row from sheet to sheet. */
const firstZone = 7;
const totalRow = firstZone + zoneRows;
const outlineHead = totalRow + 3;
const firstCorner = outlineHead + 2;

const parameterOf = (id: string, parameter: string): Parameter => {
  const found = functionNamed(id)?.parameters.find((one) => one.id === parameter);
  if (found === undefined) throw new Error(`${id} has no parameter ${parameter}`);
  return found;
};

class BidPlanner {
  readonly site: SheetPlan;
  readonly materials: SheetPlan;
  readonly quantities: SheetPlan;
  readonly bid: SheetPlan;

  constructor(
    private readonly system: UnitSystem,
    private readonly property: string,
    private readonly job: JobInput | undefined,
    names: Readonly<Record<BidSheet, string>>,
  ) {
    this.site = new SheetPlan(names.site);
    this.materials = new SheetPlan(names.materials);
    this.quantities = new SheetPlan(names.quantities);
    this.bid = new SheetPlan(names.bid);
  }

  plan(): BidPlan {
    this.planSite();
    const materials = this.planMaterials();
    const needs = this.planQuantities(materials);
    this.planBid(needs);
    const { site, quantities, bid } = this;
    return { site, materials: this.materials, quantities, bid };
  }

  /** A call of ours: arguments in the order of the parameters, the unit system where it is not the default. */
  private call(id: string, ...given: readonly (string | number)[]): string {
    const parameters = functionNamed(id)?.parameters ?? [];
    const position = parameters.findIndex((parameter) => parameter.id === "units");
    const texts = given.map(String);
    if (this.system === "metric" && position >= 0) {
      while (texts.length < position) texts.push("");
      texts.push('"metric"');
    }
    return `${namespace}.${id}(${texts.join(",")})`;
  }

  private unit(kind: QuantityKind): string {
    return unitText(kind, this.system);
  }

  private header(sheet: SheetPlan, purpose: string): void {
    sheet.put(1, 1, sheet === this.site ? this.property : `=${this.site.at(1, 1)}&""`, "title", {
      form: "text",
    });
    sheet.put(2, 1, purpose, "purpose");
    sheet.put(3, 1, "Boxed cells are yours to fill in; everything else is worked out from them.", "legend");
  }

  private columns(sheet: SheetPlan, row: number, names: readonly string[]): void {
    names.forEach((name, i) => sheet.put(row, i + 1, name, "column"));
  }

  private input(
    sheet: SheetPlan,
    row: number,
    column: number,
    content: string | number | undefined,
    options: CellOptions = {},
  ): string {
    sheet.put(row, column, content ?? "", "input", options);
    return sheet.at(row, column);
  }

  private result(sheet: SheetPlan, row: number, column: number, formula: string, form: NumberForm): string {
    sheet.put(row, column, `=${formula}`, "result", { form });
    return sheet.at(row, column);
  }

  private planSite(): void {
    const { site } = this;
    this.header(site, "Site: zones as measured");
    site.put(5, 1, "Zones", "heading");
    const [ft, strip, ft2] = [this.unit("length"), this.unit("stripWidth"), this.unit("area")];
    this.columns(site, firstZone - 1, [
      "Zone",
      "How measured",
      `Edge length, ${ft}`,
      `Strip width, ${strip}`,
      "Inside corners",
      `Typed area, ${ft2}`,
      `Area, ${ft2}`,
      `Seeding rate, ${this.unit("spreadRate")}`,
    ]);
    for (let i = 0; i < zoneRows; i++) this.planZone(i, this.job?.zones[i]);
    site.put(totalRow, 1, "All zones", "total");
    const total = site.block(firstZone, 7, totalRow - 1, 7);
    site.put(totalRow, 7, `=SUM(${total})`, "total", { form: "one decimal" });

    site.put(
      outlineHead - 1,
      1,
      `Outlines, for zones measured by corners: x and y in ${ft}, in order round the outline`,
      "heading",
    );
    for (let i = 0; i < zoneRows; i++) {
      site.put(outlineHead, 2 * i + 2, `=${site.at(firstZone + i, 1)}&""`, "column");
      site.put(outlineHead, 2 * i + 3, "", "column");
      site.put(outlineHead + 1, 2 * i + 2, "x", "column");
      site.put(outlineHead + 1, 2 * i + 3, "y", "column");
    }
    site.put(outlineHead + 1, 1, "Corner", "column");
    for (let corner = 0; corner < cornerRows; corner++) {
      site.put(firstCorner + corner, 1, corner + 1, "label", { form: "whole" });
      for (let i = 0; i < zoneRows; i++) {
        const at = this.job?.zones[i]?.corners?.[corner];
        this.input(site, firstCorner + corner, 2 * i + 2, at?.[0]);
        this.input(site, firstCorner + corner, 2 * i + 3, at?.[1]);
      }
    }
    site.widths = [18, 13, 13, 13, 13, 13, 13, 16, 10, 10, 10, 10, 10];
    site.frozenRows = firstZone - 1;
    site.landscape = true;
  }

  private planZone(i: number, zone: ZoneInput | undefined): void {
    const { site } = this;
    const row = firstZone + i;
    this.input(site, row, 1, zone?.name, { form: "text" });
    const measured = this.input(site, row, 2, zone?.measured, { choices: ["corners", "strip", "typed"] });
    const length = this.input(site, row, 3, zone?.length, { limit: parameterOf("EDGE_AREA", "perimeter") });
    const width = this.input(site, row, 4, zone?.width, { limit: parameterOf("EDGE_AREA", "width") });
    const inside = this.input(site, row, 5, zone?.insideCorners, {
      limit: parameterOf("EDGE_AREA", "corners"),
    });
    const typed = this.input(site, row, 6, zone?.area, { limit: parameterOf("SEED_WEIGHT", "area") });
    const outline = site.block(firstCorner, 2 * i + 2, firstCorner + cornerRows - 1, 2 * i + 3);
    const corners = this.call("POLYGON_AREA", outline);
    const strip = this.call("EDGE_AREA", length, width, inside);
    this.result(
      site,
      row,
      7,
      `IF(${measured}="corners",${corners},IF(${measured}="strip",${strip},${typed}+0))`,
      "one decimal",
    );
    this.input(site, row, 8, zone?.seedRate, { limit: parameterOf("SEED_WEIGHT", "rate") });
  }

  private planMaterials(): MaterialCells {
    const { materials: sheet, job } = this;
    this.header(sheet, "Materials: what the tag, the bag and your label say, packs and prices");
    const money: CellOptions = { form: "money" };
    let row = 5;
    const heading = (text: string, note = "") => {
      sheet.put(row, 1, text, "heading");
      if (note !== "") sheet.put(row, 4, note, "note");
      row++;
    };
    const line = (label: string, unit: string, note: string) => {
      sheet.put(row, 1, label, "label");
      sheet.put(row, 3, unit, "unit");
      if (note !== "") sheet.put(row, 4, note, "note");
    };
    const input = (
      label: string,
      content: string | number | undefined,
      unit = "",
      options: CellOptions = {},
      note = "",
    ): string => {
      line(label, unit, note);
      return this.input(sheet, row++, 2, content, options);
    };
    const result = (label: string, formula: string, unit: string, form: NumberForm, note = ""): string => {
      line(label, unit, note);
      return this.result(sheet, row++, 2, formula, form);
    };
    const limited = (id: string, parameter: string, form: NumberForm = "general"): CellOptions => ({
      form,
      limit: parameterOf(id, parameter),
    });
    const fromLabel = job === undefined ? "from your label" : "invented label of the sample: enter your own";

    heading("Supplier");
    input("Supplier", job?.supplier, "", { form: "text" });
    row++;

    heading("Seed");
    const seedName = input("Seed lot", job?.seed.name, "", { form: "text" });
    const purity = input(
      "Pure seed",
      job?.seed.purity,
      "",
      limited("PURE_LIVE_SEED", "purity", "per cent"),
      "from the tag",
    );
    const germination = input(
      "Germination",
      job?.seed.germination,
      "",
      limited("PURE_LIVE_SEED", "germination", "per cent"),
      "from the tag",
    );
    const pureLiveSeed = result(
      "Pure live seed",
      `IF(${purity}="",0,${this.call("PURE_LIVE_SEED", purity, germination)})`,
      "",
      "per cent",
      "with no tag figures the seeding rate is read as a bulk rate",
    );
    const seedBag = input("Bag", job?.seed.bag, this.unit("weight"), limited("PACKS", "pack"));
    const seedPrice = input("Price a bag", job?.seed.price, "", money);
    row++;

    heading("Starter fertiliser");
    const starterName = input("Starter", job?.starter.name, "", { form: "text" });
    const grade = input(
      "Grade",
      job?.starter.grade,
      "",
      { form: "text" },
      "N, P₂O₅ and K₂O as printed on the bag",
    );
    const phosphateRate = input(
      "Phosphate rate wanted",
      job?.starter.phosphateRate,
      `P₂O₅, ${this.unit("spreadRate")}`,
      limited("FERTILISER_WEIGHT", "nutrient_rate"),
    );
    const phosphate = result(
      "Phosphate in the bag",
      `IF(${grade}="",0,${this.call("GRADE", grade, '"P2O5"')})`,
      "P₂O₅",
      "per cent",
    );
    const starterRate = result(
      "Product rate",
      `IF(${phosphate}=0,0,${phosphateRate}/${phosphate})`,
      this.unit("spreadRate"),
      "two decimals",
    );
    const activeShare = input(
      "Pre-emergent on the starter",
      job?.starter.activeShare,
      "share of active",
      limited("GRANULE_ACTIVE_RATE", "active_share", "fine per cent"),
      fromLabel,
    );
    const carried = result(
      "Active that the starter carries",
      `IF(OR(${starterRate}=0,${activeShare}=""),0,${this.call("GRANULE_ACTIVE_RATE", starterRate, activeShare)})`,
      this.unit("activeRate"),
      "four decimals",
    );
    const starterBag = input("Bag", job?.starter.bag, this.unit("weight"), limited("PACKS", "pack"));
    const starterPrice = input("Price a bag", job?.starter.price, "", money);
    row++;

    heading("Pre-emergent spray, per label", fromLabel);
    const sprayName = input("Product", job?.spray.name, "", { form: "text" });
    const labelRate = input(
      "Label rate",
      job?.spray.labelRate,
      this.unit("labelRate"),
      limited("LABEL_DOSE", "label_rate"),
      fromLabel,
    );
    const concentration = input(
      "Concentration",
      job?.spray.concentration,
      this.unit("concentration"),
      limited("ACTIVE_RATE", "concentration"),
      fromLabel,
    );
    const sprayed = result(
      "Active that the spray delivers",
      `IF(OR(${labelRate}="",${concentration}=""),0,${this.call("ACTIVE_RATE", labelRate, concentration)})`,
      this.unit("activeRate"),
      "four decimals",
    );
    const seasonLimit = input(
      "Season limit of the active",
      job?.spray.seasonLimit,
      this.unit("activeRate"),
      limited("SEASON_ROOM", "season_limit"),
      fromLabel,
    );
    const room = result(
      "Room left this season",
      `IF(${seasonLimit}="",0,${this.call("SEASON_ROOM", seasonLimit, carried, sprayed)})`,
      this.unit("activeRate"),
      "four decimals",
      "starter and spray counted together; below 0 the limit is overspent",
    );
    sheet.put(row, 1, "Season limit", "label");
    this.result(
      sheet,
      row,
      2,
      `IF(${seasonLimit}="","enter the limit from your label",IF(${room}<0,"OVERSPENT: change the job","kept"))`,
      "text",
    );
    row++;
    const bottle = input("Bottle", job?.spray.bottle, this.unit("liquidDose"), limited("PACKS", "pack"));
    const bottlePrice = input("Price a bottle", job?.spray.price, "", money);
    row++;

    heading("Topdressing");
    const topdressName = input("Topdressing", job?.topdressing.name, "", { form: "text" });
    const depth = input(
      "Depth",
      job?.topdressing.depth,
      this.unit("depth"),
      limited("TOPDRESS_BAGS", "depth"),
    );
    const bagVolume = input(
      "Bag",
      job?.topdressing.bag,
      this.unit("bagVolume"),
      limited("TOPDRESS_BAGS", "bag_volume"),
    );
    const screenLoss = input(
      "Screen loss",
      job?.topdressing.screenLoss,
      "",
      limited("TOPDRESS_BAGS", "screen_loss", "per cent"),
      "share that stays on the screen, from your past jobs",
    );
    const swell = input(
      "Swell",
      job?.topdressing.swell,
      "",
      limited("TOPDRESS_BAGS", "swell"),
      "loose volume per volume printed on the bag",
    );
    const bagPrice = input("Price a bag", job?.topdressing.price, "", money);
    row++;
    row = this.planCautions(sheet, row);
    sheet.widths = [30, 26, 24, 58];
    sheet.frozenRows = 3;

    return {
      seed: { name: seedName, pack: seedBag, price: seedPrice },
      pureLiveSeed,
      starter: { name: starterName, pack: starterBag, price: starterPrice },
      phosphateRate,
      phosphate,
      spray: { name: sprayName, pack: bottle, price: bottlePrice },
      labelRate,
      topdressing: { name: topdressName, pack: bagVolume, price: bagPrice },
      depth,
      screenLoss,
      swell,
    };
  }

  private planCautions(sheet: SheetPlan, from: number): number {
    sheet.put(from, 1, "Cautions", "heading");
    cautions.pesticide.forEach((sentence, i) => sheet.put(from + 1 + i, 1, sentence, "caution"));
    return from + 1 + cautions.pesticide.length;
  }

  private planQuantities(materials: MaterialCells): readonly Need[] {
    const { quantities: sheet, site } = this;
    this.header(sheet, "Quantities: what each zone needs");
    sheet.put(5, 1, "By zone", "heading");
    this.columns(sheet, firstZone - 1, [
      "Zone",
      `Area, ${this.unit("area")}`,
      `Seed, ${this.unit("weight")}`,
      `Starter, ${this.unit("weight")}`,
      `Spray, ${this.unit("liquidDose")}`,
      `Topdressing, ${this.unit("bagVolume")} loose`,
    ]);
    for (let i = 0; i < zoneRows; i++) {
      const row = firstZone + i;
      sheet.put(row, 1, `=${site.at(row, 1)}&""`, "label");
      const area = this.result(sheet, row, 2, site.at(row, 7), "one decimal");
      this.result(
        sheet,
        row,
        3,
        this.call("SEED_WEIGHT", area, site.at(row, 8), materials.pureLiveSeed),
        "two decimals",
      );
      this.result(
        sheet,
        row,
        4,
        this.whereSet(
          materials.phosphate,
          this.call("FERTILISER_WEIGHT", area, materials.phosphateRate, materials.phosphate),
        ),
        "two decimals",
      );
      this.result(
        sheet,
        row,
        5,
        this.whereSet(materials.labelRate, this.call("LABEL_DOSE", area, materials.labelRate)),
        "two decimals",
      );
      this.result(
        sheet,
        row,
        6,
        this.whereSet(materials.depth, this.call("TOPDRESS_VOLUME", area, materials.depth)),
        "one decimal",
      );
    }
    sheet.put(totalRow, 1, "All zones", "total");
    for (let column = 2; column <= 6; column++) {
      sheet.put(totalRow, column, `=SUM(${sheet.block(firstZone, column, totalRow - 1, column)})`, "total", {
        form: column === 2 || column === 6 ? "one decimal" : "two decimals",
      });
    }

    const packsHead = totalRow + 3;
    sheet.put(packsHead - 1, 1, "To buy, over all zones together", "heading");
    this.columns(sheet, packsHead, ["Material", "Need", "Unit", "Pack", "Packs to buy", "Left over"]);
    const total = (column: number) => sheet.at(totalRow, column);
    const simple = (material: PackedMaterial, need: string) =>
      this.whereSet(material.pack, this.call("PACKS", need, material.pack));
    const { seed, starter, spray, topdressing, depth, screenLoss, swell } = materials;
    const rows: readonly (readonly [PackedMaterial, number, QuantityKind, string])[] = [
      [seed, 3, "weight", simple(seed, total(3))],
      [starter, 4, "weight", simple(starter, total(4))],
      [spray, 5, "liquidDose", simple(spray, total(5))],
      [
        topdressing,
        6,
        "bagVolume",
        this.whereSet(
          depth,
          this.whereSet(
            topdressing.pack,
            this.call("TOPDRESS_BAGS", total(2), depth, topdressing.pack, screenLoss, swell),
          ),
        ),
      ],
    ];
    const needs = rows.map(([material, column, kind, formula], i): Need => {
      const row = packsHead + 1 + i;
      sheet.put(row, 1, `=${material.name}&""`, "label");
      const need = this.result(sheet, row, 2, total(column), "two decimals");
      sheet.put(row, 3, this.unit(kind), "unit");
      const pack = this.result(sheet, row, 4, `${material.pack}+0`, "general");
      const packs = this.result(sheet, row, 5, formula, "whole");
      const delivered =
        column === 6 ? `${packs}*${pack}*IF(${swell}="",1,${swell})*(1-${screenLoss})` : `${packs}*${pack}`;
      this.result(sheet, row, 6, `${delivered}-${need}`, "two decimals");
      return { name: sheet.at(row, 1), packs, price: material.price };
    });
    const after = this.planCautions(sheet, packsHead + 2 + rows.length);
    sheet.put(
      after,
      1,
      `=IF(${materials.labelRate}="","The spray is left out until the rate from your label stands on the materials sheet.","")`,
      "caution",
    );
    sheet.widths = [30, 14, 14, 14, 14, 20];
    sheet.frozenRows = 3;
    return needs;
  }

  /** A step whose rate is not filled in yet is left out of the job and costs nothing. */
  private whereSet(cell: string, formula: string): string {
    return `IF(${cell}=0,0,${formula})`;
  }

  private planBid(needs: readonly Need[]): void {
    const { bid: sheet, job } = this;
    this.header(sheet, "Bid: cost and price");
    sheet.put(5, 1, "Materials", "heading");
    this.columns(sheet, 6, ["Item", "Quantity", "Unit", "Price each", "Cost"]);
    let row = 7;
    const first = row;
    for (const need of needs) {
      sheet.put(row, 1, `=${need.name}&""`, "label");
      this.result(sheet, row, 2, need.packs, "whole");
      sheet.put(row, 3, "packs", "unit");
      this.result(sheet, row, 4, `${need.price}+0`, "money");
      this.result(sheet, row, 5, `${sheet.at(row, 2)}*${sheet.at(row, 4)}`, "money");
      row++;
    }
    sheet.put(row, 1, "Labour", "label");
    this.input(sheet, row, 2, job?.labour.hours, { form: "one decimal" });
    sheet.put(row, 3, "hours", "unit");
    this.input(sheet, row, 4, job?.labour.hourly, { form: "money" });
    this.result(sheet, row, 5, `${sheet.at(row, 2)}*${sheet.at(row, 4)}`, "money");
    row++;
    sheet.put(row, 1, "Cost", "total");
    sheet.put(row, 5, `=SUM(${sheet.block(first, 5, row - 1, 5)})`, "total", { form: "money" });
    const cost = sheet.at(row, 5);
    row += 2;

    sheet.put(row++, 1, "Price", "heading");
    sheet.put(row, 1, "Margin, as a share of the price", "label");
    const margin = this.input(sheet, row, 5, job?.margin, {
      form: "per cent",
      limit: parameterOf("MARGIN_PRICE", "margin"),
    });
    row++;
    sheet.put(row, 1, "Price before tax", "label");
    const price = this.result(
      sheet,
      row,
      5,
      `IF(${margin}=0,${cost},${this.call("MARGIN_PRICE", cost, margin)})`,
      "money",
    );
    row++;
    sheet.put(row, 1, "The same as a markup on cost", "label");
    this.result(sheet, row, 5, `IF(${cost}=0,0,${price}/${cost}-1)`, "per cent");
    row++;
    sheet.put(row, 1, "Sales tax", "label");
    const tax = this.input(sheet, row, 5, job?.tax, { form: "per cent" });
    row++;
    sheet.put(row, 1, "Price with tax", "total");
    sheet.put(row, 5, `=ROUND(${price}*(1+${tax}),2)`, "total", { form: "money" });
    this.planCautions(sheet, row + 2);
    sheet.widths = [34, 12, 10, 14, 16];
    sheet.frozenRows = 3;
  }
}

interface PackedMaterial {
  readonly name: string;
  readonly pack: string;
  readonly price: string;
}

interface MaterialCells {
  readonly seed: PackedMaterial;
  readonly pureLiveSeed: string;
  readonly starter: PackedMaterial;
  readonly phosphateRate: string;
  readonly phosphate: string;
  readonly spray: PackedMaterial;
  readonly labelRate: string;
  readonly topdressing: PackedMaterial;
  readonly depth: string;
  readonly screenLoss: string;
  readonly swell: string;
}

interface Need {
  readonly name: string;
  readonly packs: string;
  readonly price: string;
}

export interface BidChoices {
  readonly system: UnitSystem;
  readonly property: string;
  /** The job filled in, or undefined for empty input cells. */
  readonly job: JobInput | undefined;
}

export const planBid = (
  { system, property, job }: BidChoices,
  names: Readonly<Record<BidSheet, string>> = bidSheetNames,
): BidPlan => new BidPlanner(system, property, job, names).plan();
