/** XML read once through with the places of its elements, so that a change touches nothing but what it means to. */
import { SaxesParser } from "saxes";
import type { Pieces } from "../../progress";
import { atOnce } from "../../progress";
import { WorkbookTrouble } from "../../trouble";

export interface XmlElement {
  /** Without its prefix. */
  readonly name: string;
  /** With its colon, or nothing. */
  readonly prefix: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly parent: XmlElement | undefined;
  readonly start: number;
  /** Where the start tag ends. */
  readonly inside: number;
  /** Written as one tag that is start and end. */
  readonly single: boolean;
  /** Where the end tag begins; only known once the element is closed, as is all that follows. */
  insideEnd: number;
  end: number;
  /** The text directly inside, without that of elements inside. */
  text: string;
}

export interface XmlVisitor {
  open?(element: XmlElement): void;
  close?(element: XmlElement): void;
}

/** No part of a workbook is nested as deep. */
const deepest = 200;

/** An attribute by its name without prefix, where the prefix is the file's own choice. */
export function attributeOf({ attributes }: XmlElement, local: string): string | undefined {
  const name = Object.keys(attributes).find((one) => one.endsWith(`:${local}`));
  return name === undefined ? undefined : attributes[name];
}

/** Characters that are read at a time, in a few milliseconds. */
const readAtATime = 0x8000;

export const walk = (part: string, xml: string, visitor: XmlVisitor): void =>
  atOnce(walking(part, xml, visitor));

export function* walking(part: string, xml: string, visitor: XmlVisitor): Pieces<void> {
  const parser = new SaxesParser();
  const path: XmlElement[] = [];
  let tagAt = 0;
  const refuse = (why: string): never => {
    throw new WorkbookTrouble(`The file's part ${part} ${why}`);
  };
  parser.on("error", () => refuse("is damaged: open the file in Excel, save it again, then hand over."));
  parser.on("doctype", () => refuse("declares entities, which no workbook does: it is not opened."));
  parser.on("opentagstart", () => {
    tagAt = xml.lastIndexOf("<", parser.position - 1);
  });
  parser.on("opentag", ({ name, attributes, isSelfClosing }) => {
    const colon = name.indexOf(":");
    const element: XmlElement = {
      name: name.slice(colon + 1),
      prefix: name.slice(0, colon + 1),
      attributes,
      parent: path[path.length - 1],
      start: tagAt,
      inside: parser.position,
      single: isSelfClosing,
      insideEnd: parser.position,
      end: parser.position,
      text: "",
    };
    if (path.push(element) > deepest) refuse("is nested deeper than any workbook's: it is not opened.");
    visitor.open?.(element);
  });
  const add = (text: string): void => {
    const element = path[path.length - 1];
    if (element !== undefined) element.text += text;
  };
  parser.on("text", add);
  parser.on("cdata", add);
  parser.on("closetag", () => {
    const element = path.pop();
    if (element === undefined) return;
    element.end = parser.position;
    if (!element.single) element.insideEnd = xml.lastIndexOf("<", parser.position - 1);
    visitor.close?.(element);
  });
  for (let at = 0; at < xml.length; at += readAtATime) {
    parser.write(xml.slice(at, at + readAtATime));
    yield at / xml.length;
  }
  parser.close();
}

/** The elements of a name that stand right inside one of another name. */
export function childrenNamed(
  part: string,
  xml: string,
  parent: string,
  name: string,
): readonly XmlElement[] {
  const found: XmlElement[] = [];
  walk(part, xml, {
    close(element) {
      if (element.name === name && element.parent?.name === parent) found.push(element);
    },
  });
  return found;
}

export interface Splice {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** The text with pieces of it replaced; of two at one place the one asked for first comes first. */
export function spliced(text: string, splices: readonly Splice[]): string {
  const pieces: string[] = [];
  let from = 0;
  for (const { start, end, text: put } of [...splices].sort((a, b) => a.start - b.start || a.end - b.end)) {
    pieces.push(text.slice(from, start), put);
    from = end;
  }
  return pieces.join("") + text.slice(from);
}

export const without = ({ start, end }: XmlElement): Splice => ({ start, end, text: "" });

/** Puts text at the end of what is inside an element. */
export const appended = (xml: string, element: XmlElement, text: string): Splice => {
  const { single, start, inside, insideEnd, prefix, name } = element;
  if (!single) return { start: insideEnd, end: insideEnd, text };
  const tag = xml.slice(start, inside).replace(/\s*\/>$/, ">");
  return { start, end: inside, text: `${tag}${text}</${prefix}${name}>` };
};

export const escapeXml = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");
