/** A workbook file opened and read, before anything in it is rewritten. */
import { mayHoldCalls } from "../../formulas";
import type { Progress } from "../../host";
import { inSlices, isOurOwn, slices, WorkbookTrouble } from "../../host";
import { isKeptText } from "../earlier/originals";
import { whyOutward } from "../outward";
import type { FileCopyOptions } from "./copy-options";
import { comesBack } from "./copy-options";
import { PackageParts } from "./package-parts";
import { SheetPart } from "./sheet-part";
import type { ReadOptions } from "./sheet-reader";
import type { FileSheet } from "./workbook-part";
import { isCalculatedOnLoad, readingSharedTexts, sheetsOf, workbookPart } from "./workbook-part";

export interface ReadSheet {
  readonly sheet: FileSheet;
  readonly part: SheetPart;
}

export interface OpenedFile {
  readonly parts: PackageParts;
  readonly workbook: string;
  /** All of them, our own included. */
  readonly sheets: readonly ReadSheet[];
  /** Whether the texts that cells share hold originals that an earlier edition kept. */
  readonly holdsKept: boolean;
}

export const isOurs = ({ sheet, part }: ReadSheet): boolean =>
  isOurOwn(sheet.name, part.held.find(0, 0)?.value);

/** The formulas that are asked for by their text: ours, and others' where it is told what they read or show. */
const keepsFormulas = ({ mode, withList }: FileCopyOptions): ReadOptions => ({
  keepsLooks: withList === true && comesBack(mode),
  keeps: (formula, isUnanswered) =>
    (withList === true && comesBack(mode)) ||
    (mode === "values" && isUnanswered) ||
    mayHoldCalls(formula) ||
    whyOutward(formula) !== undefined,
});

export async function openFile(
  bytes: Uint8Array,
  options: FileCopyOptions,
  progress: Progress,
): Promise<OpenedFile> {
  const reading = slices(progress, "Reading the file");
  const parts = PackageParts.open(bytes);
  const workbook = workbookPart(parts);
  const all = sheetsOf(parts, workbook);
  const isStale = isCalculatedOnLoad(parts, workbook);
  if (isStale && options.mode === "values") {
    throw new WorkbookTrouble(
      "The values in the file are not calculated yet: open it in Excel, save it, then hand over as values.",
    );
  }
  await reading(0, 1);
  let holdsKept = false;
  const noticing = (text: string): void => {
    if (isKeptText(text)) holdsKept = true;
  };
  const strings = await inSlices(readingSharedTexts(parts, workbook, noticing), reading);
  const sheets: ReadSheet[] = [];
  for (const sheet of all) {
    const pause = slices(progress, `Reading ${sheet.name}`);
    const cells = SheetPart.reading(sheet.part, parts.reading(sheet.part), strings, keepsFormulas(options));
    const part = await inSlices(cells, pause);
    part.held.isStale = isStale;
    await pause(1, 1);
    sheets.push({ sheet, part });
  }
  return { parts, workbook, sheets, holdsKept };
}
