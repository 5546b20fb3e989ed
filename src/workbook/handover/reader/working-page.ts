/** The sheet that lists the working of what the pages show. */
import { cellAddress } from "../../host";
import { FileKnowledge } from "../file/file-knowledge";
import type { FileCell, Shown } from "../file/cell-store";
import { CellStore, placeKey } from "../file/cell-store";
import { notCalculated } from "../file/settled";
import { workingForReader, workingWidths } from "../working-sheet";
import type { PageStyles } from "./page-styles";
import { staysFormula } from "./references";
import type { Page } from "./page";
import type { Making } from "./page-xml";
import { cellXml } from "./page-xml";
import { main } from "./package-xml";
import { xmlHead } from "../file/xml";

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
export function workingOn(
  pages: readonly Page[],
  { styles, inFile }: Making,
): readonly (readonly string[])[] {
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
export function workingXml(rows: readonly (readonly string[])[]): string {
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
