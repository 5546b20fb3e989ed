/** The sheets of the workbook that a file for a reader is made from, as they are read. */
import type { Pause, Progress } from "../../host";
import { inSlices, slices } from "../../host";
import type { PackageParts } from "../file/package-parts";
import type { FileCell } from "../file/cell-store";
import { SheetPart } from "../file/sheet-part";
import type { FileSheet } from "../file/workbook-part";
import { sheetsOf } from "../file/workbook-part";
import { textMeant } from "../file/xml";
import { walking } from "../file/xml-walk";
import { PageLooks } from "./page-looks";
import { colourOf, white } from "./page-styles";
import type { PageWanted } from "./reader-options";
import { trouble } from "./trouble";

/** Cells that are looked at or written at a time, in a few milliseconds. */
export const cellsAtATime = 200;

export interface SourceSheet {
  readonly sheet: FileSheet;
  readonly cells: readonly FileCell[];
  readonly looks: PageLooks;
  readonly wanted: PageWanted | undefined;
}

/** The texts that cells share; what is written on one in the colour of the paper, or beside it as a reading, is not. */
async function visibleStrings(
  parts: PackageParts,
  workbook: string,
  pause: Pause,
): Promise<readonly string[]> {
  const part = parts.relationsOf(workbook).find(({ type }) => type === "sharedStrings")?.target;
  if (part === undefined || !parts.has(part)) return [];
  await parts.unpack(part, pause);
  const texts: string[] = [];
  let pieces: string[] = [];
  let isUnseen = false;
  const reading = walking(part, parts.text(part), {
    open({ name, attributes, parent }) {
      if (name === "r" || name === "si") isUnseen = false;
      if (name === "color" && parent?.name === "rPr") isUnseen = colourOf(attributes) === white;
    },
    close({ name, parent, text }) {
      if (name === "t" && parent?.name !== "rPh" && !isUnseen) pieces.push(text);
      if (name !== "si") return;
      texts.push(textMeant(pieces.join("")));
      pieces = [];
    },
  });
  await inSlices(reading, pause);
  return texts;
}

async function readSource(
  parts: PackageParts,
  sheet: FileSheet,
  strings: readonly string[],
  wanted: PageWanted | undefined,
  pause: Pause,
): Promise<SourceSheet> {
  await parts.unpack(sheet.part, pause);
  const xml = parts.text(sheet.part);
  const part = await inSlices(SheetPart.reading(sheet.part, xml, strings), pause);
  const looks = await inSlices(PageLooks.reading(sheet.part, xml), pause);
  return { sheet, cells: part.cells, looks, wanted };
}

/** Every sheet of the workbook, with what is wanted of it. */
export async function readSources(
  parts: PackageParts,
  workbook: string,
  pages: readonly PageWanted[],
  opening: Pause,
  progress: Progress,
): Promise<readonly SourceSheet[]> {
  const wantedOf = (name: string): PageWanted | undefined =>
    pages.find(({ sheet }) => sheet.toLowerCase() === name.toLowerCase());
  const all = sheetsOf(parts, workbook);
  for (const { sheet } of pages)
    if (!all.some(({ name }) => name.toLowerCase() === sheet.toLowerCase()))
      trouble(`There is no sheet ${sheet} any more: tick the sheets anew, then hand over.`);
  if (pages.length === 0) trouble("No sheet is ticked: tick at least one, then hand over.");
  const strings = await visibleStrings(parts, workbook, opening);
  const sources: SourceSheet[] = [];
  for (const sheet of all) {
    const pause = slices(progress, `Reading ${sheet.name}`);
    sources.push(await readSource(parts, sheet, strings, wantedOf(sheet.name), pause));
  }
  return sources;
}
