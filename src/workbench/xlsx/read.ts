import { cellName, parseZone } from "../host/area";
import { freeName, nameKey } from "../host/kept-names";
import type { KeptName } from "../host/kept-names";
import { formulaNameKey } from "../host/names";
import type { FormulaName } from "../host/names";
import { layoutKey } from "../host/kept-layout";
import { withInnerNames } from "../host/names-in-formulas";
import type { NameInside } from "../host/names-in-formulas";
import type { HostSession } from "../host/session";
import type { KeptShape } from "../host/shapes";
import type { Getters, Spreadsheet, WorkbookData } from "../host/spreadsheet";
import { TEXT_FORMAT, typed } from "../host/values";
import { veryHiddenKey } from "../host/worksheet";
import { spreadsheetSpelling } from "../host/written-formulas";
import { all, create, escaped, first, holdsUnwritable, MAIN, parseXml, serializeXml, unescaped } from "./dom";
import { toShown } from "./function-names";
import { readKeptPart } from "./kept-part";
import { readComments } from "./comments";
import { insertBefore, mediaIn, unzipped } from "./parts";
import type { Parts } from "./parts";
import { readPictures, takePictures } from "./pictures";
import { readFormats } from "./sheet-formats";
import { readLayout } from "./sheet-layout";
import { readValidations } from "./sheet-validations";
import { readCellStyles, readNumberFormats } from "./styles";
import type { CellStyle, ExtraStyle } from "./styles";
import { activeSheet, readNames, readSheets } from "./workbook-part";
import type { ReadName, ReadSheet } from "./workbook-part";

type SheetData = WorkbookData["sheets"][number];

/** What a sheet's part tells beyond what the spreadsheet reads of it. */
interface ReadPart {
  sheet: Document;
  /** Cells that hold text which would be taken for something else if it were typed. */
  texts: Map<string, string>;
  extras: Map<string, ExtraStyle>;
  pictures: readonly KeptShape[];
}

/** A file need not say how its cells look; the spreadsheet wants it said. */
const plainStyles = `<styleSheet xmlns="${MAIN}"><fonts><font/></fonts><fills><fill/></fills><borders><border/></borders><cellXfs><xf/></cellXfs></styleSheet>`;

const stylesDeclared =
  '<Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>';

export class UnreadableFile extends Error {}

/** Opens a workbook file in place of the present workbook, on the sheet on which it was saved. */
export function readXlsx(session: HostSession, bytes: Uint8Array): void {
  const parts = opened(bytes);
  const { library, getters } = session.book;
  const isTakenForMore = takenForMore(library, getters.getLocale());
  const data = workbookData(library, bytes, parts, isTakenForMore);
  session.replace(data);
  const { book } = session;
  const active = book.findSheet(activeSheet(parseXml(parts.get("xl/workbook.xml") ?? "")));
  if (active !== null && book.getters.isSheetVisible(active)) book.activate(active);
}

function workbookData(
  library: Spreadsheet,
  bytes: Uint8Array,
  parts: Parts,
  isTakenForMore: (text: string) => boolean,
): object {
  const hostState: Record<string, unknown> = readKeptPart(parts);
  const part = (path: string) => parseXml(parts.get(path) ?? "");
  const stylesPath = "xl/styles.xml";
  if (!parts.has(stylesPath)) {
    parts.set(stylesPath, plainStyles);
    insertBefore(parts, "[Content_Types].xml", "</Types>", stylesDeclared);
  }
  toRelative(parts, "xl/_rels/workbook.xml.rels");
  const styles = part(stylesPath);
  const cellStyles = readCellStyles(styles);
  Object.assign(hostState, readNumberFormats(styles));
  parts.set(stylesPath, serializeXml(styles));
  const workbook = part("xl/workbook.xml");
  const sheets = readSheets(workbook);
  const names = readNames(workbook, sheets);
  parts.set("xl/workbook.xml", serializeXml(workbook));
  const paths = sheetPaths(part("xl/_rels/workbook.xml.rels"));
  const texts = parts.has("xl/sharedStrings.xml") ? sharedStrings(part("xl/sharedStrings.xml")) : [];
  const byName = new Map<string, ReadPart>();
  for (const { name, relation } of sheets) {
    const path = paths.get(relation);
    if (path === undefined) continue;
    const sheet = part(path);
    const cells = readCells(sheet, texts, cellStyles, isTakenForMore);
    readFormats(sheet);
    byName.set(name, { ...cells, pictures: readPictures(parts, path) });
    parts.set(path, serializeXml(sheet));
  }
  const data = library.load({ ...Object.fromEntries(parts), ...mediaFiles(bytes) }) as WorkbookData & {
    hostState?: object;
  };
  data.sheets.sort((one, other) => place(sheets, one.name) - place(sheets, other.name));
  for (const sheet of data.sheets) {
    complete(sheet, data, byName.get(sheet.name), hostState);
    const path = paths.get(sheets.find(({ name }) => name === sheet.name)?.relation ?? "");
    if (path !== undefined) Object.assign(hostState, readComments(parts, path, sheet.id));
  }
  for (const { name, veryHidden } of sheets) if (veryHidden) hostState[veryHiddenKey(name)] = true;
  meanNames(data, takeNames(names, data, hostState));
  data.hostState = hostState;
  return data;
}

