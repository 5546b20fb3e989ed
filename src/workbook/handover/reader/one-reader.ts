/**
 * A file for one reader: a new workbook file, into which only what that reader is to see is written. Nothing is taken
 * out of a copy, where something could be forgotten: what is not known to be harmless never comes in.
 */
import type { Progress } from "../../host";
import { inSlices, slices } from "../../host";
import { PackageParts } from "../file/package-parts";
import { isCalculatedOnLoad, workbookPart } from "../file/workbook-part";
import { childrenNamed } from "../file/xml-walk";
import { PageStyles } from "./page-styles";
import { themeXml } from "./theme";
import type { ReaderOptions } from "./reader-options";
import { trouble } from "./trouble";
import { readSources } from "./source-sheets";
import { picturesFor, writeFrame, writePages, writeWorking } from "./write-parts";
import { namesOf } from "./file-names";
import { pageOf } from "./page";
import { whatIsIn } from "./what-is-in";
import { workbookXml } from "./workbook-xml";

export interface ReaderFile {
  readonly bytes: Uint8Array;
  readonly sheets: readonly string[];
  /** Cells that hold something in the file. */
  readonly cells: number;
  readonly formulas: number;
  readonly pictures: number;
  /** Charts, shapes and other drawings that stay behind. */
  readonly drawingsLeft: number;
}

/** How the workbook looks, as far as the file takes it on. */
function looksOf(
  parts: PackageParts,
  workbook: string,
): { readonly styles: PageStyles; readonly theme: string } {
  const [stylesPart = "", themePart = ""] = ["styles", "theme"].map(
    (wanted) =>
      parts.relationsOf(workbook).find(({ type, target }) => type === wanted && parts.has(target))?.target,
  );
  return {
    styles: new PageStyles(stylesPart, stylesPart === "" ? "" : parts.text(stylesPart)),
    theme: themePart,
  };
}

/** Makes the file. Where it cannot be made it says why in one sentence, and there is none. */
export async function fileForReader(
  bytes: Uint8Array,
  options: ReaderOptions,
  progress: Progress,
): Promise<ReaderFile> {
  const opening = slices(progress, "Reading the file");
  const parts = PackageParts.open(bytes);
  const workbook = workbookPart(parts);
  if (isCalculatedOnLoad(parts, workbook))
    trouble("The values in the file are not calculated yet: open it in Excel, save it, then hand over.");
  const sources = await readSources(parts, workbook, options.pages, opening, progress);
  const names = namesOf(parts, workbook);
  const pages = sources.flatMap((source) =>
    source.wanted === undefined ? [] : [pageOf(source, source.wanted, names)],
  );
  const { styles, theme } = looksOf(parts, workbook);
  await opening(0, 1);
  const choosing = slices(progress, "Choosing what the reader sees");
  const { inFile, leftOut, used } = await inSlices(whatIsIn(sources, pages, styles, names), choosing);
  const making = { styles, inFile, options };

  const made = PackageParts.empty();
  const written = await writePages(made, pages, making, picturesFor(parts, options, leftOut), progress);
  const working = writeWorking(made, pages, making);
  const sheets = [...pages.map(({ sheet }) => sheet.name), ...(working === undefined ? [] : [working])];
  const is1904 = childrenNamed(workbook, parts.text(workbook), "workbook", "workbookPr").some(
    ({ attributes }) => ["1", "true"].includes(attributes.date1904 ?? ""),
  );
  writeFrame(made, {
    styles: styles.xml,
    theme: theme === "" ? undefined : themeXml(theme, parts.text(theme)),
    workbook: workbookXml(pages, working, names, used, is1904),
    sheets: sheets.length,
    drawings: written.drawings,
  });
  const { cells, formulas, pictures, drawingsLeft } = written;
  const closed = await made.close(slices(progress, "Writing the file"));
  return { bytes: closed, sheets, cells, formulas, pictures, drawingsLeft };
}
