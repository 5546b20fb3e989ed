/** Puts the outlines of a file into the free blocks of the bid's sheet of outlines: all of them, or none. */
import { greatest } from "../../engine/lists";
import type { MarkedSheet } from "../bid";
import { looks, outlines, partName, pointsName, readSteadily } from "../bid";
import type { Block, Content, Progress, RequestContext, Worksheet } from "../host";
import { inSlices, slices, untold, WorkbookTrouble } from "../host";
import { asWork } from "../work";
import type { Mark } from "../marks";
import type { Cells, Guard } from "../writing";
import { writeAndLook } from "../writing";
import type { BroughtOutline } from "./outline";
import { readingOutlines } from "./read-outlines";

export interface BroughtIn {
  readonly sheet: string;
  readonly outlines: number;
  /** The zones they belong to, by which Site is to name them. */
  readonly zones: readonly string[];
  readonly notes: readonly string[];
}

type Part = "zone" | "method" | "counts" | "points";

interface OutlinesSheet {
  readonly sheet: Worksheet;
  readonly values: readonly (readonly unknown[])[];
  readonly formulas: readonly (readonly unknown[])[];
  /** Where its parts stand, rows and columns counted from 0; those of an outline run from their label to the right. */
  readonly parts: Readonly<Record<Part, Block>>;
}

const partNames: Readonly<Record<Part, string>> = {
  zone: partName(outlines.id, "zone"),
  method: partName(outlines.id, "method"),
  counts: partName(outlines.id, "counts"),
  points: pointsName,
};

function partsOf({ name, parts }: MarkedSheet): OutlinesSheet["parts"] {
  const found = (part: Part): Block => {
    const block = parts.get(partNames[part].toLowerCase());
    if (block === undefined)
      throw new WorkbookTrouble(
        `${name} no longer has its cells by the name ${partNames[part]}: undo what took them away, or write a new bid.`,
      );
    return block;
  };
  return { zone: found("zone"), method: found("method"), counts: found("counts"), points: found("points") };
}

/** The bid's sheet of outlines: the one that is open, or else the last that was written. */
async function findSheet(context: RequestContext, all: readonly MarkedSheet[]): Promise<OutlinesSheet> {
  const { worksheets } = context.workbook;
  const active = worksheets.getActiveWorksheet();
  active.load("name");
  await context.sync();
  const marked = all.filter(({ which }) => which === "outlines");
  const chosen = marked.find(({ name }) => name === active.name) ?? marked[marked.length - 1];
  if (chosen === undefined) {
    throw new WorkbookTrouble(
      "There is no sheet of outlines yet: write the bid sheets first, then bring outlines in.",
    );
  }
  const sheet = worksheets.getItem(chosen.name);
  sheet.load("id");
  const used = sheet.getRange("A1").getBoundingRect(sheet.getUsedRange());
  used.load("values,formulas");
  await context.sync();
  return {
    sheet,
    values: used.values as unknown[][],
    formulas: used.formulas as unknown[][],
    parts: partsOf(chosen),
  };
}

const isEmpty = (value: unknown): boolean => value === "" || value === null || value === undefined;

/** An outline takes so many columns. */
const each = outlines.across ?? 1;

/** The first columns of the blocks that hold neither a zone nor a point; a formula is something, whatever it shows. */
function freeBlocks({ formulas, parts: { zone, points } }: OutlinesSheet): readonly number[] {
  const count = Math.floor((zone.right - zone.left) / each);
  const columns = Array.from({ length: count }, (_, i) => zone.left + 1 + each * i);
  return columns.filter(
    (column) =>
      isEmpty(formulas[zone.top]?.[column]) &&
      formulas.slice(points.top + 1).every((row) => isEmpty(row[column]) && isEmpty(row[column + 1])),
  );
}

/** So many points have room. */
const roomFor = ({ points }: OutlinesSheet["parts"]): number => points.bottom - points.top;

