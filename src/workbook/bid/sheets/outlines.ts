/** Outlines of zones, one block of two columns each. Several may belong to a zone, and some may be left out of it. */
import { filledPart } from "../../formulas";
import { asFormula } from "../../writing";
import type { Kit } from "../kit";
import type { PlannedSheets } from "../bid-sheets";
import type { Declared } from "../declare/declared";
import { entryOf, formOf, namedIn } from "../declare/declared";
import type { Sheet } from "../declare/sheet";
import type { ColumnId } from "../declare/table";
import { partName, table } from "../declare/table";
import { headOf, limitsOf } from "../entry";
import { lineOf } from "../named-lines";
import { blockHere, SheetPlan } from "../plan";
import type { OutlineRanges } from "./site";

/** An outline takes two columns: for x and y, or latitude and longitude. */
const columnsEach = 2;

/** Outlines side by side. */
export const outlines = table({
  id: "outlines",
  sheet: "outlines",
  across: columnsEach,
  columns: {
    zone: {
      name: "Zone, as named on Site",
      holds: "text",
      form: "text",
      says: "The zone that it belongs to.",
    },
    method: {
      name: "Method",
      holds: "text",
      says: "What its points are.",
      takes: () => ({ takes: "choice", choices: ["corners", "offsets", "radii", "coordinates"] }),
    },
    interval: {
      name: "Distance between offsets",
      unit: "length",
      holds: "number",
      says: "How far apart offsets were taken.",
      takes: (system) => ({
        takes: "number",
        limits: limitsOf("OFFSET_AREA", "interval"),
        example: system === "us" ? 10 : 3,
        empty: "Leave it empty for any other method.",
      }),
    },
    counts: {
      name: "Counts as",
      holds: "text",
      says: "Whether it belongs to the zone or is left out of it.",
      takes: () => ({
        takes: "choice",
        choices: ["area", "left out"],
        empty: "An empty cell is read as area.",
      }),
    },
    area: { name: "Area", unit: "area", holds: "number", form: "one decimal", says: "The ground within it." },
    edge: {
      name: "Edge",
      unit: "length",
      holds: "number",
      form: "one decimal",
      says: "The length around it, where its points tell.",
    },
    signed: {
      name: "Adds to the zone",
      unit: "area",
      holds: "number",
      form: "one decimal",
      says: "Its area, taken off where it is left out.",
    },
    line: {
      name: "Line of the zone on Site",
      holds: "number",
      form: "whole",
      says: "Where its zone stands on Site.",
    },
  },
});
type OutlineField = ColumnId<typeof outlines>;
const fields = Object.keys(outlines.columns) as OutlineField[];

const firstRow = 6;
const rowOf = (field: OutlineField): number => firstRow + fields.indexOf(field);
const firstPoint = firstRow + fields.length + 1;

/** The name of the points of all outlines, from their heads to the last row for them. */
export const pointsName = partName(outlines.id, "points");

const blocksFor = (kit: Kit): number => Math.max(8, (kit.job?.outlines.length ?? 0) + 6);

/** Where Site finds the outlines, before they are planned: each looks for its zone among Site's. */
export function outlineRanges(kit: Kit): OutlineRanges {
  const plan = new SheetPlan(kit.names.outlines);
  const across = (field: OutlineField) => plan.block(rowOf(field), 2, rowOf(field), 1 + 2 * blocksFor(kit));
  return { lines: across("line"), areas: across("signed"), edges: across("edge") };
}

