/** What is in a file for a reader and what is left out of it, known before anything is written. */
import { isReference } from "../../formulas";
import type { Pieces } from "../../host";
import { placeKey } from "../file/cell-store";
import { LeftOut } from "./left-out";
import type { PageStyles } from "./page-styles";
import type { InFile } from "./references";
import type { SourceSheet } from "./source-sheets";
import { cellsAtATime } from "./source-sheets";
import type { Page } from "./page";
import type { FileName } from "./file-names";

/** What the file holds of the workbook it is made from, worked out before anything is written. */
export function* whatIsIn(
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
