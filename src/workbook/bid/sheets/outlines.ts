/** Outlines of zones, one block of two columns each. Several may belong to a zone, and some may be left out of it. */
import type { Kit } from "../kit";
import { parameterOf } from "../kit";
import { blockHere } from "../plan";
import type { SheetPlan } from "../plan";

export interface OutlinesRefs {
  readonly plan: SheetPlan;
  readonly zones: string;
  readonly areas: string;
  readonly edges: string;
}

const rows = { zone: 6, method: 7, interval: 8, counts: 9, area: 10, edge: 11, signed: 12 } as const;
const firstPoint = 15;

/** Where an outline's parts stand on the sheet, rows as it shows them, for whoever brings outlines in from a file. */
export const outlineLayout = { rows, firstPoint, zoneLabel: "Zone, as named on Site" } as const;

export function planOutlines(kit: Kit): OutlinesRefs {
  const outlines = kit.job?.outlines ?? [];
  const blocks = Math.max(8, outlines.length + 6);
  const points = Math.max(40, ...outlines.map((outline) => outline.points.length + 12));
  const lastPoint = firstPoint + points - 1;
  const plan = kit.sheet("outlines", "Outlines: surveyed parts of zones that Site measures by outline");
  const unit = kit.unit("length");
  plan.put(
    4,
    1,
    "A zone may have several parts; a bed or a drive within it is a part that is left out.",
    "legend",
  );
  const labels: readonly (readonly [number, string])[] = [
    [rows.zone, outlineLayout.zoneLabel],
    [rows.method, "Method"],
    [rows.interval, `Distance between offsets, ${unit}`],
    [rows.counts, "Counts as"],
    [rows.area, `Area, ${kit.unit("area")}`],
    [rows.edge, `Edge, ${unit}`],
    [rows.signed, `Adds to the zone, ${kit.unit("area")}`],
  ];
  for (const [row, label] of labels) plan.put(row, 1, label, "label");
  plan.put(firstPoint - 1, 1, "Points in order round the outline", "column");
  for (let point = 0; point < points; point++) {
    plan.put(firstPoint + point, 1, point + 1, "label", { form: "whole", align: "left" });
  }
  for (let i = 0; i < blocks; i++) {
    const outline = outlines[i];
    const column = 2 + 2 * i;
    const zone = plan.input(rows.zone, column, outline?.zone, { form: "text" });
    const method = plan.input(rows.method, column, outline?.method, {
      choices: ["corners", "offsets", "radii", "coordinates"],
    });
    const interval = plan.input(rows.interval, column, outline?.interval, {
      limit: parameterOf("OFFSET_AREA", "interval"),
    });
    const counts = plan.input(rows.counts, column, outline?.counts, { choices: ["area", "left out"] });
    const both = blockHere(firstPoint, column, lastPoint, column + 1);
    const single = blockHere(firstPoint, column, lastPoint, column);
    const areaBy: readonly (readonly [string, string])[] = [
      ["corners", kit.call("POLYGON_AREA", both)],
      ["offsets", kit.call("OFFSET_AREA", single, interval)],
      ["radii", kit.call("RADIAL_AREA", single)],
      ["coordinates", kit.call("GEO_AREA", both)],
    ];
    const area = plan.result(rows.area, column, byMethod(method, areaBy), "one decimal");
    const edgeBy: readonly (readonly [string, string])[] = [
      ["corners", kit.call("PERIMETER", both)],
      ["coordinates", kit.call("GEO_PERIMETER", both)],
    ];
    plan.result(rows.edge, column, byMethod(method, edgeBy), "one decimal");
    plan.result(rows.signed, column, `IF(${counts}="left out",-${area},${area})`, "one decimal");
    for (const row of Object.values(rows)) if (row !== rows.zone) plan.put(row, column + 1, "", "label");
    const unlike = `IF(${method}="coordinates","latitude",IF(${method}="offsets","offset",IF(${method}="radii","radius","x")))`;
    plan.put(firstPoint - 1, column, `=${unlike}`, "column", { align: "right" });
    plan.put(
      firstPoint - 1,
      column + 1,
      `=IF(${method}="coordinates","longitude",IF(OR(${method}="offsets",${method}="radii"),"","y"))`,
      "column",
      { align: "right" },
    );
    plan.put(rows.zone, column + 1, `=IF(AND(${zone}="",${method}<>""),"name the zone","")`, "caution");
    for (let point = 0; point < points; point++) {
      const given = outline?.points[point];
      plan.input(firstPoint + point, column, given?.[0]);
      plan.input(firstPoint + point, column + 1, given?.[1]);
    }
  }
  const last = 1 + 2 * blocks;
  const across = (row: number) => plan.block(row, 2, row, last);
  plan.widths = [32, ...Array.from({ length: 2 * blocks }, () => 12)];
  plan.frozenRows = firstPoint - 1;
  plan.landscape = true;
  plan.titleRows = [1, rows.zone];
  return { plan, zones: across(rows.zone), areas: across(rows.signed), edges: across(rows.edge) };
}

const byMethod = (method: string, cases: readonly (readonly [string, string])[]): string =>
  cases.reduceRight((otherwise, [name, formula]) => `IF(${method}="${name}",${formula},${otherwise})`, "0");
