/** Zones as measured, laid out a row each. What a zone needs further on is read from here by its position among the rows. */
import { PlacedFigures } from "../declare/figures";
import type { Sheet } from "../declare/sheet";
import { PlacedTable } from "../declare/table";
import type { Kit } from "../kit";
import type { NamedLines } from "../named-lines";
import { linesNamed } from "../named-lines";
import type { SheetPlan } from "../plan";
import { outlineRanges } from "./outlines";
import type { SiteField, WorkedOutField } from "./zones";
import { filledInFields, propertyName, rules, workedOutFields, zones } from "./zones";

const head = 7;
const first = head + 1;

/** What Site reads of the outlines: the line on Site that each belongs to, what it adds to the area and to the edge. */
export interface OutlineRanges {
  readonly lines: string;
  readonly areas: string;
  readonly edges: string;
}

export interface SiteRefs {
  /** Rows laid out for zones. */
  readonly capacity: number;
  /** All rows of a column, from its head to the closing line, so that a row put in anywhere is within. */
  readonly column: (field: SiteField) => string;
  /** The zones as a list to look names up in. */
  readonly lines: NamedLines;
  /** A field of the zone at a position, which stands in a cell; a number, or nothing beyond the last row. */
  readonly pick: (field: SiteField, position: string) => string;
  /** The same for a field that holds text. */
  readonly pickText: (field: SiteField, position: string) => string;
}

function planSite(kit: Kit, plan: SheetPlan): SiteRefs {
  const outlines = outlineRanges(kit);
  const given = kit.job?.zones ?? [];
  const capacity = Math.max(12, given.length + 9);
  const closing = first + capacity;
  plan.put(
    4,
    1,
    "To add a zone, copy a whole row and insert it above the closing line. Rows may be sorted and deleted.",
    "legend",
  );
  new PlacedFigures(kit, plan, rules, 5, { label: 1, value: 2, note: 3, isPlain: true }).input(
    "phosphorus",
    undefined,
  );
  plan.know(propertyName, 1, 1);
  const placed = new PlacedTable(kit, plan, zones, head);
  plan.put(6, 1, "You fill in", "group");
  plan.put(6, Math.min(...workedOutFields.map((field) => placed.column(field))), "Worked out", "group");
  placed.heads();
  placed.close(closing, "Insert zones above this line", () => closing + 1);
  const range = (field: SiteField) => placed.range(field, head, closing);
  const lines: NamedLines = {
    names: range("name"),
    others: range("insideCorners"),
    othersHead: placed.cell("insideCorners", head),
    closing: placed.cell("name", closing),
  };
  for (let i = 0; i < capacity; i++) {
    const row = first + i;
    for (const field of filledInFields) placed.input(field, row, given[i]?.[field]);
    const formulas = workedOut(kit, placed, outlines, lines, row);
    for (const field of workedOutFields) {
      if (field === "missing") placed.formula(field, row, formulas[field], "caution");
      else placed.result(field, row, formulas[field]);
    }
  }
  plan.put(closing + 1, 1, "All zones", "total");
  for (const field of ["area", "edge", "areaAtMost"] as const) {
    const all = placed.here(field, head, closing);
    placed.formula(field, closing + 1, `SUM(${all})`, "total", { form: "one decimal" });
  }
  plan.widths = Object.values(zones.columns).map(({ width }) => width);
  plan.frozenRows = head;
  plan.landscape = true;
  plan.titleRows = [head - 1, head];
  const pick = (field: SiteField, position: string) => `INDEX(${range(field)},${position}+1)`;
  return {
    capacity,
    column: range,
    lines,
    pick: (field, position) => `IF(${position}<ROWS(${range(field)})-1,${pick(field, position)},0)`,
    pickText: (field, position) => `IF(${position}<ROWS(${range(field)})-1,${pick(field, position)}&"","")`,
  };
}

/** What Site works out of a zone in a row. */
function workedOut(
  kit: Kit,
  placed: PlacedTable<typeof zones>,
  outlines: OutlineRanges,
  lines: NamedLines,
  row: number,
): Readonly<Record<WorkedOutField, string>> {
  const at = (field: SiteField) => placed.at(field, row);
  const [measured, length, width] = [at("measured"), at("length"), at("width")];
  const line = `ROW(${at("name")})-ROW(${placed.fixed("name", placed.head)})+1`;
  const ofOutlines = (what: string) => `SUMIF(${outlines.lines},${line},${what})`;
  const by = (cases: readonly (readonly [string, string])[]) =>
    cases.reduceRight((rest, [name, formula]) => `IF(${measured}="${name}",${formula},${rest})`, "0");
  const gross = by([
    ["typed", `${at("typedArea")}+0`],
    ["rectangle", `${length}*${width}`],
    ["circle", `PI()*${length}^2/4`],
    ["triangle", `${length}*${width}/2`],
    ["strip", kit.call("EDGE_AREA", length, at("stripWidth"), at("insideCorners"))],
    ["outline", ofOutlines(outlines.areas)],
  ]);
  const edge = by([
    ["rectangle", `2*(${length}+${width})`],
    ["circle", `PI()*${length}`],
    ["strip", `${length}+0`],
    ["outline", ofOutlines(outlines.edges)],
  ]);
  const published = kit.call("SEED_RATE", at("grass"), `IF(${at("purpose")}="","new",${at("purpose")})`);
  const missing = [
    `IF(AND(${at("name")}="",${at("area")}>0),"name the zone"`,
    `IF(${at("name")}="",""`,
    `IF(${linesNamed(lines, at("name"))}>1,"another zone has this name: rename one"`,
    `IF(${at("area")}=0,"measure the zone"`,
    `IF(${at("seedRate")}=0,"choose a grass or type a rate",""`,
  ];
  return {
    area: `MAX(0,${gross}-${at("leftOut")})`,
    edge: `IF(${at("typedEdge")}=0,${edge},${at("typedEdge")})`,
    areaAtMost: `${at("area")}*(1+${at("plusMinus")})`,
    seedRate: `IF(${at("typedRate")}>0,${at("typedRate")},IF(OR(${at("area")}=0,${at("grass")}=""),0,${published}))`,
    missing: `${missing.join(",")}${")".repeat(missing.length)}`,
  };
}

export const siteSheet: Sheet<SiteRefs> = {
  name: "Site",
  purpose: "Site: zones as measured",
  tab: "input",
  tellsCosts: false,
  tables: [zones],
  figures: [rules],
  plan: planSite,
};
