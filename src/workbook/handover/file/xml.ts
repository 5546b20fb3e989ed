/** XML as it is written: text in it, and places in it given other text. */
import type { XmlElement } from "./xml-element";

export const xmlHead = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';

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

/** The tag of an element without content, opened for some. */
export const openedTag = (tag: string): string => `${tag.replace(/\/>$/, "").trimEnd()}>`;

/** Puts text at the end of what is inside an element. */
export const appended = (xml: string, element: XmlElement, text: string): Splice => {
  const { single, start, inside, insideEnd, prefix, name } = element;
  if (!single) return { start: insideEnd, end: insideEnd, text };
  const tag = openedTag(xml.slice(start, inside));
  return { start, end: inside, text: `${tag}${text}</${prefix}${name}>` };
};

/** A return is read as a line feed where it stands as it is. */
export const escapeXml = (text: string): string =>
  text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("\r", "&#13;");

/** Characters that no file can hold as they are, and what a reader may take for the number of one, once these are numbers. */
const toNumber = /_(?=x[0-9a-f]{1,4}[_\0-\x08\x0b-\x1f\ufffe\uffff])|[\0-\x08\x0b-\x1f\ufffe\uffff]/gi;
const numbered = /_x([0-9a-fA-F]{4})_/g;

/** The text of a cell or a note as a file holds it: a character that it cannot hold stands as `_x0007_`, by its number. */
export const escapeText = (text: string): string =>
  escapeXml(
    text.replace(
      toNumber,
      (letter) => `_x${letter.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}_`,
    ),
  );

/** The text that is meant by one of a file. */
export const textMeant = (text: string): string =>
  text.replace(numbered, (_number, code: string) => String.fromCharCode(Number.parseInt(code, 16)));
