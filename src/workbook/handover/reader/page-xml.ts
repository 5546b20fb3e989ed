/** A page as it is written. */
import type { Pieces, Scalar } from "../../host";
import { blockAddress, cellAddress } from "../../host";
import type { FileCell } from "../file/cell-store";
import { placeKey } from "../file/cell-store";
import { escapeText, escapeXml, xmlHead } from "../file/xml";
import type { PageStyles } from "./page-styles";
import type { InFile } from "./references";
import { staysFormula } from "./references";
import type { ReaderOptions } from "./reader-options";
import type { Page } from "./page";
import { isIn } from "./page";
import { trouble } from "./trouble";
import { cellsAtATime } from "./source-sheets";
import { main, office } from "./package-xml";

/** What a page's cell holds in the file. */
interface CellInFile {
  readonly value: Scalar;
  readonly formula: string;
}

/** The file as it grows: its looks, and what is known to be in it. */
export interface Making {
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

export function cellXml(address: string, style: number, { value, formula }: CellInFile): string {
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
export function* writing(page: Page, making: Making, drawing: string): Pieces<Written> {
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
