/** Zones as measured, a row each. What a zone needs further on is read from here by its position among the rows. */
import type { UnitSystem } from "../../../engine/units";
import { figures, PlacedFigures } from "../declare/figures";
import { areaColumn } from "../declare/common";
import type { ColumnId } from "../declare/table";
import { PlacedTable, partName, table } from "../declare/table";
import type { Takes } from "../entry";
import { lesserPart, limitsOf, limitsOrNone } from "../entry";
import type { ZoneInput } from "../job";
import type { Kit } from "../kit";
import { choicesOf } from "../kit";
import type { NamedLines } from "../named-lines";
import { linesNamed } from "../named-lines";
import type { SheetPlan } from "../plan";

const elsewise = "Leave it empty if the zone is measured another way.";
const untested = "Leave it empty where no test with catch cans was made.";

const bySystem = (system: UnitSystem, us: number, metric: number): number => (system === "us" ? us : metric);

/** A measure of a zone, of which each way of measuring takes some. */
const measure =
  (us: number, metric: number, limits = limitsOf("EDGE_AREA", "perimeter"), empty = elsewise) =>
  (system: UnitSystem): Takes => ({ takes: "number", limits, example: bySystem(system, us, metric), empty });

/** The zones of a property, a row each. */
export const zones = table({
  id: "zones",
  sheet: "site",
  isOpen: true,
  columns: {
    name: {
      name: "Zone",
      holds: "text",
      means: "zone",
      form: "text",
      says: "What a part of the lawn is called, on every sheet.",
    },
    purpose: {
      name: "Purpose",
      holds: "text",
      means: "purpose",
      says: "New ground or overseeding, which decides the published rate.",
      takes: () => ({
        takes: "choice",
        choices: choicesOf("SEED_RATE", "purpose"),
        empty: "An empty cell is read as new ground.",
      }),
    },
    grass: {
      name: "Grass",
      holds: "text",
      means: "grass",
      says: "The grass that is to grow there.",
      takes: () => ({
        takes: "choice",
        choices: choicesOf("SEED_RATE", "grass"),
        empty: "Leave it empty for another grass and type its seeding rate.",
      }),
    },
    measured: {
      name: "How measured",
      holds: "text",
      means: "measured",
      says: "The shape by which the area is worked out.",
      takes: () => ({
        takes: "choice",
        choices: ["typed", "rectangle", "circle", "triangle", "strip", "outline"],
      }),
    },
    length: {
      name: "Length, base or diameter",
      unit: "length",
      holds: "number",
      says: "The longer measure of a rectangle, strip or triangle; the diameter of a circle.",
      takes: measure(64, 20),
    },
    width: {
      name: "Width or height",
      unit: "length",
      holds: "number",
      says: "The other measure of a rectangle or triangle.",
      takes: measure(52, 16),
    },
    stripWidth: {
      name: "Strip width",
      unit: "stripWidth",
      holds: "number",
      says: "How wide a strip is.",
      takes: measure(36, 90, limitsOf("EDGE_AREA", "width")),
    },
    insideCorners: {
      name: "Inside corners",
      holds: "number",
      says: "Corners that a strip turns around, where it would be counted twice.",
      takes: () => ({
        takes: "number",
        limits: limitsOf("EDGE_AREA", "corners"),
        example: 4,
        empty: "An empty cell is read as no corners.",
      }),
    },
    typedArea: {
      name: "Typed area",
      unit: "area",
      holds: "number",
      says: "An area that is known.",
      takes: measure(4200, 390, limitsOf("SEED_WEIGHT", "area")),
    },
    leftOut: {
      name: "Left out: beds, paving",
      unit: "area",
      holds: "number",
      says: "What lies within the shape and is no lawn.",
      takes: measure(120, 11, limitsOf("SEED_WEIGHT", "area"), "Leave it empty if nothing is left out."),
    },
    typedEdge: {
      name: "Edge to walk, if typed",
      unit: "length",
      holds: "number",
      means: "edge",
      says: "The length of the edge, where it is not that of the shape.",
      takes: measure(
        266,
        81,
        limitsOf("EDGE_AREA", "perimeter"),
        "Leave it empty to take the edge of the shape.",
      ),
    },
    plusMinus: {
      name: "Measured to ±",
      holds: "number",
      form: "per cent",
      says: "The share by which the area may be wrong.",
      takes: () => ({
        takes: "share",
        limits: lesserPart,
        example: 0.02,
        empty: "An empty cell is read as exact.",
      }),
    },
    typedRate: {
      name: "Seeding rate, if typed",
      unit: "spreadRate",
      holds: "number",
      means: "seedRate",
      says: "A seeding rate that takes the place of the published one.",
      takes: measure(
        7,
        35,
        limitsOrNone("SEED_WEIGHT", "rate"),
        "Leave it empty for the published rate of the grass.",
      ),
    },
    sprinklerRate: {
      name: "Sprinkler rate",
      unit: (unit) => `${unit("rainDepth")} per h`,
      holds: "number",
      says: "The depth of water an hour, from a test with catch cans.",
      takes: measure(0.6, 15, limitsOrNone("RUN_TIME", "application_rate"), untested),
    },
    uniformity: {
      name: "Sprinkler evenness",
      holds: "number",
      form: "per cent",
      says: "How evenly the sprinklers water, from the same test.",
      takes: () => ({
        takes: "share",
        limits: limitsOrNone("RUN_TIME", "uniformity"),
        example: 0.75,
        empty: untested,
      }),
    },
    area: areaColumn("The ground to be worked, from the shape less what is left out."),
    edge: {
      name: "Edge to walk",
      unit: "length",
      holds: "number",
      means: "edge",
      form: "one decimal",
      says: "The edge that the drop spreader is walked along.",
    },
    areaAtMost: {
      name: "Area at most",
      unit: "area",
      holds: "number",
      form: "one decimal",
      says: "The area with what it may be wrong by.",
    },
    seedRate: {
      name: "Seeding rate",
      unit: "spreadRate",
      holds: "number",
      means: "seedRate",
      form: "two decimals",
      says: "The rate that seed is worked out by: typed, or published for the grass.",
    },
    missing: { name: "Still to do", holds: "text", says: "What the zone lacks before it can be worked out." },
  },
});
/** What a place asks for, beside the zones. */
/** The name of the property's own cell, above everything else on Site. */
export const propertyName = partName("site", "property");

