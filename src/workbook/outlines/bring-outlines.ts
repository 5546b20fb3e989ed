/** Puts the outlines of a file into the free blocks of the bid's sheet of outlines: all of them, or none. */
import { greatest } from "../../engine/lists";
import { outlineLayout } from "../bid/sheets/outlines";
import { looks } from "../bid/styles";
import type { Progress } from "../progress";
import { inSlices, slices, untold } from "../progress";
import { WorkbookTrouble } from "../trouble";
import { asWork } from "../work/as-work";
import type { Mark } from "../work/mark";
import type { Cells, Content, Guard } from "../write-cells";
import { writeAndLook } from "../write-cells";
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
  readonly formulas: readonly (readonly unknown[])[];
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
  used.load("values,formulas");
  await context.sync();
  return {
    sheet: chosen.sheet,
    values: used.values as unknown[][],
    formulas: used.formulas as unknown[][],
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
async function makeRoom(
  context: Excel.RequestContext,
  mark: Mark,
  { sheet, values }: OutlinesSheet,
  last: number,
  needed: number,
): Promise<void> {
  if (needed <= 0) return;
  const at = last - 1;
  await mark.step({ kind: "rows", sheet: sheet.id, at, count: needed, witness: last - firstPoint + 1 });
  const width = values[firstPoint - 2]?.length ?? 1;
  sheet.getRange(`${last}:${last + needed - 1}`).insert("Down");
  looks.input(sheet.getRangeByIndexes(at, 1, needed, width - 1));
  await context.sync();
}

/** The numbers of the points, as many as the sheet has room for. */
const numbered = (points: number): readonly (readonly Content[])[] =>
  Array.from({ length: points }, (_, i) => [i + 1]);

/** What is written for an outline into the block that begins in a column. */
const outlineCells = (sheet: Excel.Worksheet, left: number, outline: BroughtOutline): readonly Cells[] => {
  const put = (row: number, content: string): Cells => ({
    sheet,
    top: row - 1,
    left,
    rows: [[content]],
    held: "",
  });
  return [
    put(rows.zone, outline.zone),
    put(rows.method, "coordinates"),
    put(rows.counts, outline.counts),
    {
      sheet,
      top: firstPoint - 1,
      left,
      rows: outline.points.map(([north, east]) => [north, east]),
      held: "",
    },
  ];
};

/** The labels and the row of zones as they were read: by them the points belong where they are written. */
const guardsOf = ({ sheet, formulas }: OutlinesSheet, labels: number): readonly Guard[] => [
  {
    sheet,
    block: { top: 0, bottom: labels - 1, left: 0, right: 0 },
    formulas: formulas.slice(0, labels).map(([label]) => [label]),
  },
  {
    sheet,
    block: { top: firstPoint - 2, bottom: firstPoint - 2, left: 0, right: (formulas[0]?.length ?? 1) - 1 },
    formulas: formulas.slice(firstPoint - 2, firstPoint - 1),
  },
];

const addedUp = (zone: string): string =>
  `${zone} had an outline already: the areas are added up. Empty the old one if this was to take its place.`;

/** Reads a GeoJSON, KML or GPX file and puts its outlines into the workbook; a file that is not sound writes nothing. */
export const bringOutlines = (
  fileName: string,
  text: string,
  progress: Progress = untold,
): Promise<BroughtIn> =>
  asWork({ work: "outlines" }, async (context, mark) => {
    const reading = slices(progress, "Reading the map file");
    const { outlines, notes } = await inSlices(readingOutlines(fileName, text), reading);
    const found = await findSheet(context);
    const { sheet, values } = found;
    const free = freeBlocks(values);
    if (outlines.length > free.length) {
      throw new WorkbookTrouble(
        `The file holds ${outlines.length} outlines and the sheet has room for ${free.length}: empty blocks you no longer need, or bring in a file with fewer.`,
      );
    }
    const last = lastPointRow(values);
    const longest = greatest(outlines.map(({ points }) => points.length));
    const needed = longest - (last - firstPoint + 1);
    await makeRoom(context, mark, found, last, needed);
    const numbers: Cells = { sheet, top: firstPoint - 1, left: 0, rows: numbered(longest) };
    const cells = [
      ...(needed > 0 ? [numbers] : []),
      ...outlines.flatMap((outline, i) => outlineCells(sheet, free[i] ?? 1, outline)),
    ];
    const guards = guardsOf(found, needed > 0 ? firstPoint - 1 : values.length);
    await writeAndLook(context, mark, cells, { progress, guards });
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
