/** The price book: what the tag, the bag and the label say, what is in stock, packs and prices. */
import type { Kit } from "../kit";
import { choicesOf, parameterOf } from "../kit";
import type { MaterialInput } from "../job";
import { here } from "../plan";
import type { CellOptions, NumberForm, SheetPlan } from "../plan";

export type Section = "seedLots" | "starters" | "preEmergents" | "topdressings" | "conditioners";

/** One of a section's own columns: filled in, or worked out from the others of its row. */
interface Own {
  readonly id: string;
  readonly head: string;
  readonly options?: CellOptions;
  readonly worked?: (at: (id: string) => string) => string;
  readonly form?: NumberForm;
  /** Set where only the label that the estimator holds may say it. */
  readonly fromLabel?: true;
}

const own = { first: 2, columns: 8 } as const;
const stock = own.first + own.columns;
const sizes = stock + 1;
const prices = sizes + 3;
const supplier = prices + 3;

export interface MaterialRefs {
  readonly plan: SheetPlan;
  /** The names of a section, for a list to choose from. */
  readonly names: (section: Section) => string;
  /** A figure of the material that stands chosen in a cell; a blank choice or a blank figure gives 0. */
  readonly figure: (section: Section, id: string, chosen: string) => string;
  /** The same for a text. */
  readonly text: (section: Section, id: string, chosen: string) => string;
  /** One of the three pack sizes or prices. */
  readonly pack: (section: Section, which: "size" | "price", index: number, chosen: string) => string;
}

export function planMaterials(kit: Kit): MaterialRefs {
  const plan = kit.sheet("materials", "Materials: the price book");
  plan.put(
    4,
    1,
    "To add a material, copy a whole row and insert it above its closing line. Quantities chooses from here.",
    "legend",
  );
  const sections = sectionsOf(kit);
  const places = new Map<Section, { head: number; closing: number; columns: ReadonlyMap<string, number> }>();
  let row = 6;
  for (const { section, title, unit, owns, rows, least } of sections) {
    plan.put(row, 1, title, "heading");
    const fromLabel =
      kit.job === undefined ? "from your label" : "invented label of the sample: enter your own";
    const labelled = owns.findIndex((one) => one.fromLabel === true);
    if (labelled >= 0) plan.put(row, own.first + labelled, fromLabel, "note");
    const head = row + 1;
    plan.columns(head, ["Name", ...owns.map((one) => one.head)]);
    for (let i = owns.length; i < own.columns; i++) plan.put(head, own.first + i, "", "column");
    plan.columns(
      head,
      [
        `In stock, ${unit}`,
        ...[1, 2, 3].map((n) => `Pack ${n}, ${unit}`),
        ...[1, 2, 3].map((n) => `Price of pack ${n}`),
        "Supplier",
      ],
      stock,
    );
    const count = Math.max(least, rows.length + 2);
    for (let i = 0; i < count; i++) planMaterial(plan, head + 1 + i, owns, rows[i]);
    const closing = head + 1 + count;
    plan.put(closing, 1, `Insert ${title.toLowerCase()} above this line`, "closing");
    for (let column = 2; column <= supplier; column++) plan.put(closing, column, "", "closing");
    const columns = new Map<string, number>([
      ["stock", stock],
      ["supplier", supplier],
      ...owns.map(({ id }, i) => [id, own.first + i] as const),
    ]);
    places.set(section, { head, closing, columns });
    row = closing + 2;
  }
  plan.widths = [30, ...Array.from({ length: own.columns }, () => 13), 11, 9, 9, 9, 10, 10, 10, 24];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];

  const range = (section: Section, column: number): string => {
    const place = places.get(section);
    if (place === undefined) throw new Error(`Materials have no section ${section}`);
    return plan.block(place.head, column, place.closing, column);
  };
  const columnOf = (section: Section, id: string): number => {
    const column = places.get(section)?.columns.get(id);
    if (column === undefined) throw new Error(`${section} have no column ${id}`);
    return column;
  };
  const lookedUp = (section: Section, column: number, chosen: string) =>
    `INDEX(${range(section, column)},MATCH(${chosen},${range(section, 1)},0))`;
  const number = (section: Section, column: number, chosen: string) =>
    `IF(${chosen}="",0,${lookedUp(section, column, chosen)}+0)`;
  return {
    plan,
    names: (section) => {
      const place = places.get(section);
      if (place === undefined) throw new Error(`Materials have no section ${section}`);
      return plan.block(place.head + 1, 1, place.closing - 1, 1);
    },
    figure: (section, id, chosen) => number(section, columnOf(section, id), chosen),
    text: (section, id, chosen) =>
      `IF(${chosen}="","",${lookedUp(section, columnOf(section, id), chosen)}&"")`,
    pack: (section, which, index, chosen) =>
      number(section, (which === "size" ? sizes : prices) + index, chosen),
  };
}

interface SectionPlan {
  readonly section: Section;
  readonly title: string;
  readonly unit: string;
  readonly owns: readonly Own[];
  readonly rows: readonly MaterialInput[];
  /** Rows laid out in an empty book. */
  readonly least: number;
}