/** A file may name its parts from the root; the spreadsheet finds them from the folder only. */
function toRelative(parts: Parts, path: string): void {
  parts.set(path, (parts.get(path) ?? "").replaceAll('Target="/xl/', 'Target="'));
}

function opened(bytes: Uint8Array) {
  try {
    const parts = unzipped(bytes);
    if (parts.has("xl/workbook.xml")) return parts;
  } catch {
    // Not a zip archive: the sentence below says all there is to say.
  }
  throw new UnreadableFile("This file is not an Excel workbook. Choose a file that ends in .xlsx.");
}

const place = (sheets: readonly ReadSheet[], name: string) =>
  sheets.findIndex((sheet) => sheet.name === name);

/** Pictures as the spreadsheet takes them among the parts of a file. */
const mediaFiles = (bytes: Uint8Array) =>
  Object.fromEntries([...mediaIn(bytes)].map(([path, imageSrc]) => [path, { imageSrc }]));

function sheetPaths(relations: Document): Map<string, string> {
  const pairs = all(relations, "Relationship").map((relation) => {
    return [relation.getAttribute("Id") ?? "", `xl/${relation.getAttribute("Target") ?? ""}`] as const;
  });
  return new Map(pairs);
}

const sharedStrings = (document: Document): string[] =>
  all(document, "si").map((item) =>
    all(item, "t")
      .map((text) => unescaped(text.textContent ?? ""))
      .join(""),
  );

/** A program may note the height of the very last row; the spreadsheet would lay out a million rows for it. */
function dropEmptyEnd(sheet: Document): void {
  for (const row of all(sheet, "row").reverse()) {
    if (first(row, "c")) return;
    row.remove();
  }
}

/** Corrects a sheet's cells for the spreadsheet to read, and answers what it cannot read. */
function readCells(
  sheet: Document,
  shared: readonly string[],
  cellStyles: readonly CellStyle[],
  isTakenForMore: (text: string) => boolean,
): ReadPart {
  const read: ReadPart = { sheet, texts: new Map(), extras: new Map(), pictures: [] };
  dropEmptyEnd(sheet);
  const cells = new Map(all(sheet, "c").map((cell) => [cell.getAttribute("r") ?? "", cell]));
  for (const [name, cell] of cells) {
    const { extra = {}, isText = false } = cellStyles[Number(cell.getAttribute("s") ?? 0)] ?? {};
    if (Object.keys(extra).length) read.extras.set(name, extra);
    const formula = first(cell, "f");
    if (formula) {
      formula.textContent = spreadsheetSpelling(toShown(formula.textContent ?? ""));
      clearSpilled(formula, name, cells);
    } else {
      const text = textOf(cell, shared);
      if (text === null) continue;
      if (isTakenForMore(text)) read.texts.set(name, isText ? typed(text, TEXT_FORMAT) : `'${text}`);
    }
  }
  for (const cell of cells.values()) inlineToPlain(cell, sheet);
  return read;
}

/** Values a formula spills are its own; left in the file they would stand in its way. */
function clearSpilled(formula: Element, anchor: string, cells: ReadonlyMap<string, Element>): void {
  const zone = parseZone(formula.getAttribute("ref") ?? "");
  if (!zone || formula.getAttribute("t") !== "array") return;
  for (let row = zone.top; row <= zone.bottom; row++) {
    for (let col = zone.left; col <= zone.right; col++) {
      const name = cellName(col, row);
      const cell = name === anchor ? undefined : cells.get(name);
      cell?.replaceChildren();
      cell?.removeAttribute("t");
    }
  }
}

function textOf(cell: Element, shared: readonly string[]): string | null {
  const type = cell.getAttribute("t");
  if (type === "inlineStr")
    return all(cell, "t")
      .map((text) => unescaped(text.textContent ?? ""))
      .join("");
  const value = unescaped(first(cell, "v")?.textContent ?? "");
  if (type === "s") return shared[Number(value)] ?? "";
  return type === "str" ? value : null;
}

type Locale = ReturnType<Getters["getLocale"]>;

