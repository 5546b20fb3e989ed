/**
 * Workbooks as other people might have made them, with invented properties: headings anywhere but in row 1, a merged
 * title, blank rows, totals, notes beside and a second small table.
 */
import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import type { CellContent } from "./libreoffice";
import { plainWorkbook } from "./libreoffice";

type Typed = string | number | null;

/** Rows typed from a cell on; null leaves a cell empty. */
function typed(
  sheet: string,
  column: string,
  row: number,
  rows: readonly (readonly Typed[])[],
): CellContent[] {
  const first = column.charCodeAt(0);
  return rows.flatMap((cells, i) =>
    cells.flatMap((content, j) =>
      content === null ? [] : [{ sheet, address: `${String.fromCharCode(first + j)}${row + i}`, content }],
    ),
  );
}

const styles =
  `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` +
  `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` +
  `<fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>` +
  `<fills count="1"><fill><patternFill patternType="none"/></fill></fills>` +
  `<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
  `<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
  `<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
  `<xf numFmtId="9" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/></cellXfs>` +
  `</styleSheet>`;

interface Look {
  /** Blocks of cells that are one cell. */
  readonly merged?: readonly string[];
  /** Cells that show 0.82 as 82 %. */
  readonly perCent?: readonly string[];
}

/** The same file with its sheets, in their order, looking so. */
function styled(bytes: Uint8Array, looks: readonly Look[]): Uint8Array {
  const parts = unzipSync(bytes);
  const edit = (path: string, change: (xml: string) => string) => {
    parts[path] = strToU8(change(strFromU8(parts[path] ?? new Uint8Array())));
  };
  looks.forEach(({ merged = [], perCent = [] }, i) =>
    edit(`xl/sheet${i + 1}.xml`, (xml) => {
      const cells = perCent.reduce((part, at) => part.replace(`<c r="${at}"`, `<c r="${at}" s="1"`), xml);
      const blocks = merged.map((ref) => `<mergeCell ref="${ref}"/>`).join("");
      return blocks === ""
        ? cells
        : cells.replace(
            "</sheetData>",
            `</sheetData><mergeCells count="${merged.length}">${blocks}</mergeCells>`,
          );
    }),
  );
  edit("[Content_Types].xml", (xml) =>
    xml.replace(
      "</Types>",
      `<Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/></Types>`,
    ),
  );
  edit("xl/_rels/workbook.xml.rels", (xml) =>
    xml.replace(
      "</Relationships>",
      `<Relationship Id="rIdStyles" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`,
    ),
  );
  parts["xl/styles.xml"] = strToU8(styles);
  return zipSync(parts);
}

/** Birkenhof, a metric property: one sheet with a table of lawns and a small one of beds, one sheet of costs. */
export const metricWorkbook = (): Uint8Array =>
  styled(
    plainWorkbook([
      ...typed("Rasen", "B", 2, [
        ["Birkenhof, Am Mühlbach 3 – Rasen erneuern"],
        ["Stand: nach dem Aufmaß"],
        [],
        ["Fläche", "Area m²", "Seed rate (g/m²)", "PLS %", "Depth (mm)", "Bag (L)", "Loss %"],
        ["Vorgarten", 180.5, 30, 0.82, 5, 70, 20],
        ["Hinter dem Haus", 642, 30, 0.82, 5, 70, 20],
        [],
        ["Böschung", 95, 40, 0.82, 3, 70, 20],
        ["Noch nicht gemessen", null, 30, 0.82, 5, 70, 20],
        ["Gesamt", "=SUM(C6:C9)"],
      ]),
      ...typed("Rasen", "J", 6, [["Tor ist 90 cm breit"], ["Wasser am Schuppen"]]),
      ...typed("Rasen", "B", 15, [
        ["Beet", "Area (m²)", "Water depth (mm)"],
        ["Rosen", 14, 12],
        ["Stauden", 32.5, 8],
      ]),
      ...typed("Kosten", "A", 3, [
        ["Posten", "Cost (€)", "Margin %"],
        ["Saatgut", 412.8, 35],
        ["Sand", 1260, 35],
        [null, null, null],
        ["Total", "=SUM(B4:B5)"],
      ]),
    ]),
    [{ merged: ["B2:H2"], perCent: ["E6", "E7", "E9", "E10"] }, {}],
  );

/** Juniper Hill, a US property: a take-off in acres and feet, a purchase list with notes, a price in the corner. */
export const usWorkbook = (): Uint8Array =>
  styled(
    plainWorkbook([
      ...typed("Take-off", "A", 1, [
        ["Juniper Hill, 88 Old Ferry Road"],
        ["measured by wheel"],
        [],
        ["Zone", "Turf", "Perimeter", "Strip width", "Label rate", "N rate", "N", "Notes"],
        [null, "acres", "ft", "in", "fl oz/ac", "lb/1000 sq ft", "%", null],
        ["Ball field", 1.35, 980, 36, 21, 0.9, 18, "crown in the middle"],
        ["Entrance", 0.12, 310, 24, 21, 1, 18, null],
        ["Slope", 0.4, 640, 36, 21, 0.75, 18, "no ride-on"],
        ["TOTALS", "=SUM(B6:B8)", "=SUM(C6:C8)"],
      ]),
      ...typed("Take-off", "K", 4, [["rain date: Friday"], ["key at the shed"]]),
      ...typed("Buying", "C", 7, [
        ["What", "Needed (lb)", "Bag size (lb)"],
        ["Fescue mix", 330, 50],
        ["Starter", 415.5, 40],
        ["Lime", 1000, 50],
      ]),
      ...typed("Buying", "C", 14, [
        ["Crew", "Area (sq ft)", "Pace (sq ft/hr)", "People"],
        ["Ball field", 58806, 9500, 2],
        ["Entrance", 5227.2, 4000, 1],
      ]),
    ]),
    [{ merged: ["A1:H1"] }, {}],
  );