export const rules = figures({
  id: "rules",
  sheet: "site",
  figures: {
    phosphorus: {
      name: "Local phosphorus rule",
      holds: "text",
      means: "phosphorusRule",
      form: "text",
      note: "Where there is one, in a few words: Checks reminds you of it.",
      says: "What local law says of phosphorus, in the estimator's words.",
    },
  },
});

export type SiteField = ColumnId<typeof zones>;

const head = 7;
const first = head + 1;

/** What Site reads of the outlines: the line on Site that each belongs to, what it adds to the area and to the edge. */
export interface OutlineRanges {
  readonly lines: string;
  readonly areas: string;
  readonly edges: string;
}

export interface SiteRefs {
  readonly plan: SheetPlan;
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

export function planSite(kit: Kit, outlines: OutlineRanges): SiteRefs {
  const given = kit.job?.zones ?? [];
  const capacity = Math.max(12, given.length + 9);
  const closing = first + capacity;
  const plan = kit.sheet("site");
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
  plan.put(6, placed.column("area"), "Worked out", "group");
  placed.heads();
  placed.close(closing, "Insert zones above this line");
  const range = (field: SiteField) => placed.range(field, head, closing);
  const lines: NamedLines = {
    names: range("name"),
    others: range("insideCorners"),
    othersHead: placed.cell("insideCorners", head),
    closing: placed.cell("name", closing),
  };
  for (let i = 0; i < capacity; i++) planZone(kit, placed, outlines, lines, first + i, given[i]);
  plan.put(closing + 1, 1, "All zones", "total");
  for (const field of ["area", "edge", "areaAtMost"] as const) {
    const all = placed.here(field, head, closing);
    placed.formula(field, closing + 1, `SUM(${all})`, "total", { form: "one decimal" });
  }
  plan.widths = [18, 11, 18, 12, 11, 10, 9, 9, 10, 11, 11, 10, 13, 11, 10, 11, 11, 11, 12, 26];
  plan.frozenRows = head;
  plan.landscape = true;
  plan.titleRows = [head - 1, head];
  const pick = (field: SiteField, position: string) => `INDEX(${range(field)},${position}+1)`;
  return {
    plan,
    capacity,
    column: range,
    lines,
    pick: (field, position) => `IF(${position}<ROWS(${range(field)})-1,${pick(field, position)},0)`,
    pickText: (field, position) => `IF(${position}<ROWS(${range(field)})-1,${pick(field, position)}&"","")`,
  };
}

function planZone(
  kit: Kit,
  placed: PlacedTable<typeof zones>,
  outlines: OutlineRanges,
  lines: NamedLines,
  row: number,
  zone: ZoneInput | undefined,
): void {
  const at = (field: SiteField) => placed.at(field, row);
  placed.input("name", row, zone?.name);
  placed.input("purpose", row, zone?.purpose);
  placed.input("grass", row, zone?.grass);
  placed.input("measured", row, zone?.measured);
  placed.input("length", row, zone?.length);
  placed.input("width", row, zone?.width);
  placed.input("stripWidth", row, zone?.stripWidth);
  placed.input("insideCorners", row, zone?.insideCorners);
  placed.input("typedArea", row, zone?.area);
  placed.input("leftOut", row, zone?.leftOut);
  placed.input("typedEdge", row, zone?.edge);
  placed.input("plusMinus", row, zone?.plusMinus);
  placed.input("typedRate", row, zone?.seedRate);
  placed.input("sprinklerRate", row, zone?.sprinklerRate);
  placed.input("uniformity", row, zone?.uniformity);

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
  placed.result("area", row, `MAX(0,${gross}-${at("leftOut")})`);
  const edge = by([
    ["rectangle", `2*(${length}+${width})`],
    ["circle", `PI()*${length}`],
    ["strip", `${length}+0`],
    ["outline", ofOutlines(outlines.edges)],
  ]);
  placed.result("edge", row, `IF(${at("typedEdge")}=0,${edge},${at("typedEdge")})`);
  placed.result("areaAtMost", row, `${at("area")}*(1+${at("plusMinus")})`);
  const published = kit.call("SEED_RATE", at("grass"), `IF(${at("purpose")}="","new",${at("purpose")})`);
  placed.result(
    "seedRate",
    row,
    `IF(${at("typedRate")}>0,${at("typedRate")},IF(OR(${at("area")}=0,${at("grass")}=""),0,${published}))`,
  );
  const missing = [
    `IF(AND(${at("name")}="",${at("area")}>0),"name the zone"`,
    `IF(${at("name")}="",""`,
    `IF(${linesNamed(lines, at("name"))}>1,"another zone has this name: rename one"`,
    `IF(${at("area")}=0,"measure the zone"`,
    `IF(${at("seedRate")}=0,"choose a grass or type a rate",""`,
  ];
  placed.formula("missing", row, `${missing.join(",")}${")".repeat(missing.length)}`, "caution");
}
