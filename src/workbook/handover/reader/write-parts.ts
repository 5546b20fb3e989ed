/** The parts of a file for a reader, put into the package that it is made in. */
import type { Progress } from "../../host";
import { freeSheetName, inSlices, slices } from "../../host";
import type { PackageParts } from "../file/package-parts";
import { workingSheetName } from "../working-sheet";
import { contentTypesXml, relationsXml } from "./package-xml";
import { xmlHead } from "../file/xml";
import type { Page } from "./page";
import type { Making } from "./page-xml";
import { writing } from "./page-xml";
import type { Picture } from "./pictures";
import { drawingXml, picturesOf } from "./pictures";
import { workingOn, workingXml } from "./working-page";
import type { LeftOut } from "./left-out";
import type { ReaderOptions } from "./reader-options";

interface WrittenPages {
  readonly cells: number;
  readonly formulas: number;
  readonly pictures: number;
  readonly drawings: number;
  readonly drawingsLeft: number;
}

/** The pictures of a page that the reader may see, and how many drawings stay behind. */
type PicturesFor = (page: Page) => ReturnType<typeof picturesOf>;

export const picturesFor =
  (parts: PackageParts, options: ReaderOptions, leftOut: LeftOut): PicturesFor =>
  ({ sheet, isKept }) =>
    picturesOf(parts, sheet.part, { isKept, drawings: new Set(options.drawings), tells: leftOut.tells });

function writePictures(
  made: PackageParts,
  number: number,
  before: number,
  pictures: readonly Picture[],
): void {
  const media = pictures.map(({ extension }, i) => `image${before + i + 1}.${extension}`);
  made.replace(`xl/drawings/drawing${number}.xml`, xmlHead + drawingXml(pictures));
  made.replace(
    `xl/drawings/_rels/drawing${number}.xml.rels`,
    relationsXml(media.map((name) => ["image", `../media/${name}`] as const)),
  );
  for (const [i, { bytes }] of pictures.entries()) made.replace(`xl/media/${media[i] ?? ""}`, bytes);
}

/** Each page's part, with the pictures that stand on it. */
export async function writePages(
  made: PackageParts,
  pages: readonly Page[],
  making: Making,
  picturesOn: PicturesFor,
  progress: Progress,
): Promise<WrittenPages> {
  const counts = { cells: 0, formulas: 0, pictures: 0, drawings: 0, drawingsLeft: 0 };
  for (const [i, page] of pages.entries()) {
    const pause = slices(progress, `Writing ${page.sheet.name}`);
    const { pictures, left } = picturesOn(page);
    const drawing = pictures.length === 0 ? "" : '<drawing r:id="rId1"/>';
    const written = await inSlices(writing(page, making, drawing), pause);
    made.replace(`xl/worksheets/sheet${i + 1}.xml`, written.xml);
    if (pictures.length > 0) {
      const number = ++counts.drawings;
      made.replace(
        `xl/worksheets/_rels/sheet${i + 1}.xml.rels`,
        relationsXml([["drawing", `../drawings/drawing${number}.xml`]]),
      );
      writePictures(made, number, counts.pictures, pictures);
    }
    counts.cells += written.cells;
    counts.formulas += written.formulas;
    counts.pictures += pictures.length;
    counts.drawingsLeft += left;
  }
  return counts;
}

/** The sheet that lists the working, behind the pages; answers with its name where it is asked for. */
export function writeWorking(made: PackageParts, pages: readonly Page[], making: Making): string | undefined {
  if (making.options.withWorking !== true) return undefined;
  made.replace(`xl/worksheets/sheet${pages.length + 1}.xml`, workingXml(workingOn(pages, making)));
  return freeSheetName(
    workingSheetName,
    pages.map(({ sheet }) => sheet.name),
  );
}

interface Frame {
  readonly styles: string;
  readonly theme: string | undefined;
  readonly workbook: string;
  /** How many sheets and drawings the file holds. */
  readonly sheets: number;
  readonly drawings: number;
}

/** What stands around the sheets: looks, the workbook's part, and how all of it hangs together. */
export function writeFrame(made: PackageParts, { styles, theme, workbook, sheets, drawings }: Frame): void {
  made.replace("xl/styles.xml", xmlHead + styles);
  if (theme !== undefined) made.replace("xl/theme/theme1.xml", xmlHead + theme);
  made.replace("xl/workbook.xml", workbook);
  made.replace(
    "xl/_rels/workbook.xml.rels",
    relationsXml([
      ...Array.from({ length: sheets }, (_, i) => ["worksheet", `worksheets/sheet${i + 1}.xml`] as const),
      ["styles", "styles.xml"] as const,
      ...(theme === undefined ? [] : [["theme", "theme/theme1.xml"] as const]),
    ]),
  );
  made.replace("_rels/.rels", relationsXml([["officeDocument", "xl/workbook.xml"]]));
  made.replace("[Content_Types].xml", contentTypesXml(sheets, drawings, theme !== undefined));
}
