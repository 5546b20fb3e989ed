/** Zones as measured, a row each. What a zone needs further on is read from here by its position among the rows. */
import { asFormula } from "../../write-cells";
import type { Kit } from "../kit";
import { choicesOf } from "../kit";
import type { Named, Takes } from "../entry";
import { headOf, lesserPart, limitsOf, limitsOrNone } from "../entry";
import type { ZoneInput } from "../job";
import type { NamedLines } from "../named-lines";
import { linesNamed } from "../named-lines";
import { fixedHere, here } from "../plan";
import type { CellOptions, SheetPlan } from "../plan";

const fields = [
  "name",
  "purpose",
  "grass",
  "measured",
  "length",
  "width",
  "stripWidth",
  "insideCorners",
  "typedArea",
  "leftOut",
  "typedEdge",
  "plusMinus",
  "typedRate",
  "sprinklerRate",
  "uniformity",
  "area",
  "edge",
  "areaAtMost",
  "seedRate",
  "missing",
] as const;
export type SiteField = (typeof fields)[number];
const columnOf = (field: SiteField): number => fields.indexOf(field) + 1;

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
  const zones = kit.job?.zones ?? [];
  const capacity = Math.max(12, zones.length + 9);
  const closing = first + capacity;
  const plan = kit.sheet("site");
  plan.put(
    4,
    1,
    "To add a zone, copy a whole row and insert it above the closing line. Rows may be sorted and deleted.",
    "legend",
  );
  plan.put(5, 1, "Local phosphorus rule", "label");
  plan.input(5, 2, undefined, { form: "text" });
  plan.put(5, 3, "Where there is one, in a few words: Checks reminds you of it.", "note");
  plan.put(6, 1, "You fill in", "group");
  plan.put(6, columnOf("area"), "Worked out", "group");
  const heads = headsOf(kit);
  plan.columns(
    head,
    fields.map((field) => headOf(heads[field])),
  );
  plan.put(closing, 1, "Insert zones above this line", "closing");
  for (let column = 2; column <= fields.length; column++) plan.put(closing, column, "", "closing");
  const range = (field: SiteField) => plan.block(head, columnOf(field), closing, columnOf(field));
  const lines: NamedLines = {
    names: range("name"),
    others: range("insideCorners"),
    othersHead: plan.at(head, columnOf("insideCorners")),
    closing: plan.at(closing, columnOf("name")),
  };
  for (let i = 0; i < capacity; i++) planZone(kit, plan, outlines, lines, first + i, zones[i]);
  plan.put(closing + 1, 1, "All zones", "total");
  for (const field of ["area", "edge", "areaAtMost"] as const) {
    const column = columnOf(field);
    const all = `${here(head, column)}:${here(closing, column)}`;
    plan.put(closing + 1, column, asFormula(`SUM(${all})`), "total", { form: "one decimal" });
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

function headsOf(kit: Kit): Readonly<Record<SiteField, Named>> {
  const [ft, ft2] = [kit.unit("length"), kit.unit("area")];
  return {
    name: { name: "Zone" },
    purpose: { name: "Purpose" },
    grass: { name: "Grass" },
    measured: { name: "How measured" },
    length: { name: "Length, base or diameter", unit: ft },
    width: { name: "Width or height", unit: ft },
    stripWidth: { name: "Strip width", unit: kit.unit("stripWidth") },
    insideCorners: { name: "Inside corners" },
    typedArea: { name: "Typed area", unit: ft2 },
    leftOut: { name: "Left out: beds, paving", unit: ft2 },
    typedEdge: { name: "Edge to walk, if typed", unit: ft },
    plusMinus: { name: "Measured to ±" },
    typedRate: { name: "Seeding rate, if typed", unit: kit.unit("spreadRate") },
    sprinklerRate: { name: "Sprinkler rate", unit: `${kit.unit("rainDepth")} per h` },
    uniformity: { name: "Sprinkler evenness" },
    area: { name: "Area", unit: ft2 },
    edge: { name: "Edge to walk", unit: ft },
    areaAtMost: { name: "Area at most", unit: ft2 },
    seedRate: { name: "Seeding rate", unit: kit.unit("spreadRate") },
    missing: { name: "Still to do" },
  };
}

function planZone(
  kit: Kit,
  plan: SheetPlan,
  outlines: OutlineRanges,
  lines: NamedLines,
  row: number,
  zone: ZoneInput | undefined,
): void {
  const at = (field: SiteField) => here(row, columnOf(field));
  const heads = headsOf(kit);
  const input = (
    field: SiteField,
    content: string | number | undefined,
    takes: Takes,
    options: CellOptions = {},
  ) => plan.input(row, columnOf(field), content, { ...options, entry: { ...heads[field], ...takes } });
  const share = { form: "per cent" } as const;
  const isUs = kit.system === "us";
  plan.input(row, columnOf("name"), zone?.name, { form: "text" });
  input("purpose", zone?.purpose, {
    takes: "choice",
    choices: choicesOf("SEED_RATE", "purpose"),
    empty: "An empty cell is read as new ground.",
  });
  input("grass", zone?.grass, {
    takes: "choice",
    choices: choicesOf("SEED_RATE", "grass"),
    empty: "Leave it empty for another grass and type its seeding rate.",
  });
  input("measured", zone?.measured, {
    takes: "choice",
    choices: ["typed", "rectangle", "circle", "triangle", "strip", "outline"],
  });
  const elsewise = "Leave it empty if the zone is measured another way.";
  const measure = (example: number, limits = limitsOf("EDGE_AREA", "perimeter")): Takes => ({
    takes: "number",
    limits,
    example,
    empty: elsewise,
  });
  input("length", zone?.length, measure(isUs ? 64 : 20));
  input("width", zone?.width, measure(isUs ? 52 : 16));
  input("stripWidth", zone?.stripWidth, measure(isUs ? 36 : 90, limitsOf("EDGE_AREA", "width")));
  input("insideCorners", zone?.insideCorners, {
    takes: "number",
    limits: limitsOf("EDGE_AREA", "corners"),
    example: 4,
    empty: "An empty cell is read as no corners.",
  });
  input("typedArea", zone?.area, measure(isUs ? 4200 : 390, limitsOf("SEED_WEIGHT", "area")));
  input("leftOut", zone?.leftOut, {
    takes: "number",
    limits: limitsOf("SEED_WEIGHT", "area"),
    example: isUs ? 120 : 11,
    empty: "Leave it empty if nothing is left out.",
  });
  input("typedEdge", zone?.edge, {
    takes: "number",
    limits: limitsOf("EDGE_AREA", "perimeter"),
    example: isUs ? 266 : 81,
    empty: "Leave it empty to take the edge of the shape.",
  });
  input(
    "plusMinus",
    zone?.plusMinus,
    { takes: "share", limits: lesserPart, example: 0.02, empty: "An empty cell is read as exact." },
    share,
  );
  input("typedRate", zone?.seedRate, {
    takes: "number",
    limits: limitsOrNone("SEED_WEIGHT", "rate"),
    example: isUs ? 7 : 35,
    empty: "Leave it empty for the published rate of the grass.",
  });
  const untested = "Leave it empty where no test with catch cans was made.";
  input("sprinklerRate", zone?.sprinklerRate, {
    takes: "number",
    limits: limitsOrNone("RUN_TIME", "application_rate"),
    example: isUs ? 0.6 : 15,
    empty: untested,
  });
  input(
    "uniformity",
    zone?.uniformity,
    { takes: "share", limits: limitsOrNone("RUN_TIME", "uniformity"), example: 0.75, empty: untested },
    share,
  );

  const [measured, length, width] = [at("measured"), at("length"), at("width")];
  const line = `ROW(${at("name")})-ROW(${fixedHere(head, columnOf("name"))})+1`;
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
  plan.result(row, columnOf("area"), `MAX(0,${gross}-${at("leftOut")})`, "one decimal");
  const edge = by([
    ["rectangle", `2*(${length}+${width})`],
    ["circle", `PI()*${length}`],
    ["strip", `${length}+0`],
    ["outline", ofOutlines(outlines.edges)],
  ]);
  plan.result(row, columnOf("edge"), `IF(${at("typedEdge")}=0,${edge},${at("typedEdge")})`, "one decimal");
  plan.result(row, columnOf("areaAtMost"), `${at("area")}*(1+${at("plusMinus")})`, "one decimal");
  const published = kit.call("SEED_RATE", at("grass"), `IF(${at("purpose")}="","new",${at("purpose")})`);
  plan.result(
    row,
    columnOf("seedRate"),
    `IF(${at("typedRate")}>0,${at("typedRate")},IF(OR(${at("area")}=0,${at("grass")}=""),0,${published}))`,
    "two decimals",
  );
  const missing = [
    `IF(AND(${at("name")}="",${at("area")}>0),"name the zone"`,
    `IF(${at("name")}="",""`,
    `IF(${linesNamed(lines, at("name"))}>1,"another zone has this name: rename one"`,
    `IF(${at("area")}=0,"measure the zone"`,
    `IF(${at("seedRate")}=0,"choose a grass or type a rate",""`,
  ];
  plan.put(
    row,
    columnOf("missing"),
    asFormula(`${missing.join(",")}${")".repeat(missing.length)}`),
    "caution",
  );
}
