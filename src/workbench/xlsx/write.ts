import type { Book } from "../host/book";
import type { HostSession } from "../host/session";
import { all, escaped, parseXml, serializeXml } from "./dom";
import { writeKeptPart } from "./kept-part";
import { writeComments } from "./comments";
import { zipped } from "./parts";
import type { Media, Parts } from "./parts";
import { declareMedia, writePictures } from "./pictures";
import { correctCells } from "./sheet-cells";
import { writeFormats } from "./sheet-formats";
import { writeLayout } from "./sheet-layout";
import { writeValidations } from "./sheet-validations";
import { ExtraStyles, writeNumberFormats } from "./styles";
import { writeWorkbookPart } from "./workbook-part";

/** The spreadsheet leaves control characters out of what it reads again, but not code points that are no characters. */
function lenientParser(): typeof DOMParser {
  return class extends DOMParser {
    override parseFromString(text: string, type: DOMParserSupportedType): Document {
      return super.parseFromString(text.replace(/[\ufffe\uffff]/g, ""), type);
    }
  };
}

/** What the spreadsheet writes; only what manual calculation has left is worked out for it. */
async function writtenFiles({ model, calculation }: Book) {
  const { DOMParser: parser } = globalThis;
  calculation.isSaved = !calculation.isStale;
  globalThis.DOMParser = lenientParser();
  try {
    return (await model.exportXLSX()).files;
  } finally {
    globalThis.DOMParser = parser;
    calculation.isSaved = false;
  }
}

/** The workbook as a file: what the spreadsheet writes, corrected to what the host would. */
export async function writeXlsx({ book }: HostSession): Promise<Uint8Array> {
  const files = await writtenFiles(book);
  const parts: Parts = new Map(
    files.flatMap((file) => ("content" in file ? [[file.path, file.content] as const] : [])),
  );
  const media: Media = new Map(
    files.flatMap((file) => ("imageSrc" in file ? [[file.path, file.imageSrc] as const] : [])),
  );
  const change = (path: string, work: (document: Document) => void) => {
    const text = parts.get(path);
    if (text === undefined) throw new Error(`The spreadsheet wrote no ${path}.`);
    const document = parseXml(text);
    work(document);
    parts.set(path, serializeXml(document));
  };
  change("xl/styles.xml", (styles) => {
    writeNumberFormats(book, styles);
    const extras = new ExtraStyles(book, styles);
    book.getters.getSheetIds().forEach((sheetId, index) => {
      const path = `xl/worksheets/sheet${index}.xml`;
      change(path, (sheet) => {
        correctCells(book, sheetId, sheet);
        extras.write(sheetId, sheet);
        writeLayout(book, sheetId, sheet);
        writeFormats(sheet);
        writeValidations(book, sheetId, sheet);
        writeComments(book, sheetId, sheet, path, parts);
      });
      writePictures(book, sheetId, index, parts);
    });
  });
  change("xl/sharedStrings.xml", (strings) => {
    for (const text of all(strings, "t")) text.textContent = escaped(text.textContent ?? "");
  });
  change("xl/workbook.xml", (workbook) => writeWorkbookPart(book, workbook));
  writeKeptPart(book, parts);
  declareMedia(parts, media);
  return zipped(parts, media);
}
