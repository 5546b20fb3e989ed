/** What holds the parts of a reader's file together: relations and content types. */
import { xmlHead } from "../file/xml";

export const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
export const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packaged = "http://schemas.openxmlformats.org/package/2006";
const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml";

export const relationsXml = (list: readonly (readonly [type: string, target: string])[]): string =>
  `${xmlHead}<Relationships xmlns="${packaged}/relationships">${list
    .map(
      ([type, target], i) => `<Relationship Id="rId${i + 1}" Type="${office}/${type}" Target="${target}"/>`,
    )
    .join("")}</Relationships>`;

export function contentTypesXml(pages: number, drawings: number, hasTheme: boolean): string {
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
