/** Puts the outlines of a file into the free blocks of the bid's sheet of outlines: all of them, or none. */
import { greatest } from "../../engine/lists";
import { outlineLayout } from "../bid/sheets/outlines";
import { looks } from "../bid/styles";
import type { Progress } from "../progress";
import { inSlices, slices, untold } from "../progress";
import { inWorkbook } from "../session";
import { WorkbookTrouble } from "../trouble";
import { asSent } from "../write-cells";
import type { BroughtOutline } from "./outline";
import { readingOutlines } from "./read-outlines";

export { fileText } from "./file-text";
export { largestFile } from "./read-outlines";

export interface BroughtIn {
  readonly sheet: string;
  readonly outlines: number;
  /** The zones they belong to, by which Site is to name them. */
  readonly zones: readonly string[];
  readonly notes: readonly string[];
}

const { rows, firstPoint, zoneLabel } = outlineLayout;

interface OutlinesSheet {
  readonly sheet: Excel.Worksheet;
  readonly values: readonly (readonly unknown[])[];
  /** The number formats of the row of zones. */
  readonly formats: readonly string[];
}

/** The bid's sheet of outlines, known by its label: the one that is open, or else the last that was written. */
async function findSheet(context: Excel.RequestContext): Promise<OutlinesSheet> {
  const { worksheets } = context.workbook;
  const active = worksheets.getActiveWorksheet();
  active.load("id");
  worksheets.load("items/id,items/name");
  await context.sync();
  const read = worksheets.items.map((sheet) => {
    const label = sheet.getRangeByIndexes(rows.zone - 1, 0, 1, 1);
    label.load("values");
    return { sheet, label };
  });
  await context.sync();
  const found = read.filter(({ label }) => label.values[0]?.[0] === zoneLabel);
  const chosen = found.find(({ sheet }) => sheet.id === active.id) ?? found[found.length - 1];
  if (chosen === undefined) {
    throw new WorkbookTrouble(
      "There is no sheet of outlines yet: write the bid sheets first, then bring outlines in.",
    );
  }
  const used = chosen.sheet.getRange("A1").getBoundingRect(chosen.sheet.getUsedRange());
  used.load("values");
  const zones = used.getRow(rows.zone - 1);
  zones.load("numberFormat");
  await context.sync();
  return {
    sheet: chosen.sheet,
    values: used.values as unknown[][],
    formats: (zones.numberFormat[0] ?? []) as string[],
  };
}

const isEmpty = (value: unknown): boolean => value === "" || value === null || value === undefined;

/** The first columns, counted from 0, of the blocks that hold neither a zone nor a point. */
function freeBlocks(values: OutlinesSheet["values"]): readonly number[] {
  const width = values[firstPoint - 2]?.length ?? 0;
  const columns = Array.from({ length: Math.floor((width - 1) / 2) }, (_, i) => 1 + 2 * i);
  return columns.filter(
    (column) =>
      isEmpty(values[rows.zone - 1]?.[column]) &&
      values.slice(firstPoint - 1).every((row) => isEmpty(row[column]) && isEmpty(row[column + 1])),
  );
}

const lastPointRow = (values: OutlinesSheet["values"]): number =>
  values.reduce<number>(
    (last, [label], i) => (i >= firstPoint - 1 && typeof label === "number" ? i + 1 : last),
    firstPoint,
  );

/** More rows for points, above the last one, so that every formula over the points takes them in. */
function makeRoom(sheet: Excel.Worksheet, last: number, needed: number, width: number): void {
  if (needed <= 0) return;
  sheet.getRange(`${last}:${last + needed - 1}`).insert("Down");
  const points = last - firstPoint + 1 + needed;
  sheet.getRangeByIndexes(firstPoint - 1, 0, points, 1).values = Array.from({ length: points }, (_, i) => [
    i + 1,
  ]);
  looks.input(sheet.getRangeByIndexes(last - 1, 1, needed, width - 1));
}

function writeOutline(
  sheet: Excel.Worksheet,
  column: number,
  outline: BroughtOutline,
  format: string | undefined,
): void {
  const put = (row: number, content: string) => {
    sheet.getRangeByIndexes(row - 1, column, 1, 1).values = [[content]];
  };
  put(rows.zone, String(asSent(outline.zone, format)));
  put(rows.method, "coordinates");
  put(rows.counts, outline.counts);
  const points = outline.points.map(([latitude, longitude]) => [latitude, longitude]);
  sheet.getRangeByIndexes(firstPoint - 1, column, points.length, 2).values = points;
}

const addedUp = (zone: string): string =>
  `${zone} had an outline already: the areas are added up. Empty the old one if this was to take its place.`;

/** Reads a GeoJSON, KML or GPX file and puts its outlines into the workbook; a file that is not sound writes nothing. */
export const bringOutlines = (
  fileName: string,
  text: string,
  progress: Progress = untold,
): Promise<BroughtIn> =>
  inWorkbook(async (context) => {
    const reading = slices(progress, "Reading the map file");
    const { outlines, notes } = await inSlices(readingOutlines(fileName, text), reading);
    const { sheet, values, formats } = await findSheet(context);
    const free = freeBlocks(values);
    if (outlines.length > free.length) {
      throw new WorkbookTrouble(
        `The file holds ${outlines.length} outlines and the sheet has room for ${free.length}: empty blocks you no longer need, or bring in a file with fewer.`,
      );
    }
    const last = lastPointRow(values);
    const longest = greatest(outlines.map(({ points }) => points.length));
    makeRoom(sheet, last, longest - (last - firstPoint + 1), values[firstPoint - 2]?.length ?? 1);
    outlines.forEach((outline, i) => {
      const column = free[i] ?? 1;
      writeOutline(sheet, column, outline, formats[column]);
    });
    const zones = [...new Set(outlines.map(({ zone }) => zone))];
    const doubled = zones.filter((zone) => values[rows.zone - 1]?.includes(zone));
    sheet.activate();
    sheet.load("name");
    await context.sync();
    return {
      sheet: sheet.name,
      outlines: outlines.length,
      zones,
      notes: [...notes, ...doubled.map(addedUp)],
    };
  });