/** More rows for points, above the last one, so that every formula over the points takes them in. */
async function makeRoom(
  context: RequestContext,
  mark: Mark,
  { sheet, parts }: OutlinesSheet,
  needed: number,
): Promise<void> {
  if (needed <= 0) return;
  const { points } = parts;
  const at = points.bottom;
  await mark.step({ kind: "rows", sheet: sheet.id, at, count: needed, witness: roomFor(parts) });
  sheet.getRange(`${at + 1}:${at + needed}`).insert("Down");
  looks.input(sheet.getRangeByIndexes(at, points.left + 1, needed, points.right - points.left));
  await context.sync();
}

/** The numbers of the points, as many as the sheet has room for. */
const numbered = (points: number): readonly (readonly Content[])[] =>
  Array.from({ length: points }, (_, i) => [i + 1]);

/** The numbers as they were read, with the empty rows that were put in above the last one. */
function numbersNow({ formulas, parts: { points } }: OutlinesSheet, put: number): Cells["held"] {
  const read = formulas.slice(points.top + 1, points.bottom + 1).map((row) => [row[points.left]]);
  return [...read.slice(0, -1), ...Array.from({ length: put }, () => [""]), ...read.slice(-1)];
}

/** What is written for an outline into the block that begins in a column. */
const outlineCells = (
  { sheet, parts }: OutlinesSheet,
  left: number,
  outline: BroughtOutline,
): readonly Cells[] => {
  const put = (part: Part, content: string): Cells => ({
    sheet,
    top: parts[part].top,
    left,
    rows: [[content]],
    held: "",
  });
  return [
    put("zone", outline.zone),
    put("method", "coordinates"),
    put("counts", outline.counts),
    {
      sheet,
      top: parts.points.top + 1,
      left,
      rows: outline.points.map(([north, east]) => [north, east]),
      held: "",
    },
  ];
};

/** The labels and the heads of the points as they were read: by them the points belong where they are written. */
const guardsOf = (
  { sheet, formulas, parts: { points } }: OutlinesSheet,
  labels: number,
): readonly Guard[] => [
  {
    sheet,
    block: { top: 0, bottom: labels - 1, left: points.left, right: points.left },
    formulas: formulas.slice(0, labels).map((row) => [row[points.left]]),
  },
  {
    sheet,
    block: { top: points.top, bottom: points.top, left: 0, right: (formulas[0]?.length ?? 1) - 1 },
    formulas: formulas.slice(points.top, points.top + 1),
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
    const { outlines: brought, notes } = await inSlices(readingOutlines(fileName, text), reading);
    const found = await readSteadily(context, (marked) => findSheet(context, marked));
    const { sheet, values, parts } = found;
    const free = freeBlocks(found);
    if (brought.length > free.length) {
      throw new WorkbookTrouble(
        `The file holds ${brought.length} outlines and the sheet has room for ${free.length}: empty blocks you no longer need, or bring in a file with fewer.`,
      );
    }
    const longest = greatest(brought.map(({ points }) => points.length));
    const needed = longest - roomFor(parts);
    await makeRoom(context, mark, found, needed);
    const { top, left } = parts.points;
    const numbers: Cells = {
      ...{ sheet, top: top + 1, left, rows: numbered(longest) },
      held: numbersNow(found, needed),
    };
    const cells = [
      ...(needed > 0 ? [numbers] : []),
      ...brought.flatMap((outline, i) => outlineCells(found, free[i] ?? left + 1, outline)),
    ];
    const guards = guardsOf(found, needed > 0 ? top + 1 : values.length);
    await writeAndLook(context, mark, cells, { progress, guards });
    const zones = [...new Set(brought.map(({ zone }) => zone))];
    const doubled = zones.filter((zone) => values[parts.zone.top]?.includes(zone));
    sheet.activate();
    sheet.load("name");
    await context.sync();
    return {
      sheet: sheet.name,
      outlines: brought.length,
      zones,
      notes: [...notes, ...doubled.map(addedUp)],
    };
  });
