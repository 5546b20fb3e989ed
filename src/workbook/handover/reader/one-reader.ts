/**
 * A file for one reader: a new workbook file, into which only what that reader is to see is written. Nothing is taken
 * out of a copy, where something could be forgotten: what is not known to be harmless never comes in.
 */
import { isReference } from "../../formulas";
import type { Block, Pause, Pieces, Progress, Scalar } from "../../host";
import {
  blockAddress,
  blockOf,
  cellAddress,
  freeSheetName,
  inSlices,
  placeOf,
  quotedSheet,
  slices,
  WorkbookTrouble,
} from "../../host";
import { FileKnowledge } from "../file/file-knowledge";
import { PackageParts } from "../file/package-parts";
import type { FileCell, Shown } from "../file/cell-store";
import { CellStore, placeKey } from "../file/cell-store";
import { notCalculated } from "../file/settled";
import { SheetPart } from "../file/sheet-part";
import type { FileSheet } from "../file/workbook-part";
import { isCalculatedOnLoad, sheetsOf, workbookPart } from "../file/workbook-part";
import { childrenNamed, escapeText, escapeXml, textMeant, walking } from "../file/xml";
import { workingForReader, workingSheetName, workingWidths } from "../working-sheet";
import { LeftOut } from "./left-out";
import { PageLooks } from "./page-looks";
import { PageStyles, colourOf, white } from "./page-styles";
import type { Picture } from "./pictures";
import { drawingXml, picturesOf } from "./pictures";
import type { InFile } from "./references";
import { staysFormula } from "./references";
import { themeXml } from "./theme";

export interface PageWanted {
  readonly sheet: string;
  /** The names of the columns that the reader gets, where it is not all of them. */
  readonly columns?: readonly string[];
}

export interface ReaderOptions {
  readonly pages: readonly PageWanted[];
  readonly holds: "values" | "formulas";
  /** Drawings of ours that the reader may see. */
  readonly drawings: readonly string[];
  /** A sheet more, that lists the cells with functions of ours, with what they were given and how they come about. */
  readonly withWorking?: boolean;
  /** Formulas that are to be values for a reason of their own, as `Sheet!A1`. */
  readonly asValues?: ReadonlySet<string>;
}

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

interface SourceSheet {
  readonly sheet: FileSheet;
  readonly cells: readonly FileCell[];
  readonly looks: PageLooks;
  readonly wanted: PageWanted | undefined;
}

interface Page extends SourceSheet {
  readonly wanted: PageWanted;
  readonly printed: readonly Block[];
  /** The columns that the reader gets, where it is not all of them. */
  readonly given: ReadonlySet<number> | undefined;
  readonly isKept: (row: number, column: number) => boolean;
}

const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packaged = "http://schemas.openxmlformats.org/package/2006";
const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml";
const xmlHead = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';

const trouble = (sentence: string): never => {
  throw new WorkbookTrouble(sentence);
};

const isIn = ({ top, left, bottom, right }: Block, row: number, column: number): boolean =>
  row >= top && row <= bottom && column >= left && column <= right;

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

/** Names of the workbook, as formulas, by the sheet they belong to or by none. */
interface FileName {
  readonly name: string;
  readonly sheet: string | undefined;
  readonly text: string;
  readonly isHidden: boolean;
}

function namesOf(parts: PackageParts, workbook: string): readonly FileName[] {
  const xml = parts.text(workbook);
  const order = childrenNamed(workbook, xml, "sheets", "sheet").map(({ attributes }) => attributes.name);
  return childrenNamed(workbook, xml, "definedNames", "definedName").map(({ attributes, text }) => ({
    name: attributes.name ?? "",
    sheet: attributes.localSheetId === undefined ? undefined : order[Number(attributes.localSheetId)],
    text: text.trim(),
    isHidden: attributes.hidden === "1",
  }));
}

const builtIn = { area: "_xlnm.Print_Area", titles: "_xlnm.Print_Titles" } as const;

