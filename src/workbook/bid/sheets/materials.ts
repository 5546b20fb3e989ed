/** The price book laid out: a table for each kind of material, under one another. */
import type { Sheet } from "../declare/sheet";
import type { Table } from "../declare/table";
import { PlacedTable } from "../declare/table";
import type { MaterialInput } from "../job";
import type { Kit } from "../kit";
import type { ChosenLine, NamedLines } from "../named-lines";
import type { SheetPlan } from "../plan";
import type { Section } from "./price-book";
import { priceBook } from "./price-book";

export interface MaterialRefs {
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

const titles: Readonly<Record<Section, string>> = {
  seedLots: "Seed lots",
  starters: "Starter fertilizers",
  preEmergents: "Pre-emergents",
  topdressings: "Topdressings",
  conditioners: "Soil conditioners",
};

/** Rows laid out in an empty book. */
const leastRows: Readonly<Record<Section, number>> = {
  seedLots: 6,
  starters: 4,
  preEmergents: 4,
  topdressings: 4,
  conditioners: 3,
};

type At = (id: string) => string;

/** What is worked out from the other cells of a row. */
function workedOut(kit: Kit): Partial<Record<Section, Readonly<Record<string, (at: At) => string>>>> {
  const grade = (nutrient: string) => (at: At) =>
    `IF(${at("grade")}="",0,${kit.call("GRADE", at("grade"), `"${nutrient}"`)})`;
  return {
    seedLots: {
      pureLiveSeed: (at) =>
        `IF(${at("purity")}=0,0,${kit.call("PURE_LIVE_SEED", at("purity"), at("germination"), at("dormant"))})`,
    },
    starters: { nitrogen: grade("N"), phosphate: grade("P2O5"), potash: grade("K2O") },
  };
}

interface PlacedSection {
  readonly placed: PlacedTable<Table>;
  readonly closing: number;
}

function planMaterials(kit: Kit, plan: SheetPlan): MaterialRefs {
  plan.put(
    4,
    1,
    "To add a material, copy a whole row and insert it above its closing line. Quantities chooses from here.",
    "legend",
  );
  const sections = new Map<Section, PlacedSection>();
  let row = 6;
  for (const section of Object.keys(priceBook) as Section[]) {
    const one = planSection(kit, plan, section, row);
    sections.set(section, one);
    row = one.closing + 2;
  }
  // Grass and actives stand in the first, the fifth and the seventh of the columns between name and stock.
  plan.widths = [30, 22, 14, 14, 14, 22, 14, 22, 14, 11, 9, 9, 9, 10, 10, 10, 24];
  plan.frozenRows = 4;
  plan.landscape = true;
  plan.titleRows = [1, 2];
  return refsOf(sections);
}

function planSection(kit: Kit, plan: SheetPlan, section: Section, top: number): PlacedSection {
  const declared: Table = priceBook[section];
  const placed = new PlacedTable(kit, plan, declared, top + 1);
  plan.put(top, 1, titles[section], "heading");
  const first = Object.entries(declared.columns).find(([, column]) => column.isFromLabel);
  const whence = kit.job === undefined ? "from your label" : "invented label of the sample: enter your own";
  if (first !== undefined) plan.put(top, placed.column(first[0]), whence, "note");
  placed.heads();
  const given: readonly MaterialInput[] = kit.job?.[section] ?? [];
  const count = Math.max(leastRows[section], given.length + 2);
  const worked = workedOut(kit)[section] ?? {};
  for (let i = 0; i < count; i++) {
    const row = placed.head + 1 + i;
    const contents = given[i] === undefined ? new Map<string, string | number>() : contentsOf(given[i]);
    for (const id of Object.keys(declared.columns)) {
      const formula = worked[id];
      if (formula === undefined) placed.input(id, row, contents.get(id));
      else
        placed.result(
          id,
          row,
          formula((other) => placed.at(other, row)),
        );
    }
  }
  const closing = placed.head + 1 + count;
  placed.close(closing, `Insert ${titles[section].toLowerCase()} above this line`);
  return { placed, closing };
}

/** What is given of a material, by the ids of the columns. */
function contentsOf(material: MaterialInput | undefined): ReadonlyMap<string, string | number> {
  const { packs = [], inStock, ...others } = material ?? { name: "" };
  const packed = packs.flatMap(({ size, price }, i): [string, unknown][] => [
    [`size${i + 1}`, size],
    [`price${i + 1}`, price],
  ]);
  const all: [string, unknown][] = [...Object.entries(others), ["stock", inStock], ...packed];
  return new Map(all.filter((entry): entry is [string, string | number] => isContent(entry[1])));
}

function refsOf(sections: ReadonlyMap<Section, PlacedSection>): MaterialRefs {
  const of = (section: Section): PlacedSection => {
    const found = sections.get(section);
    if (found === undefined) throw new Error(`Materials have no section ${section}`);
    return found;
  };
  const range = (section: Section, id: string): string => {
    const { placed, closing } = of(section);
    return placed.range(id, placed.head, closing);
  };
  const lookedUp = (section: Section, id: string, { line }: ChosenLine) =>
    `INDEX(${range(section, id)},${line})`;
  const number = (section: Section, id: string, chosen: ChosenLine) =>
    `IF(${chosen.name}="",0,${lookedUp(section, id, chosen)}+0)`;
  return {
    names: (section) => {
      const { placed, closing } = of(section);
      return placed.range("name", placed.head + 1, closing - 1);
    },
    lines: (section) => {
      const { placed, closing } = of(section);
      return {
        names: range(section, "name"),
        others: range(section, "stock"),
        othersHead: placed.cell("stock", placed.head),
        closing: placed.cell("name", closing),
      };
    },
    figure: number,
    text: (section, id, chosen) => `IF(${chosen.name}="","",${lookedUp(section, id, chosen)}&"")`,
    pack: (section, which, index, chosen) => number(section, `${which}${index + 1}`, chosen),
  };
}

const isContent = (content: unknown): content is string | number =>
  typeof content === "string" || typeof content === "number";

export const materialsSheet: Sheet<MaterialRefs> = {
  name: "Materials",
  purpose: "Materials: the price book",
  tab: "input",
  tellsCosts: true,
  tables: Object.values(priceBook),
  figures: [],
  plan: planMaterials,
};
