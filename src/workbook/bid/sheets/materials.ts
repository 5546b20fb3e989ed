/** The price book: what the tag, the bag and the label say, what is in stock, packs and prices. */
import type { Kit } from "../kit";
import { choicesOf } from "../kit";
import type { Entry, Named, Takes } from "../entry";
import { amount, headOf, lesserPart, limitsOf, limitsOrNone, onTheLabel, wholeAmount } from "../entry";
import type { MaterialInput } from "../job";
import type { ChosenLine, NamedLines } from "../named-lines";
import { here } from "../plan";
import type { NumberForm, SheetPlan } from "../plan";

export type Section = "seedLots" | "starters" | "preEmergents" | "topdressings" | "conditioners";

/** One of a section's own columns: filled in, or worked out from the others of its row. */
interface Own extends Named {
  readonly id: string;
  readonly takes?: Takes;
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
  /** A section as a list to look names up in. */
  readonly lines: (section: Section) => NamedLines;
  /** A figure of the material that stands chosen in a cell; a blank choice or a blank figure gives 0. */
  readonly figure: (section: Section, id: string, chosen: ChosenLine) => string;
  /** The same for a text. */
  readonly text: (section: Section, id: string, chosen: ChosenLine) => string;
  /** One of the three pack sizes or prices. */
  readonly pack: (section: Section, which: "size" | "price", index: number, chosen: ChosenLine) => string;
}