function planOutlines(kit: Kit, plan: SheetPlan, { site }: PlannedSheets): void {
  const given = kit.job?.outlines ?? [];
  const blocks = blocksFor(kit);
  const points = Math.max(40, ...given.map((outline) => outline.points.length + 12));
  const lastPoint = firstPoint + points - 1;
  plan.put(
    4,
    1,
    "A zone may have several parts; a bed or a drive within it is a part that is left out.",
    "legend",
  );
  const pointsLabel = "Points in order round the outline";
  const last = 1 + columnsEach * blocks;
  for (const field of fields) {
    const row = rowOf(field);
    plan.put(row, 1, headOf(namedIn(outlines.columns[field], kit.system)), "label");
    plan.know(partName(outlines.id, field), row, 1, row, last);
  }
  plan.know(pointsName, firstPoint - 1, 1, lastPoint, last);
  plan.put(firstPoint - 1, 1, pointsLabel, "column");
  const figure = {
    name: pointsLabel,
    takes: "number",
    limits: {},
    example: kit.system === "us" ? 38.5 : 11.6,
    empty: `Sides, offsets and radii in ${kit.unit("length")}, latitude and longitude in degrees.`,
  } as const;
  for (let point = 0; point < points; point++) {
    plan.put(firstPoint + point, 1, point + 1, "label", { form: "whole", align: "left" });
  }
  for (let i = 0; i < blocks; i++) {
    const outline = given[i];
    const column = 2 + 2 * i;
    const zone = plan.input(rowOf("zone"), column, outline?.zone, { form: "text" });
    const input = (field: OutlineField, content: string | number | undefined) => {
      const declared: Declared = outlines.columns[field];
      const entry = entryOf(declared, kit.system);
      return plan.input(rowOf(field), column, content, entry === undefined ? {} : { entry });
    };
    const result = (field: OutlineField, formula: string) => {
      const declared: Declared = outlines.columns[field];
      return plan.result(rowOf(field), column, formula, formOf(declared, kit.system) ?? "general");
    };
    const method = input("method", outline?.method);
    const interval = input("interval", outline?.interval);
    const counts = input("counts", outline?.counts);
    const both = blockHere(firstPoint, column, lastPoint, column + 1);
    const single = blockHere(firstPoint, column, lastPoint, column);
    const [x, y] = [single, blockHere(firstPoint, column + 1, lastPoint, column + 1)];
    const above = blockHere(firstPoint, column, lastPoint - 1, column);
    const below = blockHere(firstPoint + 1, column, lastPoint, column);
    const inPairs = `OR(${method}="corners",${method}="coordinates")`;
    // A gap would be handed over as a point at 0, 0 in some hosts, so the function does not get to see it.
    const gap = `OR(SUMPRODUCT((${above}="")*(${below}<>""))>0,AND(${inPairs},COUNT(${x})<>COUNT(${y})))`;
    const whole = (formula: string) => `IF(${gap},NA(),${formula})`;
    const areaBy: readonly (readonly [string, string])[] = [
      ["corners", kit.call("POLYGON_AREA", filledPart(both))],
      ["offsets", kit.call("OFFSET_AREA", filledPart(single), interval)],
      ["radii", kit.call("RADIAL_AREA", filledPart(single))],
      ["coordinates", kit.call("GEO_AREA", filledPart(both))],
    ];
    const area = result("area", whole(byMethod(method, areaBy)));
    const edgeBy: readonly (readonly [string, string])[] = [
      ["corners", kit.call("PERIMETER", filledPart(both))],
      ["coordinates", kit.call("GEO_PERIMETER", filledPart(both))],
    ];
    result("edge", whole(byMethod(method, edgeBy)));
    result("signed", `IF(${counts}="left out",-${area},${area})`);
    const line = result("line", `IF(${zone}="",0,IFERROR(${lineOf(site.lines, zone)},0))`);
    for (const field of fields) if (field !== "zone") plan.put(rowOf(field), column + 1, "", "label");
    const unlike = `IF(${method}="coordinates","latitude",IF(${method}="offsets","offset",IF(${method}="radii","radius","x")))`;
    plan.put(firstPoint - 1, column, asFormula(unlike), "column", { align: "right" });
    plan.put(
      firstPoint - 1,
      column + 1,
      asFormula(
        `IF(${method}="coordinates","longitude",IF(OR(${method}="offsets",${method}="radii"),"","y"))`,
      ),
      "column",
      { align: "right" },
    );
    plan.put(
      rowOf("zone"),
      column + 1,
      asFormula(
        `IF(AND(${zone}="",${method}<>""),"name the zone",IF(AND(${zone}<>"",${line}=0),"not on Site",IF(${gap},"fill the gap","")))`,
      ),
      "caution",
    );
    for (let point = 0; point < points; point++) {
      const given = outline?.points[point];
      plan.input(firstPoint + point, column, given?.[0], { entry: figure });
      plan.input(firstPoint + point, column + 1, given?.[1], { entry: figure });
    }
  }
  plan.widths = [32, ...Array.from({ length: 2 * blocks }, () => 12)];
  plan.frozenRows = firstPoint - 1;
  plan.landscape = true;
  plan.titleRows = [1, rowOf("zone")];
}

const byMethod = (method: string, cases: readonly (readonly [string, string])[]): string =>
  cases.reduceRight((otherwise, [name, formula]) => `IF(${method}="${name}",${formula},${otherwise})`, "0");

export const outlinesSheet: Sheet = {
  name: "Outlines",
  purpose: "Outlines: surveyed parts of zones that Site measures by outline",
  tab: "input",
  tellsCosts: false,
  tables: [outlines],
  figures: [],
  plan: planOutlines,
};
