/** Outlines of zones, one block of two columns each. Several may belong to a zone, and some may be left out of it. */
import { filledPart } from "../../filled-part";
import { asFormula } from "../../write-cells";
import type { Kit } from "../kit";
import type { Named, Takes } from "../entry";
import { headOf, limitsOf } from "../entry";
import { lineOf } from "../named-lines";
import { blockHere, SheetPlan } from "../plan";
import type { OutlineRanges, SiteRefs } from "./site";

const rows = {
  zone: 6,
  method: 7,
  interval: 8,
  counts: 9,
  area: 10,
  edge: 11,
  signed: 12,
  line: 13,
} as const;
const firstPoint = 15;

/** Where an outline's parts stand on the sheet, rows as it shows them, for whoever brings outlines in from a file. */
export const outlineLayout = { rows, firstPoint, zoneLabel: "Zone, as named on Site" } as const;

const blocksFor = (kit: Kit): number => Math.max(8, (kit.job?.outlines.length ?? 0) + 6);

/** Where Site finds the outlines, before they are planned: each looks for its zone among Site's. */
export function outlineRanges(kit: Kit): OutlineRanges {
  const plan = new SheetPlan(kit.names.outlines);
  const across = (row: number) => plan.block(row, 2, row, 1 + 2 * blocksFor(kit));
  return { lines: across(rows.line), areas: across(rows.signed), edges: across(rows.edge) };
}

export function planOutlines(kit: Kit, site: SiteRefs): SheetPlan {
  const outlines = kit.job?.outlines ?? [];
  const blocks = blocksFor(kit);
  const points = Math.max(40, ...outlines.map((outline) => outline.points.length + 12));
  const lastPoint = firstPoint + points - 1;
  const plan = kit.sheet("outlines");
  const unit = kit.unit("length");
  plan.put(
    4,
    1,
    "A zone may have several parts; a bed or a drive within it is a part that is left out.",
    "legend",
  );
  const labels: Readonly<Record<keyof typeof rows, Named>> = {
    zone: { name: outlineLayout.zoneLabel },
    method: { name: "Method" },
    interval: { name: "Distance between offsets", unit },
    counts: { name: "Counts as" },
    area: { name: "Area", unit: kit.unit("area") },
    edge: { name: "Edge", unit },
    signed: { name: "Adds to the zone", unit: kit.unit("area") },
    line: { name: "Line of the zone on Site" },
  };
  const pointsLabel = "Points in order round the outline";
  for (const which of Object.keys(rows) as (keyof typeof rows)[])
    plan.put(rows[which], 1, headOf(labels[which]), "label");
  plan.put(firstPoint - 1, 1, pointsLabel, "column");
  const figure = {
    name: pointsLabel,
    takes: "number",
    limits: {},
    example: kit.system === "us" ? 38.5 : 11.6,
    empty: `Sides, offsets and radii in ${unit}, latitude and longitude in degrees.`,
  } as const;
  for (let point = 0; point < points; point++) {
    plan.put(firstPoint + point, 1, point + 1, "label", { form: "whole", align: "left" });
  }
  for (let i = 0; i < blocks; i++) {
    const outline = outlines[i];
    const column = 2 + 2 * i;
    const zone = plan.input(rows.zone, column, outline?.zone, { form: "text" });
    const input = (
      which: "method" | "interval" | "counts",
      content: string | number | undefined,
      takes: Takes,
    ) => plan.input(rows[which], column, content, { entry: { ...labels[which], ...takes } });
    const method = input("method", outline?.method, {
      takes: "choice",
      choices: ["corners", "offsets", "radii", "coordinates"],
    });
    const interval = input("interval", outline?.interval, {
      takes: "number",
      limits: limitsOf("OFFSET_AREA", "interval"),
      example: kit.system === "us" ? 10 : 3,
      empty: "Leave it empty for any other method.",
    });
    const counts = input("counts", outline?.counts, {
      takes: "choice",
      choices: ["area", "left out"],
      empty: "An empty cell is read as area.",
    });
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
    const area = plan.result(rows.area, column, whole(byMethod(method, areaBy)), "one decimal");
    const edgeBy: readonly (readonly [string, string])[] = [
      ["corners", kit.call("PERIMETER", filledPart(both))],
      ["coordinates", kit.call("GEO_PERIMETER", filledPart(both))],
    ];
    plan.result(rows.edge, column, whole(byMethod(method, edgeBy)), "one decimal");
    plan.result(rows.signed, column, `IF(${counts}="left out",-${area},${area})`, "one decimal");
    const line = plan.result(
      rows.line,
      column,
      `IF(${zone}="",0,IFERROR(${lineOf(site.lines, zone)},0))`,
      "whole",
    );
    for (const row of Object.values(rows)) if (row !== rows.zone) plan.put(row, column + 1, "", "label");
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
      rows.zone,
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
  plan.titleRows = [1, rows.zone];
  return plan;
}

const byMethod = (method: string, cases: readonly (readonly [string, string])[]): string =>
  cases.reduceRight((otherwise, [name, formula]) => `IF(${method}="${name}",${formula},${otherwise})`, "0");
