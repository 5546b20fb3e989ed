/** A sheet taken out of a file, with what names its place. */
import { isKeptText } from "../earlier/originals";
import type { OpenedFile } from "./opened-file";
import { isOurs } from "./opened-file";
import { emptySharedTexts, sheetsOf } from "./workbook-part";
import type { PackageParts } from "./package-parts";
import type { Splice } from "./xml";
import type { XmlElement } from "./xml-element";
import { childrenNamed } from "./xml-walk";
import { spliced, without } from "./xml";

/** Takes a sheet of our own out: its part, its entry, and the places of the sheets behind it in the names. */
function dropSheet(parts: PackageParts, workbook: string, name: string): void {
  const dropped = sheetsOf(parts, workbook).find((sheet) => sheet.name === name);
  if (dropped === undefined) return;
  const xml = parts.text(workbook);
  const all = childrenNamed(workbook, xml, "sheets", "sheet");
  const index = all.findIndex(({ start }) => start === dropped.element.start);
  const splices: Splice[] = [without(dropped.element)];
  const shift = (element: XmlElement, attribute: string): void => {
    const at = Number(element.attributes[attribute] ?? -1);
    if (at <= index) return;
    const tag = xml.slice(element.start, element.inside);
    const text = tag.replace(new RegExp(`(\\s${attribute}\\s*=\\s*["'])\\d+`), `$1${at - 1}`);
    splices.push({ start: element.start, end: element.inside, text });
  };
  const names = childrenNamed(workbook, xml, "definedNames", "definedName");
  for (const element of names) {
    if (element.attributes.localSheetId === String(index)) splices.push(without(element));
    else shift(element, "localSheetId");
  }
  for (const view of childrenNamed(workbook, xml, "bookViews", "workbookView")) shift(view, "activeTab");
  parts.replace(workbook, spliced(xml, splices));
  parts.remove(workbook, dropped.relation);
}

/** Takes our own sheets out, and the originals among the texts that cells share. */
export function dropOurOwn({ parts, workbook, sheets, holdsKept }: OpenedFile): void {
  for (const one of sheets) if (isOurs(one)) dropSheet(parts, workbook, one.sheet.name);
  if (holdsKept) emptySharedTexts(parts, workbook, isKeptText);
}