/** Tells text that typing would turn into a number, a date, a truth value, an error or a formula, or rid of its blanks. */
const takenForMore =
  ({ helpers }: Spreadsheet, locale: Locale) =>
  (text: string): boolean =>
    /^(?:[='#\s].*|.*\s|true|false)$/is.test(text) ||
    holdsUnwritable(text) ||
    helpers.isNumber(text, locale) ||
    helpers.isDateTime(text, locale);

/** The spreadsheet reads no text that stands in the cell itself. */
function inlineToPlain(cell: Element, sheet: Document): void {
  if (cell.getAttribute("t") !== "inlineStr") return;
  const text = textOf(cell, []) ?? "";
  cell.replaceChildren(create(sheet, "v", {}, escaped(text)));
  cell.setAttribute("t", "str");
}

/** Adds to a sheet's data what the spreadsheet did not read. */
function complete(
  sheet: SheetData,
  data: WorkbookData,
  read: ReadPart | undefined,
  hostState: Record<string, unknown>,
): void {
  if (!read) return;
  takePictures(sheet.figures, read.pictures, hostState);
  const plain = sheet.cells as Record<string, string>;
  for (const [name, text] of read.texts) plain[name] = text;
  addExtraStyles(sheet, data, read.extras);
  const layout = readLayout(read.sheet);
  if (layout) hostState[layoutKey(sheet.id)] = layout;
  sheet.dataValidationRules = readValidations(
    sheet.name,
    read.sheet,
  ) as unknown as SheetData["dataValidationRules"];
}

function addExtraStyles(sheet: SheetData, data: WorkbookData, extras: ReadonlyMap<string, ExtraStyle>): void {
  const added = new Map<string, number>();
  let next = Math.max(0, ...Object.keys(data.styles).map(Number)) + 1;
  for (const [name, extra] of extras) {
    const base = sheet.styles[name] ?? 0;
    const key = JSON.stringify([base, extra]);
    let id = added.get(key);
    if (id === undefined) {
      id = next++;
      data.styles[id] = { ...data.styles[base], ...extra };
      added.set(key, id);
    }
    sheet.styles[name] = id;
  }
}

/** Answers with the names that stand for cells. */
function takeNames(
  names: readonly ReadName[],
  data: WorkbookData,
  hostState: Record<string, unknown>,
): readonly NameInside[] {
  const idOf = (sheetName: string | null) => data.sheets.find(({ name }) => name === sheetName)?.id ?? null;
  const ranges = (data.namedRanges ??= {});
  const taken = new Set<string>();
  const inside: NameInside[] = [];
  for (const { name, text, comment, visible, sheetName } of names) {
    const scope = idOf(sheetName);
    if (name === "_xlnm.Print_Area" || name === "_xlnm.Print_Titles") {
      if (scope !== null) takePrintName(name, text, scope, hostState);
    } else if (parseZone(text.slice(text.lastIndexOf("!") + 1)) && text.includes("!")) {
      const inner = freeName(name, (other) => taken.has(nameKey(other)));
      taken.add(nameKey(inner));
      ranges[inner] = text.replaceAll("$", "");
      const kept: KeptName = { comment, visible, scope, shown: name };
      hostState[nameKey(inner)] = kept;
      inside.push({ inner, shown: name, scope });
    } else if (!name.startsWith("_xlnm.")) {
      const kept: FormulaName = { name, formula: `=${toShown(text)}`, comment, visible, scope };
      hostState[formulaNameKey(name, scope)] = kept;
    }
  }
  return inside;
}

/** Formulas mean the names of their sheets. */
function meanNames(data: WorkbookData, names: readonly NameInside[]): void {
  const byName = new Map(data.sheets.map(({ name, id }) => [name.toLowerCase(), id]));
  const inside = {
    all: () => names,
    sheet: (name: string) => byName.get(name.toLowerCase()) ?? null,
    sheetName: (id: string) => data.sheets.find((sheet) => sheet.id === id)?.name ?? "",
  };
  if (names.length === 0) return;
  for (const { id, cells } of data.sheets) {
    const held = cells as Record<string, string | undefined>;
    for (const [at, content] of Object.entries(held))
      if (content?.startsWith("=") === true) held[at] = withInnerNames(content, id, inside);
  }
}

function takePrintName(
  name: string,
  text: string,
  sheetId: string,
  hostState: Record<string, unknown>,
): void {
  const key = layoutKey(sheetId);
  const layout = hostState[key] as Record<string, unknown> | undefined;
  if (!layout) return;
  // A comma in quotes belongs to the name of a sheet.
  for (const address of text.match(/(?:'(?:[^']|'')*'|[^,'])+/g) ?? []) {
    const local = address.slice(address.lastIndexOf("!") + 1).replaceAll("$", "");
    if (name === "_xlnm.Print_Area") {
      const before = layout.printArea;
      layout.printArea = typeof before === "string" ? `${before},${local}` : local;
    } else layout[/^\d+:\d+$/.test(local) ? "titleRows" : "titleColumns"] = local;
  }
}