export function planMaterials(kit: Kit): MaterialRefs {
  const plan = kit.sheet("materials");
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
    plan.columns(head, ["Name", ...owns.map(headOf)]);
    for (let i = owns.length; i < own.columns; i++) plan.put(head, own.first + i, "", "column");
    plan.columns(
      head,
      [
        headOf(inStock(unit)),
        ...[1, 2, 3].map((n) => headOf(packOf(n, unit))),
        ...[1, 2, 3].map((n) => headOf(priceOf(n))),
        "Supplier",
      ],
      stock,
    );
    const count = Math.max(least, rows.length + 2);
    for (let i = 0; i < count; i++) planMaterial(plan, head + 1 + i, owns, unit, rows[i]);
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
  plan.widths = [30, ...Array.from({ length: own.columns }, () => 14), 11, 9, 9, 9, 10, 10, 10, 24];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];

  const placeOf = (section: Section) => {
    const place = places.get(section);
    if (place === undefined) throw new Error(`Materials have no section ${section}`);
    return place;
  };
  const range = (section: Section, column: number): string => {
    const { head, closing } = placeOf(section);
    return plan.block(head, column, closing, column);
  };
  const columnOf = (section: Section, id: string): number => {
    const column = places.get(section)?.columns.get(id);
    if (column === undefined) throw new Error(`${section} have no column ${id}`);
    return column;
  };
  const lookedUp = (section: Section, column: number, { line }: ChosenLine) =>
    `INDEX(${range(section, column)},${line})`;
  const number = (section: Section, column: number, chosen: ChosenLine) =>
    `IF(${chosen.name}="",0,${lookedUp(section, column, chosen)}+0)`;
  return {
    plan,
    names: (section) => {
      const { head, closing } = placeOf(section);
      return plan.block(head + 1, 1, closing - 1, 1);
    },
    lines: (section) => {
      const { head, closing } = placeOf(section);
      return {
        names: range(section, 1),
        others: range(section, stock),
        othersHead: plan.at(head, stock),
        closing: plan.at(closing, 1),
      };
    },
    figure: (section, id, chosen) => number(section, columnOf(section, id), chosen),
    text: (section, id, chosen) =>
      `IF(${chosen.name}="","",${lookedUp(section, columnOf(section, id), chosen)}&"")`,
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
  const isUs = kit.system === "us";
  const figure = (
    id: string,
    parameter: string,
    example: number | typeof onTheLabel,
    empty?: string,
  ): Takes => ({
    takes: "number",
    limits: limitsOrNone(id, parameter),
    example,
    ...(empty === undefined ? {} : { empty }),
  });
  const untold = "Leave it empty if the label does not say.";
  const repeated = (example: number | typeof onTheLabel): Takes => ({
    takes: "number",
    limits: wholeAmount,
    example,
    empty: "Leave it empty if it is not repeated.",
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
        { id: "grass", name: "Grass", takes: { takes: "choice", choices: choicesOf("SEED_RATE", "grass") } },
        { id: "lot", name: "Lot on the tag", form: "text" },
        { id: "tested", name: "Tested on", form: "date", takes: { takes: "date" } },
        {
          id: "purity",
          name: "Pure seed",
          form: "per cent",
          takes: {
            takes: "share",
            limits: limitsOrNone("PURE_LIVE_SEED", "purity"),
            example: 0.97,
            empty: "Leave it empty if the tag does not say.",
          },
        },
        {
          id: "germination",
          name: "Germination",
          form: "per cent",
          takes: { takes: "share", limits: limitsOf("PURE_LIVE_SEED", "germination"), example: 0.88 },
        },
        {
          id: "dormant",
          name: "Hard or dormant",
          form: "per cent",
          takes: { takes: "share", limits: limitsOf("PURE_LIVE_SEED", "dormant"), example: 0.05 },
        },
        {
          id: "pureLiveSeed",
          name: "Pure live seed",
          worked: (at) =>
            `IF(${at("purity")}=0,0,${kit.call("PURE_LIVE_SEED", at("purity"), at("germination"), at("dormant"))})`,
          form: "per cent",
        },
        {
          id: "seedsPerWeight",
          name: isUs ? "Seeds per lb" : "Seeds per kg",
          form: "whole",
          takes: figure("SEED_DENSITY", "seeds_per_weight", isUs ? 250_000 : 550_000),
        },
      ],
    },
    {
      section: "starters",
      title: "Starter fertilizers",
      unit: kit.unit("weight"),
      rows: job?.starters ?? [],
      least: 4,
      owns: [
        { id: "grade", name: "Grade on the bag", form: "text" },
        { id: "nitrogen", name: "Nitrogen, N", worked: grade("N"), form: "per cent" },
        { id: "phosphate", name: "Phosphate, P₂O₅", worked: grade("P2O5"), form: "per cent" },
        { id: "potash", name: "Potash, K₂O", worked: grade("K2O"), form: "per cent" },
        { id: "active", name: "Active it carries", form: "text", fromLabel: true },
        {
          id: "activeShare",
          name: "Share of active",
          form: "fine per cent",
          takes: {
            takes: "share",
            limits: limitsOrNone("GRANULE_ACTIVE_RATE", "active_share"),
            example: onTheLabel,
            empty: "Leave it empty if the starter carries none.",
          },
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
        { id: "active", name: "Active", form: "text", fromLabel: true },
        {
          id: "rateLow",
          name: "Lowest rate",
          unit: kit.unit("labelRate"),
          takes: figure("LABEL_DOSE", "label_rate", onTheLabel, untold),
          fromLabel: true,
        },
        {
          id: "rateHigh",
          name: "Highest rate",
          unit: kit.unit("labelRate"),
          takes: figure("LABEL_DOSE", "label_rate", onTheLabel, untold),
          fromLabel: true,
        },
        {
          id: "concentration",
          name: "Concentration",
          unit: kit.unit("concentration"),
          takes: figure("ACTIVE_RATE", "concentration", onTheLabel, untold),
          fromLabel: true,
        },
        {
          id: "seasonLimit",
          name: "Season limit",
          unit: kit.unit("activeRate"),
          takes: figure("SEASON_ROOM", "season_limit", onTheLabel, untold),
          fromLabel: true,
        },
        {
          id: "leastVolume",
          name: "Least spray volume",
          unit: kit.unit("sprayVolume"),
          takes: figure("TANK_LOADS", "spray_volume", onTheLabel, untold),
          fromLabel: true,
        },
        { id: "grasses", name: "Grasses it allows", form: "text", fromLabel: true },
        {
          id: "repeatDays",
          name: "Days before a repeat",
          form: "whole",
          takes: repeated(onTheLabel),
          fromLabel: true,
        },
      ],
    },
    {
      section: "topdressings",
      title: "Topdressings",
      unit: kit.unit("bagVolume"),
      rows: job?.topdressings ?? [],
      least: 4,
      owns: [
        {
          id: "swell",
          name: "Swell: loose per bag volume",
          takes: figure("TOPDRESS_BAGS", "swell", 1.2, "An empty cell is read as 1: it does not swell."),
        },
        {
          id: "screenLoss",
          name: "Screen loss, from past jobs",
          form: "per cent",
          takes: {
            takes: "share",
            limits: lesserPart,
            example: 0.2,
            empty: "Leave it empty if nothing is screened out.",
          },
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
        {
          id: "rate",
          name: "Rate",
          unit: kit.unit("spreadRate"),
          takes: { takes: "number", limits: amount, example: isUs ? 10 : 50 },
        },
        { id: "repeatDays", name: "Days before a repeat", form: "whole", takes: repeated(28) },
      ],
    },
  ];
}

function planMaterial(
  plan: SheetPlan,
  row: number,
  owns: readonly Own[],
  unit: string,
  material: MaterialInput | undefined,
): void {
  const at = (id: string) => here(row, own.first + owns.findIndex((one) => one.id === id));
  const given = new Map<string, unknown>(Object.entries(material ?? {}));
  plan.input(row, 1, material?.name, { form: "text" });
  owns.forEach(({ id, name, unit: unitOf, takes, worked, form = "general" }, i) => {
    const content = given.get(id);
    if (worked !== undefined) plan.result(row, own.first + i, worked(at), form);
    else
      plan.input(row, own.first + i, isContent(content) ? content : undefined, {
        form,
        ...(takes === undefined
          ? {}
          : { entry: { name, ...(unitOf === undefined ? {} : { unit: unitOf }), ...takes } }),
      });
  });
  plan.input(row, stock, material?.inStock, { entry: inStock(unit) });
  for (const n of [0, 1, 2]) {
    plan.input(row, sizes + n, material?.packs[n]?.size, { entry: packOf(n + 1, unit) });
    plan.input(row, prices + n, material?.packs[n]?.price, { form: "money", entry: priceOf(n + 1) });
  }
  plan.input(row, supplier, material?.supplier, { form: "text" });
}

const inStock = (unit: string): Entry => ({
  name: "In stock",
  unit,
  takes: "number",
  limits: amount,
  example: 10,
  empty: "Leave it empty if there is none.",
});

const notOnSale = "Leave it empty if there is no such pack.";

const packOf = (n: number, unit: string): Entry => ({
  name: `Pack ${n}`,
  unit,
  takes: "number",
  limits: limitsOrNone("PACKS", "pack"),
  example: 25,
  empty: notOnSale,
});

const priceOf = (n: number): Entry => ({
  name: `Price of pack ${n}`,
  takes: "money",
  limits: amount,
  example: 86,
  empty: notOnSale,
});

const isContent = (content: unknown): content is string | number =>
  typeof content === "string" || typeof content === "number";
