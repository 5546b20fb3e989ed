import type { Book } from "../host/book";
import { CALCULATION_MODE } from "../host/driven-model";
import { SETTING } from "../host/kept-state";
import { PROPERTY } from "../host/properties";
import { parseXml } from "./dom";
import { insertBefore } from "./parts";
import type { Parts } from "./parts";

/** The vocabulary of the part in which settings travel; a custom part stays in a file that the host saves again. */
const KEPT = "urn:swardsheet:workbench:kept";
const PATH = "customXml/item1.xml";
const PROPERTIES_PATH = "customXml/itemProps1.xml";
const RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships";
const OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006";
const ITEM_ID = "{5B0F6C1E-6A0B-4C55-9E3B-0D1E8F3F7A21}";

const TRAVELS = [SETTING, PROPERTY, CALCULATION_MODE];

export function writeKeptPart(book: Book, parts: Parts): void {
  const entries = TRAVELS.flatMap((prefix) =>
    book.keptUnder(prefix).map(([rest, value]) => [prefix + rest, value] as const),
  );
  if (!entries.length) return;
  const document = parseXml(`<kept xmlns="${KEPT}"/>`);
  document.documentElement.textContent = JSON.stringify(Object.fromEntries(entries));
  parts.set(PATH, new XMLSerializer().serializeToString(document));
  parts.set(
    PROPERTIES_PATH,
    `<ds:datastoreItem ds:itemID="${ITEM_ID}" xmlns:ds="${OFFICE}/customXml"><ds:schemaRefs><ds:schemaRef ds:uri="${KEPT}"/></ds:schemaRefs></ds:datastoreItem>`,
  );
  parts.set(
    "customXml/_rels/item1.xml.rels",
    `<Relationships xmlns="${RELATIONSHIPS}"><Relationship Id="rId1" Type="${OFFICE}/relationships/customXmlProps" Target="itemProps1.xml"/></Relationships>`,
  );
  insertBefore(
    parts,
    "xl/_rels/workbook.xml.rels",
    "</Relationships>",
    `<Relationship Id="rIdKept" Type="${OFFICE}/relationships/customXml" Target="../customXml/item1.xml"/>`,
  );
  insertBefore(
    parts,
    "[Content_Types].xml",
    "</Types>",
    `<Override PartName="/${PROPERTIES_PATH}" ContentType="application/vnd.openxmlformats-officedocument.customXmlProperties+xml"/>`,
  );
}

/** What a file of ours keeps beside its sheets, whatever number the host has given the part. */
export function readKeptPart(parts: Parts): Record<string, unknown> {
  for (const [path, text] of parts) {
    if (!/^customXml\/item\d+\.xml$/.test(path) || !text.includes(KEPT)) continue;
    return JSON.parse(parseXml(text).documentElement.textContent ?? "{}") as Record<string, unknown>;
  }
  return {};
}
