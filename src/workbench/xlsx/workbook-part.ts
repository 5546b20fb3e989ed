import type { Book } from "../host/book";
import { fixedAddress, formulaNames, listedNames, LOST_NAME } from "../host/names";
import type { KeptName } from "../host/kept-names";
import { keptLayout } from "../host/kept-layout";
import { veryHiddenKey } from "../host/worksheet";
import { all, create, first, place } from "./dom";
import { toStored } from "./function-names";

const WORKBOOK_ORDER = ["workbookPr", "bookViews", "sheets", "externalReferences", "definedNames", "calcPr"];

/** The calculation engine of a current host: it opens such a file without recalculating our functions away. */
const ENGINE = "191029";

export function writeWorkbookPart(book: Book, workbook: Document): void {
  const ids = book.getters.getSheetIds();
  const root = workbook.documentElement;
  all(workbook, "sheet").forEach((sheet, index) => {
    const id = ids[index] ?? "";
    if (sheet.getAttribute("state") === "hidden" && book.kept(veryHiddenKey(id))) {
      sheet.setAttribute("state", "veryHidden");
    }
  });
  const views = create(workbook, "bookViews");
  const activeTab = ids.indexOf(book.getters.getActiveSheetId());
  views.append(create(workbook, "workbookView", { activeTab }));
  place(root, views, WORKBOOK_ORDER);
  const names = definedNames(book, workbook, ids);
  if (names.children.length) place(root, names, WORKBOOK_ORDER);
  place(root, create(workbook, "calcPr", { calcId: ENGINE }), WORKBOOK_ORDER);
}

function definedNames(book: Book, workbook: Document, ids: readonly string[]): Element {
  const list = create(workbook, "definedNames");
  const add = (name: string, text: string, attributes: Record<string, string | number | undefined>) =>
    list.append(create(workbook, "definedName", { name, ...attributes }, text));
  ids.forEach((sheetId, localSheetId) => {
    const layout = keptLayout(book, sheetId);
    const fixed = (address: string) => fixedAddress(book, book.area(address, sheetId));
    const printed = layout?.printArea?.split(",").map(fixed);
    if (printed) add("_xlnm.Print_Area", printed.join(","), { localSheetId });
    const titles = [layout?.titleColumns, layout?.titleRows].flatMap((part) => (part ? [fixed(part)] : []));
    if (titles.length) add("_xlnm.Print_Titles", titles.join(","), { localSheetId });
  });
  for (const { shown, area, kept } of listedNames(book))
    add(shown, area === null ? LOST_NAME : fixedAddress(book, area), attributesOf(kept, ids));
  for (const kept of formulaNames(book))
    add(kept.name, toStored(kept.formula).replace(/^=/, ""), attributesOf(kept, ids));
  return list;
}

const attributesOf = ({ comment, visible, scope }: KeptName, ids: readonly string[]) => ({
  comment: comment || undefined,
  hidden: visible ? undefined : 1,
  localSheetId: scope === null ? undefined : ids.indexOf(scope),
});

/** The name of the sheet on which a workbook was saved. */
export function activeSheet(workbook: Document): string {
  const index = Number(first(workbook, "workbookView")?.getAttribute("activeTab") ?? 0);
  return all(workbook, "sheet")[index]?.getAttribute("name") ?? "";
}

export interface ReadName {
  name: string;
  text: string;
  comment: string;
  visible: boolean;
  /** The name of the sheet it belongs to, or null. */
  sheetName: string | null;
}

export interface ReadSheet {
  name: string;
  relation: string;
  veryHidden: boolean;
}

/** Reads the sheets of a workbook, and makes deeply hidden ones merely hidden, which the spreadsheet knows. */
export function readSheets(workbook: Document): ReadSheet[] {
  return all(workbook, "sheet").map((sheet) => {
    const veryHidden = sheet.getAttribute("state") === "veryHidden";
    if (veryHidden) sheet.setAttribute("state", "hidden");
    return {
      name: sheet.getAttribute("name") ?? "",
      relation: sheet.getAttribute("r:id") ?? "",
      veryHidden,
    };
  });
}

export function readNames(workbook: Document, sheets: readonly ReadSheet[]): ReadName[] {
  return all(workbook, "definedName").map((element) => {
    const local = element.getAttribute("localSheetId");
    return {
      name: element.getAttribute("name") ?? "",
      text: element.textContent ?? "",
      comment: element.getAttribute("comment") ?? "",
      visible: element.getAttribute("hidden") !== "1",
      sheetName: local === null ? null : (sheets[Number(local)]?.name ?? null),
    };
  });
}
