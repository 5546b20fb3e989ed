import { cellName, parseZone } from "../host/area";
import type { Book } from "../host/book";
import type { KeptComment } from "../host/comments";
import { keptComments, commentKey } from "../host/comments";
import { all, create, MAIN, parseXml, place, serializeXml, setAttributes } from "./dom";
import type { Parts } from "./parts";
import { SHEET_ORDER } from "./sheet-layout";

const OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE = "http://schemas.openxmlformats.org/package/2006";
const COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml";
const DRAWING_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing";
const DRAWING_RELATION = "rIdBoxes";

const fileOf = (path: string) => path.slice(path.lastIndexOf("/") + 1);
const relationsPath = (sheetPath: string) => `xl/worksheets/_rels/${fileOf(sheetPath)}.rels`;

function commentsPart(comments: readonly KeptComment[]): string {
  const part = parseXml(`<comments xmlns="${MAIN}"><authors><author/></authors><commentList/></comments>`);
  const list = all(part, "commentList")[0];
  for (const { col, row, content } of comments) {
    const comment = create(part, "comment", { ref: cellName(col, row), authorId: 0 });
    const text = create(part, "text");
    text.append(create(part, "t", { "xml:space": "preserve" }, content));
    comment.append(text);
    list?.append(comment);
  }
  return serializeXml(part);
}

/** The boxes in which a spreadsheet shows comments, in the older vocabulary that it still wants for them. */
function boxesPart(comments: readonly KeptComment[]): string {
  const boxes = comments.map(
    ({ col, row }, i) =>
      `<v:shape id="comment${i}" type="#comment" style="position:absolute;width:200pt;height:90pt;visibility:hidden" fillcolor="#ffffe1"><x:ClientData ObjectType="Note"><x:Anchor>${col + 1}, 10, ${row}, 4, ${col + 4}, 10, ${row + 6}, 4</x:Anchor><x:Row>${row}</x:Row><x:Column>${col}</x:Column></x:ClientData></v:shape>`,
  );
  return `<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" xmlns:x="urn:schemas-microsoft-com:office:excel"><v:shapetype id="comment" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe"/>${boxes.join("")}</xml>`;
}

/** Adds an element of the packaging's own vocabulary to a part, which is made where it is missing. */
function addTo(
  parts: Parts,
  path: string,
  root: string,
  vocabulary: string,
  name: string,
  given: object,
): void {
  const part = parseXml(parts.get(path) ?? `<${root} xmlns="${PACKAGE}/${vocabulary}"/>`);
  const element = part.createElementNS(`${PACKAGE}/${vocabulary}`, name);
  part.documentElement.append(setAttributes(element, given as Record<string, string>));
  parts.set(path, serializeXml(part));
}

/** Writes the comments of a sheet beside its part, and what ties them to it. */
export function writeComments(
  book: Book,
  sheetId: string,
  sheet: Document,
  path: string,
  parts: Parts,
): void {
  const kept = keptComments(book).filter((comment) => comment.sheetId === sheetId);
  if (kept.length === 0) return;
  const number = fileOf(path).replace(/\D/g, "");
  const [comments, boxes] = [`comments${number}.xml`, `boxes${number}.vml`];
  parts.set(`xl/${comments}`, commentsPart(kept));
  parts.set(`xl/drawings/${boxes}`, boxesPart(kept));
  const relate = (Id: string, type: string, Target: string) =>
    addTo(parts, relationsPath(path), "Relationships", "relationships", "Relationship", {
      Id,
      Type: `${OFFICE}/${type}`,
      Target,
    });
  relate("rIdComments", "comments", `../${comments}`);
  relate(DRAWING_RELATION, "vmlDrawing", `../drawings/${boxes}`);
  const declare = (PartName: string, ContentType: string) =>
    addTo(parts, "[Content_Types].xml", "Types", "content-types", "Override", { PartName, ContentType });
  declare(`/xl/${comments}`, COMMENTS_TYPE);
  declare(`/xl/drawings/${boxes}`, DRAWING_TYPE);
  const reference = create(sheet, "legacyDrawing");
  reference.setAttributeNS(OFFICE, "r:id", DRAWING_RELATION);
  place(sheet.documentElement, reference, SHEET_ORDER);
}

/** The comments beside a sheet's part, as the host keeps them. */
export function readComments(parts: Parts, sheetPath: string, sheetId: string): Record<string, string> {
  const relations = parts.get(relationsPath(sheetPath));
  if (relations === undefined) return {};
  const target = all(parseXml(relations), "Relationship")
    .find((relation) => relation.getAttribute("Type") === `${OFFICE}/comments`)
    ?.getAttribute("Target");
  const part = parts.get(`xl/${target?.replace(/^(\.\.|\/xl)\//, "")}`);
  if (part === undefined) return {};
  const read = all(parseXml(part), "comment").flatMap((comment) => {
    const zone = parseZone(comment.getAttribute("ref") ?? "");
    const content = all(comment, "t").map((text) => text.textContent ?? "");
    return zone === null
      ? []
      : [[commentKey({ sheetId, col: zone.left, row: zone.top }), content.join("")] as const];
  });
  return Object.fromEntries(read);
}
