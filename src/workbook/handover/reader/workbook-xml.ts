/** The part of a reader's file that lists its sheets and names. */
import { cellAddress, quotedSheet } from "../../host";
import { escapeXml, xmlHead } from "../file/xml";
import type { Page } from "./page";
import type { FileName } from "./file-names";
import { blocksNamed, builtIn } from "./file-names";
import { main, office } from "./package-xml";

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

export function workbookXml(
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