function sectionsOf(kit: Kit): readonly SectionPlan[] {
  const { job } = kit;
  const limited = (id: string, parameter: string, form: NumberForm = "general"): CellOptions => ({
    form,
    limit: parameterOf(id, parameter),
  });
  const grade = (nutrient: string) => (at: (id: string) => string) =>
    `IF(${at("grade")}="",0,${kit.call("GRADE", at("grade"), `"${nutrient}"`)})`;
  return [
    {
      section: "seedLots",
      title: "Seed lots",
      unit: kit.unit("weight"),
      rows: job?.seedLots ?? [],
      least: 6,
      owns: [
        { id: "grass", head: "Grass", options: { choices: choicesOf("SEED_RATE", "grass") } },
        { id: "lot", head: "Lot on the tag", options: { form: "text" } },
        { id: "tested", head: "Tested on", options: { form: "date" } },
        { id: "purity", head: "Pure seed", options: limited("PURE_LIVE_SEED", "purity", "per cent") },
        {
          id: "germination",
          head: "Germination",
          options: limited("PURE_LIVE_SEED", "germination", "per cent"),
        },
        { id: "dormant", head: "Hard or dormant", options: limited("PURE_LIVE_SEED", "dormant", "per cent") },
        {
          id: "pureLiveSeed",
          head: "Pure live seed",
          worked: (at) =>
            `IF(${at("purity")}=0,0,${kit.call("PURE_LIVE_SEED", at("purity"), at("germination"), at("dormant"))})`,
          form: "per cent",
        },
        {
          id: "seedsPerWeight",
          head: kit.system === "us" ? "Seeds per lb" : "Seeds per kg",
          options: limited("SEED_DENSITY", "seeds_per_weight", "whole"),
        },
      ],
    },
    {
      section: "starters",
      title: "Starter fertilisers",
      unit: kit.unit("weight"),
      rows: job?.starters ?? [],
      least: 4,
      owns: [
        { id: "grade", head: "Grade on the bag", options: { form: "text" } },
        { id: "nitrogen", head: "Nitrogen, N", worked: grade("N"), form: "per cent" },
        { id: "phosphate", head: "Phosphate, P₂O₅", worked: grade("P2O5"), form: "per cent" },
        { id: "potash", head: "Potash, K₂O", worked: grade("K2O"), form: "per cent" },
        { id: "active", head: "Active it carries", options: { form: "text" }, fromLabel: true },
        {
          id: "activeShare",
          head: "Share of active",
          options: limited("GRANULE_ACTIVE_RATE", "active_share", "fine per cent"),
          fromLabel: true,
        },
      ],
    },
    {
      section: "preEmergents",
      title: "Pre-emergents",
      unit: kit.unit("liquidDose"),
      rows: job?.preEmergents ?? [],
      least: 4,
      owns: [
        { id: "active", head: "Active", options: { form: "text" }, fromLabel: true },
        {
          id: "rateLow",
          head: `Lowest rate, ${kit.unit("labelRate")}`,
          options: limited("LABEL_DOSE", "label_rate"),
          fromLabel: true,
        },
        {
          id: "rateHigh",
          head: `Highest rate, ${kit.unit("labelRate")}`,
          options: limited("LABEL_DOSE", "label_rate"),
          fromLabel: true,
        },
        {
          id: "concentration",
          head: `Concentration, ${kit.unit("concentration")}`,
          options: limited("ACTIVE_RATE", "concentration"),
          fromLabel: true,
        },
        {
          id: "seasonLimit",
          head: `Season limit, ${kit.unit("activeRate")}`,
          options: limited("SEASON_ROOM", "season_limit"),
          fromLabel: true,
        },
        {
          id: "leastVolume",
          head: `Least spray volume, ${kit.unit("sprayVolume")}`,
          options: limited("TANK_LOADS", "spray_volume"),
          fromLabel: true,
        },
        { id: "grasses", head: "Grasses it allows", options: { form: "text" }, fromLabel: true },
        { id: "repeatDays", head: "Days before a repeat", options: { form: "whole" }, fromLabel: true },
      ],
    },
    {
      section: "topdressings",
      title: "Topdressings",
      unit: kit.unit("bagVolume"),
      rows: job?.topdressings ?? [],
      least: 4,
      owns: [
        { id: "swell", head: "Swell: loose per bag volume", options: limited("TOPDRESS_BAGS", "swell") },
        {
          id: "screenLoss",
          head: "Screen loss, from past jobs",
          options: limited("TOPDRESS_BAGS", "screen_loss", "per cent"),
        },
      ],
    },
    {
      section: "conditioners",
      title: "Soil conditioners",
      unit: kit.unit("weight"),
      rows: job?.conditioners ?? [],
      least: 3,
      owns: [
        { id: "rate", head: `Rate, ${kit.unit("spreadRate")}`, options: limited("SEED_WEIGHT", "rate") },
        { id: "repeatDays", head: "Days before a repeat", options: { form: "whole" } },
      ],
    },
  ];
}

function planMaterial(
  plan: SheetPlan,
  row: number,
  owns: readonly Own[],
  material: MaterialInput | undefined,
): void {
  const at = (id: string) => here(row, own.first + owns.findIndex((one) => one.id === id));
  const given = new Map<string, unknown>(Object.entries(material ?? {}));
  plan.input(row, 1, material?.name, { form: "text" });
  owns.forEach(({ id, options, worked, form }, i) => {
    const content = given.get(id);
    if (worked !== undefined) plan.result(row, own.first + i, worked(at), form ?? "general");
    else plan.input(row, own.first + i, isContent(content) ? content : undefined, options);
  });
  plan.input(row, stock, material?.inStock, { limit: parameterOf("PACKS", "need") });
  for (const n of [0, 1, 2]) {
    plan.input(row, sizes + n, material?.packs[n]?.size, { limit: parameterOf("PACKS", "pack") });
    plan.input(row, prices + n, material?.packs[n]?.price, { form: "money" });
  }
  plan.input(row, supplier, material?.supplier, { form: "text" });
}

const isContent = (content: unknown): content is string | number =>
  typeof content === "string" || typeof content === "number";
