/**
 * Notes on cells of a file, as every edition of Excel reads them: the text in one part, and in another the box that it
 * is shown in (VML, ISO/IEC 29500-4). Notes that are there stay as they are, and a cell that has one gets no second.
 */
import { blockOf } from "../../host";
import type { PackageParts } from "./package-parts";
import { freeName } from "./package-paths";
import type { SheetPart } from "./sheet-part";
import type { XmlElement } from "./xml-element";
import { xmlHead, appended, escapeText, spliced } from "./xml";
import { attributeOf } from "./xml-element";
import { walk } from "./xml-walk";

export interface CellText {
  readonly address: string;
  readonly text: string;
}

const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const commentsType = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml";
const drawingType = "application/vnd.openxmlformats-officedocument.vmlDrawing";
const boxNamespaces =
  'xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" xmlns:x="urn:schemas-microsoft-com:office:excel"';
const author = "Swardsheet";
const noteShape = "_x0000_t202";
const firstShape = 1025;
const lastColumn = 16_383;

const emptyComments = `${xmlHead}<comments xmlns="${main}"><authors></authors><commentList></commentList></comments>`;

const shapeType = `<v:shapetype ${boxNamespaces} id="${noteShape}" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe"><v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>`;

const emptyDrawing = `<xml ${boxNamespaces}><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="1"/></o:shapelayout></xml>`;

/** The box stands to the right of its cell, or to the left of the edge, and shows when the cell is pointed at. */
function box({ address }: CellText, id: number): string {
  const { top: row = 0, left: column = 0 } = blockOf(address) ?? {};
  const left = Math.min(column + 1, lastColumn - 3);
  const above = Math.max(row - 1, 0);
  return (
    `<v:shape ${boxNamespaces} id="_x0000_s${id}" type="#${noteShape}" style="position:absolute;width:160pt;height:75pt;z-index:${id};visibility:hidden" fillcolor="#ffffe1" o:insetmode="auto">` +
    `<v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/>` +
    `<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>` +
    `<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/>` +
    `<x:Anchor>${left}, 15, ${above}, 10, ${left + 3}, 20, ${above + 5}, 5</x:Anchor>` +
    `<x:AutoFill>False</x:AutoFill><x:Row>${row}</x:Row><x:Column>${column}</x:Column></x:ClientData></v:shape>`
  );
}

function withTexts(part: string, xml: string, notes: readonly CellText[]): string {
  let authors: XmlElement | undefined;
  let list: XmlElement | undefined;
  let authorCount = 0;
  let prefix = "";
  walk(part, xml, {
    close(element) {
      if (element.name === "author") authorCount++;
      if (element.name === "authors") authors = element;
      if (element.name === "commentList") list = element;
      if (element.parent === undefined) ({ prefix } = element);
    },
  });
  if (authors === undefined || list === undefined) return xml;
  const comments = notes.map(
    ({ address, text }) =>
      `<${prefix}comment ref="${address}" authorId="${authorCount}"><${prefix}text><${prefix}r><${prefix}t xml:space="preserve">` +
      `${escapeText(text)}</${prefix}t></${prefix}r></${prefix}text></${prefix}comment>`,
  );
  return spliced(xml, [
    appended(xml, authors, `<${prefix}author>${author}</${prefix}author>`),
    appended(xml, list, comments.join("")),
  ]);
}

function notedCells(part: string, xml: string): ReadonlySet<string> {
  const noted = new Set<string>();
  walk(part, xml, {
    open({ name, attributes }) {
      if (name === "comment" && attributes.ref !== undefined) noted.add(attributes.ref);
    },
  });
  return noted;
}

/** Excel's own drawings need not be whole XML, so they are added to by their text. */
function withBoxes(drawing: string, notes: readonly CellText[]): string | undefined {
  const end = drawing.lastIndexOf("</xml>");
  if (end < 0) return undefined;
  const ids = [...drawing.matchAll(/_x0000_s(\d{1,9})\b/g)].map(([, id]) => Number(id));
  const next = ids.reduce((most, id) => Math.max(most, id + 1), firstShape);
  const type = drawing.includes(`id="${noteShape}"`) ? "" : shapeType;
  return (
    drawing.slice(0, end) + type + notes.map((note, i) => box(note, next + i)).join("") + drawing.slice(end)
  );
}

/** Puts notes on cells of a sheet; its part is changed only where it has no notes yet. */
export function addNotes(parts: PackageParts, part: SheetPart, wanted: readonly CellText[]): void {
  const reached = parts.relationsOf(part.name).filter(({ target }) => parts.has(target));
  const comments = reached.find(({ type }) => type === "comments")?.target;
  const known = comments === undefined ? emptyComments : parts.text(comments);
  const noted = notedCells(comments ?? part.name, known);
  const notes = [...new Map(wanted.map((note) => [note.address, note])).values()].filter(
    ({ address }) => !noted.has(address),
  );
  if (notes.length === 0) return;

  const shown = part.topElement("legacyDrawing");
  // Pictures of the page's header are in a drawing of the same sort.
  const drawing = reached.find(({ id }) => shown !== undefined && id === attributeOf(shown, "id"))?.target;
  // Old files name a drawing by an empty id, which is none.
  const isNamed = shown !== undefined && (attributeOf(shown, "id") ?? "").trim() !== "";
  const boxes = withBoxes(drawing === undefined ? emptyDrawing : parts.text(drawing), notes);
  if (boxes === undefined || (isNamed && drawing === undefined)) return;

  const texts = withTexts(comments ?? part.name, known, notes);
  const names = new Set(parts.names.map((name) => name.toLowerCase()));
  if (comments === undefined) {
    const name = freeName(names, (number) => `xl/comments${number}.xml`);
    parts.add(name, texts, commentsType, part.name, `${relations}/comments`);
  } else parts.replace(comments, texts);
  if (drawing !== undefined) {
    parts.replace(drawing, boxes);
    return;
  }
  const name = freeName(names, (number) => `xl/drawings/vmldrawing${number}.vml`);
  const id = parts.add(name, boxes, drawingType, part.name, `${relations}/vmlDrawing`);
  const { prefix, declaration } = part.relationPrefix;
  const element = `<${part.prefix}legacyDrawing${declaration} ${prefix}:id="${id}"/>`;
  if (shown?.single === true) part.replaceTop("legacyDrawing", element);
  else part.insertTop("legacyDrawing", element);
}