/** The blocks of one of a sheet's own names; undefined where it has none, or one that is worked out. */
function blocksNamed(names: readonly FileName[], name: string, sheet: string): readonly Block[] | undefined {
  const found = names.find(
    (one) =>
      one.name.toLowerCase() === name.toLowerCase() && one.sheet?.toLowerCase() === sheet.toLowerCase(),
  );
  const blocks = found?.text.match(/(?:[^,']|'[^']*')+/g)?.map((reference) => {
    const place = placeOf(reference, sheet);
    return place === undefined ? undefined : blockOf(place.address);
  });
  const known = blocks?.filter((block) => block !== undefined);
  return known === undefined || known.length === 0 || known.length < (blocks?.length ?? 0)
    ? undefined
    : known;
}

/** Part of a page: the columns under some heads, and the rows that belong to the list below them. */
interface PartOfPage {
  readonly columns: ReadonlySet<number>;
  readonly isKept: (row: number, column: number) => boolean;
}

/**
 * What stands above the list stays where it stands in its first column. Nothing further down the sheet can come in by
 * standing under one of the columns.
 */
function partUnder(
  { sheet }: SourceSheet,
  wanted: readonly string[],
  names: readonly FileName[],
): PartOfPage {
  const blocks = wanted.map((name) => {
    const [block] = blocksNamed(names, name, sheet.name) ?? [];
    return (
      block ??
      trouble(
        `${sheet.name} no longer has its cells by the name ${name}: undo what took them away, then hand over.`,
      )
    );
  });
  const first = Math.min(...blocks.map(({ left }) => left));
  const top = Math.min(...blocks.map((block) => block.top));
  return {
    columns: new Set(blocks.map(({ left }) => left)),
    isKept: (row, column) =>
      (row < top && column === first) || blocks.some((block) => isIn(block, row, column)),
  };
}

function pageOf(source: SourceSheet, wanted: PageWanted, names: readonly FileName[]): Page {
  const { sheet, looks } = source;
  const printed = blocksNamed(names, builtIn.area, sheet.name) ?? [];
  const part = wanted.columns === undefined ? undefined : partUnder(source, wanted.columns, names);
  return {
    ...source,
    wanted,
    printed,
    given: part?.columns,
    isKept: (row, column) =>
      (printed.length === 0 || printed.some((block) => isIn(block, row, column))) &&
      (part?.isKept(row, column) ?? true) &&
      !looks.isUnseen(row, column),
  };
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

/** What a page's cell holds in the file. */
interface CellInFile {
  readonly value: Scalar;
  readonly formula: string;
}

/** The file as it grows: its looks, and what is known to be in it. */
interface Making {
  readonly styles: PageStyles;
  readonly inFile: InFile;
  readonly options: ReaderOptions;
}

function held(page: Page, cell: FileCell, { styles, inFile, options }: Making): CellInFile {
  const { row, column, formula, value } = cell;
  const { name } = page.sheet;
  const address = cellAddress(row, column);
  const style = page.looks.styles.get(placeKey(row, column));
  if (formula !== "" && value === null)
    trouble(`${name}!${address} is not calculated yet: let Excel calculate it and save, then hand over.`);
  if (formula !== "" && cell.isError)
    trouble(`${name}!${address} shows ${String(value)}: put that right, then hand over.`);
  const isFormula =
    options.holds === "formulas" &&
    formula !== "" &&
    cell.array === undefined &&
    options.asValues?.has(`${name}!${address}`) !== true &&
    !styles.tells(style, value) &&
    staysFormula(formula, name, inFile);
  if (isFormula) return { value, formula };
  return { value: styles.hides(style, value) ? null : value, formula: "" };
}

const cellsAtATime = 200;

function cellXml(address: string, style: number, { value, formula }: CellInFile): string {
  const look = style === 0 ? "" : ` s="${style}"`;
  const f = formula === "" ? "" : `<f>${escapeXml(formula.slice(1))}</f>`;
  if (value === null || (value === "" && formula === "")) return `<c r="${address}"${look}/>`;
  if (typeof value === "number") return `<c r="${address}"${look}>${f}<v>${value}</v></c>`;
  if (typeof value === "boolean") return `<c r="${address}"${look} t="b">${f}<v>${value ? 1 : 0}</v></c>`;
  if (formula !== "") return `<c r="${address}"${look} t="str">${f}<v>${escapeText(value)}</v></c>`;
  return `<c r="${address}"${look} t="inlineStr"><is><t xml:space="preserve">${escapeText(value)}</t></is></c>`;
}

interface Written {
  readonly xml: string;
  readonly cells: number;
  readonly formulas: number;
}

/** A page's part: its kept cells, all others without what they held but with their look where they are on the page. */
function* writing(page: Page, making: Making, drawing: string): Pieces<Written> {
  const { looks, cells: all } = page;
  const { styles } = making;
  const byRow = new Map<number, string[]>();
  let [cells, formulas] = [0, 0];
  const inOrder = [...all].sort((a, b) => a.row - b.row || a.column - b.column);
  for (const [i, cell] of inOrder.entries()) {
    if (i % cellsAtATime === 0) yield i / inOrder.length;
    const { row, column } = cell;
    const isOnPage = page.isKept(row, column);
    if (!isOnPage && !isLooked(page, row, column)) continue;
    const inFile = isOnPage ? held(page, cell, making) : { value: null, formula: "" };
    const style = styles.styleOf(looks.styles.get(placeKey(row, column)), inFile.value);
    if (inFile.value !== null && inFile.value !== "") cells++;
    if (inFile.formula !== "") formulas++;
    const line = byRow.get(row) ?? [];
    line.push(cellXml(cellAddress(row, column), style, inFile));
    byRow.set(row, line);
  }
  const printed = [...looks.rows.keys()].filter(
    (row) => page.printed.length === 0 || page.printed.some(({ top, bottom }) => row >= top && row <= bottom),
  );
  const rows = [...new Set([...byRow.keys(), ...printed])].sort((a, b) => a - b);
  const data: string[] = [];
  for (const [i, row] of rows.entries()) {
    if (i % cellsAtATime === 0) yield i / rows.length;
    data.push(rowXml(page, row, byRow.get(row) ?? []));
  }
  const merges = looks.merges.map(
    ({ top, left, bottom, right }) => `<mergeCell ref="${blockAddress({ top, left, bottom, right })}"/>`,
  );
  const xml = [
    `${xmlHead}<worksheet xmlns="${main}" xmlns:r="${office}">`,
    looks.start,
    columnsXml(page, styles),
    `<sheetData>${data.join("")}</sheetData>`,
    merges.length === 0 ? "" : `<mergeCells count="${merges.length}">${merges.join("")}</mergeCells>`,
    looks.end,
    drawing,
    "</worksheet>",
  ];
  return { xml: xml.join(""), cells, formulas };
}

/** Cells under a merge, or in a column that the reader does not get, keep their lines and colours. */
const isLooked = ({ printed, looks }: Page, row: number, column: number): boolean =>
  printed.some((block) => isIn(block, row, column)) ||
  (printed.length === 0 && looks.styles.has(placeKey(row, column)));

const rowAttributes = (attributes: Readonly<Record<string, string>> | undefined): string => {
  const { ht, customHeight, hidden } = attributes ?? {};
  const number = ht !== undefined && Number.isFinite(Number(ht)) ? ` ht="${Number(ht)}"` : "";
  return `${number}${customHeight === "1" ? ' customHeight="1"' : ""}${hidden === "1" ? ' hidden="1"' : ""}`;
};

const rowXml = ({ looks }: Page, row: number, cells: readonly string[]): string =>
  `<row r="${row + 1}"${rowAttributes(looks.rows.get(row))}>${cells.join("")}</row>`;

/** Columns that the reader does not get are out of sight, so that the others keep their letters. */
function columnsXml({ looks, given, cells, printed }: Page, styles: PageStyles): string {
  const column = (first: number, last: number, attributes: Readonly<Record<string, string>>): string => {
    const { width, customWidth, hidden, style } = attributes;
    const look = style === undefined ? "" : ` style="${styles.styleOf(Number(style), null)}"`;
    const isHidden = hidden === "1" || hidden === "true" || given?.has(first) === false;
    const wide = Number(width ?? Number.NaN);
    const size = Number.isFinite(wide)
      ? ` width="${wide}"${customWidth === undefined ? "" : ' customWidth="1"'}`
      : "";
    return `<col min="${first + 1}" max="${last + 1}"${size}${look}${isHidden ? ' hidden="1"' : ""}/>`;
  };
  if (given === undefined) {
    const all = looks.columns.map(({ first, last, attributes }) => column(first, last, attributes));
    return all.length === 0 ? "" : `<cols>${all.join("")}</cols>`;
  }
  const right = [...cells.map((cell) => cell.column), ...printed.map((block) => block.right)];
  const last = Math.min(
    right.reduce((a, b) => Math.max(a, b), 0),
    mostColumns,
  );
  const all = Array.from({ length: last + 1 }, (_, i) => {
    const look = looks.columns.find(({ first, last: to }) => i >= first && i <= to);
    return column(i, i, look?.attributes ?? {});
  });
  return `<cols>${all.join("")}</cols>`;
}

/** As many as a sheet can have. */
const mostColumns = 16_383;

const relationsXml = (list: readonly (readonly [type: string, target: string])[]): string =>
  `${xmlHead}<Relationships xmlns="${packaged}/relationships">${list
    .map(
      ([type, target], i) => `<Relationship Id="rId${i + 1}" Type="${office}/${type}" Target="${target}"/>`,
    )
    .join("")}</Relationships>`;

const pinned = (address: string): string => address.replace(/(?<![A-Z])([A-Z]+)(\d+)/g, "$$$1$$$2");

/** Where a page prints, and what is repeated on each sheet of paper: the only names that every file keeps. */
function printNames({ sheet, printed }: Page, index: number, names: readonly FileName[]): string {
  const home = quotedSheet(sheet.name);
  const named = (name: string, text: string): string =>
    `<definedName name="${name}" localSheetId="${index}">${escapeXml(text)}</definedName>`;
  const area = printed.map(
    ({ top, left, bottom, right }) =>
      `${home}!${pinned(cellAddress(top, left))}:${pinned(cellAddress(bottom, right))}`,
  );
  const titles = (blocksNamed(names, builtIn.titles, sheet.name) ?? []).map(({ top, left, bottom, right }) =>
    right === Number.MAX_SAFE_INTEGER
      ? `${home}!$${top + 1}:$${bottom + 1}`
      : `${home}!${pinned(cellAddress(0, left)).slice(0, -2)}:${pinned(cellAddress(0, right)).slice(0, -2)}`,
  );
  return [
    area.length === 0 ? "" : named(builtIn.area, area.join(",")),
    titles.length === 0 ? "" : named(builtIn.titles, titles.join(",")),
  ].join("");
}

/** Names that formulas of the file use: plain ones, that stand for cells of it. */
const usedNames = (used: ReadonlySet<FileName>, pages: readonly Page[]): string =>
  [...used]
    .map(({ name, sheet, text }) => {
      const index = pages.findIndex((page) => page.sheet.name === sheet);
      const local = index < 0 ? "" : ` localSheetId="${index}"`;
      return `<definedName name="${escapeXml(name)}"${local}>${escapeXml(text)}</definedName>`;
    })
    .join("");

const sheetXml = (name: string, number: number): string =>
  `<sheet name="${escapeXml(name)}" sheetId="${number}" r:id="rId${number}"/>`;

function workbookXml(
  pages: readonly Page[],
  working: string | undefined,
  names: readonly FileName[],
  used: ReadonlySet<FileName>,
  is1904: boolean,
): string {
  const all = [...pages.map(({ sheet }) => sheet.name), ...(working === undefined ? [] : [working])];
  const sheets = all.map((name, i) => sheetXml(name, i + 1));
  const defined = pages.map((page, i) => printNames(page, i, names)).join("") + usedNames(used, pages);
  return [
    `${xmlHead}<workbook xmlns="${main}" xmlns:r="${office}"><workbookPr${is1904 ? ' date1904="1"' : ""}/>`,
    `<bookViews><workbookView/></bookViews><sheets>${sheets.join("")}</sheets>`,
    defined === "" ? "" : `<definedNames>${defined}</definedNames>`,
    "</workbook>",
  ].join("");
}

function contentTypesXml(pages: number, drawings: number, hasTheme: boolean): string {
  const override = (name: string, type: string): string =>
    `<Override PartName="/${name}" ContentType="${type}"/>`;
  const numbered = (count: number, name: (n: number) => string, type: string): string =>
    Array.from({ length: count }, (_, i) => override(name(i + 1), type)).join("");
  const drawingType = "application/vnd.openxmlformats-officedocument.drawing+xml";
  return [
    `${xmlHead}<Types xmlns="${packaged}/content-types">`,
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>',
    '<Default Extension="xml" ContentType="application/xml"/>',
    '<Default Extension="png" ContentType="image/png"/><Default Extension="jpeg" ContentType="image/jpeg"/>',
    override("xl/workbook.xml", `${spreadsheet}.sheet.main+xml`),
    override("xl/styles.xml", `${spreadsheet}.styles+xml`),
    hasTheme
      ? override("xl/theme/theme1.xml", "application/vnd.openxmlformats-officedocument.theme+xml")
      : "",
    numbered(pages, (n) => `xl/worksheets/sheet${n}.xml`, `${spreadsheet}.worksheet+xml`),
    numbered(drawings, (n) => `xl/drawings/drawing${n}.xml`, drawingType),
    "</Types>",
  ].join("");
}

/** What the file holds of the workbook it is made from, worked out before anything is written. */
function* whatIsIn(
  sources: readonly SourceSheet[],
  pages: readonly Page[],
  styles: PageStyles,
  names: readonly FileName[],
): Pieces<{ readonly inFile: InFile; readonly leftOut: LeftOut; readonly used: ReadonlySet<FileName> }> {
  const missing = new Map<string, Map<number, number[]>>();
  const byName = new Map(pages.map((page) => [page.sheet.name.toLowerCase(), page]));
  const others = sources.filter(({ sheet }) => !byName.has(sheet.name.toLowerCase()));
  const left = new LeftOut(others.map(({ sheet }) => sheet.name));
  for (const source of sources) {
    const sheet = source.sheet.name.toLowerCase();
    const page = byName.get(sheet);
    const rows = new Map<number, number[]>();
    for (const [i, { row, column, value, formula }] of source.cells.entries()) {
      if (i % cellsAtATime === 0) yield i / source.cells.length;
      if (value === null && formula === "") continue;
      const style = source.looks.styles.get(placeKey(row, column));
      const isShown = page?.isKept(row, column) === true && !styles.hides(style, value);
      left.take(value, isShown);
      if (isShown || page === undefined || page.isKept(row, column)) continue;
      const columns = rows.get(row);
      if (columns === undefined) rows.set(row, [column]);
      else columns.push(column);
    }
    if (page !== undefined && rows.size > 0) missing.set(sheet, rows);
  }
  const used = new Set<FileName>();
  const inFile: InFile = {
    holds: (sheet, block) => {
      if (!byName.has(sheet.toLowerCase())) return false;
      const rows = missing.get(sheet.toLowerCase());
      if (rows === undefined) return true;
      return ![...rows].some(
        ([row, columns]) =>
          row >= block.top &&
          row <= block.bottom &&
          columns.some((column) => column >= block.left && column <= block.right),
      );
    },
    name: (name, home) => {
      const same = names.filter((one) => one.name.toLowerCase() === name.toLowerCase() && !one.isHidden);
      const found = same.find(({ sheet }) => sheet === home) ?? same.find(({ sheet }) => sheet === undefined);
      if (found === undefined || !isReference(found.text) || left.tells(found.name)) return undefined;
      used.add(found);
      return `=${found.text}`;
    },
    tells: left.tells,
  };
  return { inFile, leftOut: left, used };
}

function shownBy({ value, isError: isWrong }: FileCell): Shown {
  if (value === null) return { kind: "nothing" };
  if (typeof value === "number") return { kind: "number", number: value };
  if (typeof value === "boolean") return { kind: "truth", number: value ? 1 : 0 };
  return { kind: isWrong ? "error" : "text", text: value };
}

/** What a page shows, and nothing else of its sheet. */
function shownOn({ sheet: { name }, cells, isKept, looks }: Page, styles: PageStyles) {
  const held = new CellStore({ at: () => undefined });
  for (const cell of cells) {
    const { row, column, formula, value } = cell;
    if (!isKept(row, column) || styles.hides(looks.styles.get(placeKey(row, column)), value)) continue;
    held.add(row, column, shownBy(cell), formula === "" ? undefined : formula);
  }
  held.close();
  return { name, held };
}

/** The working of what the pages show, from nothing but what they show. */
function workingOn(pages: readonly Page[], { styles, inFile }: Making): readonly (readonly string[])[] {
  const styleAt = new Map(pages.map(({ sheet, looks }) => [sheet.name, looks.styles]));
  const shown = pages.map((page) => shownOn(page, styles));
  return workingForReader(
    shown.map(({ name, held }) => held.asSheet(name, notCalculated)),
    new FileKnowledge(shown),
    (sheet, { row, column, formula, value }) =>
      !styles.tells(styleAt.get(sheet)?.get(placeKey(row, column)), value) &&
      staysFormula(formula, sheet, inFile),
  );
}

/** The sheet that lists the working. */
function workingXml(rows: readonly (readonly string[])[]): string {
  const widths = workingWidths.map(
    (width, i) => `<col min="${i + 1}" max="${i + 1}" width="${width}" customWidth="1"/>`,
  );
  const lines = rows.map((row, i) => {
    const cells = row.map((text, j) => cellXml(cellAddress(i, j), 0, { value: text, formula: "" }));
    return `<row r="${i + 1}">${cells.join("")}</row>`;
  });
  return [
    `${xmlHead}<worksheet xmlns="${main}"><sheetViews><sheetView workbookViewId="0">`,
    `<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>`,
    `<cols>${widths.join("")}</cols><sheetData>${lines.join("")}</sheetData></worksheet>`,
  ].join("");
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
  const all = sheetsOf(parts, workbook);
  const wantedOf = (name: string): PageWanted | undefined =>
    options.pages.find(({ sheet }) => sheet.toLowerCase() === name.toLowerCase());
  for (const { sheet } of options.pages)
    if (!all.some(({ name }) => name.toLowerCase() === sheet.toLowerCase()))
      trouble(`There is no sheet ${sheet} any more: tick the sheets anew, then hand over.`);
  if (options.pages.length === 0) trouble("No sheet is ticked: tick at least one, then hand over.");
  const strings = await visibleStrings(parts, workbook, opening);
  const sources: SourceSheet[] = [];
  for (const sheet of all)
    sources.push(
      await readSource(
        parts,
        sheet,
        strings,
        wantedOf(sheet.name),
        slices(progress, `Reading ${sheet.name}`),
      ),
    );
  const names = namesOf(parts, workbook);
  const pages = sources.flatMap((source) =>
    source.wanted === undefined ? [] : [pageOf(source, source.wanted, names)],
  );
  const [stylesPart = "", themePart = ""] = ["styles", "theme"].map(
    (wanted) =>
      parts.relationsOf(workbook).find(({ type, target }) => type === wanted && parts.has(target))?.target,
  );
  const styles = new PageStyles(stylesPart, stylesPart === "" ? "" : parts.text(stylesPart));
  await opening(0, 1);
  const choosing = slices(progress, "Choosing what the reader sees");
  const { inFile, leftOut, used } = await inSlices(whatIsIn(sources, pages, styles, names), choosing);

  const made = PackageParts.empty();
  const counts = { cells: 0, formulas: 0, pictures: 0, drawings: 0, left: 0 };
  for (const [i, page] of pages.entries()) {
    const pause = slices(progress, `Writing ${page.sheet.name}`);
    const { pictures, left } = picturesOf(parts, page.sheet.part, {
      isKept: page.isKept,
      drawings: new Set(options.drawings),
      tells: leftOut.tells,
    });
    const drawing = pictures.length === 0 ? "" : '<drawing r:id="rId1"/>';
    const written = await inSlices(writing(page, { styles, inFile, options }, drawing), pause);
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
    counts.left += left;
  }
  const is1904 = childrenNamed(workbook, parts.text(workbook), "workbook", "workbookPr").some(
    ({ attributes }) => ["1", "true"].includes(attributes.date1904 ?? ""),
  );
  const pageNames = pages.map(({ sheet }) => sheet.name);
  const working = options.withWorking === true ? freeSheetName(workingSheetName, pageNames) : undefined;
  const sheetNames = working === undefined ? pageNames : [...pageNames, working];
  if (working !== undefined)
    made.replace(
      `xl/worksheets/sheet${sheetNames.length}.xml`,
      workingXml(workingOn(pages, { styles, inFile, options })),
    );
  made.replace("xl/styles.xml", xmlHead + styles.xml);
  if (themePart !== "")
    made.replace("xl/theme/theme1.xml", xmlHead + themeXml(themePart, parts.text(themePart)));
  made.replace("xl/workbook.xml", workbookXml(pages, working, names, used, is1904));
  made.replace(
    "xl/_rels/workbook.xml.rels",
    relationsXml([
      ...sheetNames.map((_, i) => ["worksheet", `worksheets/sheet${i + 1}.xml`] as const),
      ["styles", "styles.xml"] as const,
      ...(themePart === "" ? [] : [["theme", "theme/theme1.xml"] as const]),
    ]),
  );
  made.replace("_rels/.rels", relationsXml([["officeDocument", "xl/workbook.xml"]]));
  made.replace("[Content_Types].xml", contentTypesXml(sheetNames.length, counts.drawings, themePart !== ""));
  return {
    bytes: await made.close(slices(progress, "Writing the file")),
    sheets: sheetNames,
    cells: counts.cells,
    formulas: counts.formulas,
    pictures: counts.pictures,
    drawingsLeft: counts.left,
  };
}

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
