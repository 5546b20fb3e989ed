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

/** A text as a whole, or piece by piece. */
export type Text = string | Iterable<string>;

function* inPortions(text: Text): Generator<string> {
  for (const piece of typeof text === "string" ? [text] : text)
    for (let at = 0; at < piece.length; at += readAtATime) yield piece.slice(at, at + readAtATime);
}

const trouble = (part: string, why: string): never => {
  throw new WorkbookTrouble(`The file's part ${part} ${why}`);
};

const damaged = "is damaged: open the file in Excel, save it again, then hand over.";

/** The end of what was read: where a tag begins is found by looking back. */
class Behind {
  private text = "";
  private from = 0;

  add(piece: string): void {
    const kept = this.text.slice(-readAtATime);
    this.from += this.text.length - kept.length;
    this.text = kept + piece;
  }

  /** Where the last tag before a place begins. */
  tagBefore(place: number): number {
    const at = this.text.lastIndexOf("<", place - 1 - this.from);
    return at < 0 ? at : at + this.from;
  }
}

export const walk = (part: string, xml: Text, visitor: XmlVisitor): void =>
  atOnce(walking(part, xml, visitor));

/** Reads a text once through; what is told of an element is true until the next one is told of. */
export function* walking(part: string, xml: Text, visitor: XmlVisitor): Pieces<void> {
  const parser = new SaxesParser();
  const path: { readonly element: XmlElement; holdsOthers: boolean }[] = [];
  const behind = new Behind();
  let tagAt = 0;
  const refuse = (why: string): never => trouble(part, why);
  const tagBegin = (): number => {
    const at = behind.tagBefore(parser.position);
    return at < 0 ? refuse(damaged) : at;
  };
  parser.on("error", () => refuse(damaged));
  parser.on("doctype", () => refuse("declares entities, which no workbook does: it is not opened."));
  parser.on("opentagstart", () => {
    tagAt = tagBegin();
  });
  parser.on("opentag", ({ name, attributes, isSelfClosing }) => {
    const colon = name.indexOf(":");
    const around = path[path.length - 1];
    if (around !== undefined) {
      around.holdsOthers = true;
      around.element.text = "";
    }
    const element: XmlElement = {
      name: name.slice(colon + 1),
      prefix: name.slice(0, colon + 1),
      attributes,
      parent: around?.element,
      start: tagAt,
      inside: parser.position,
      single: isSelfClosing,
      insideEnd: parser.position,
      end: parser.position,
      text: "",
    };
    // Asked here and not by a listener of its own: with one more the parser takes several times as long.
    if (around === undefined && !/^(utf-?8|us-ascii)$/i.test(parser.xmlDecl.encoding ?? "utf-8"))
      refuse(damaged);
    if (path.push({ element, holdsOthers: false }) > deepest)
      refuse("is nested deeper than any workbook's: it is not opened.");
    visitor.open?.(element);
  });
  const add = (text: string): void => {
    const last = path[path.length - 1];
    if (last?.holdsOthers === false) last.element.text += text;
  };
  parser.on("text", add);
  parser.on("cdata", add);
  parser.on("closetag", () => {
    const element = path.pop()?.element;
    if (element === undefined) return;
    element.end = parser.position;
    if (!element.single) element.insideEnd = tagBegin();
    visitor.close?.(element);
  });
  let read = 0;
  const length = typeof xml === "string" ? xml.length : Number.POSITIVE_INFINITY;
  for (const piece of inPortions(xml)) {
    behind.add(piece);
    parser.write(piece);
    read += piece.length;
    yield read / length;
  }
  parser.close();
}

/** A text on its way through. */
export interface Passage {
  /** What stands between two places; from where the text is held, or from the tag at hand. */
  textOf(start: number, end: number): string;
  replace(splice: Splice): void;
}

export interface PassageVisitor {
  open?(element: XmlElement, passage: Passage): void;
  close?(element: XmlElement, passage: Passage): void;
  /** Whether an element is still to be changed when it closes, and so is not let go before. */
  holds?(element: XmlElement): boolean;
}

/** No cell and no formula of a workbook is as long. */
const longestHeld = 8_000_000;

/** The text piece by piece with what a visitor replaces in it; no more of it is held than what may change yet. */
export function* passing(part: string, xml: Text, visitor: PassageVisitor): Generator<string> {
  let held = "";
  let from = 0;
  let splices: Splice[] = [];
  const holding: XmlElement[] = [];
  const passage: Passage = {
    textOf: (start, end) => held.slice(start - from, end - from),
    replace: (splice) => splices.push(splice),
  };
  function* noted(): Generator<string> {
    for (const piece of inPortions(xml)) {
      held += piece;
      yield piece;
    }
  }
  const reading = walking(part, noted(), {
    open: (element) => {
      visitor.open?.(element, passage);
      if (visitor.holds?.(element) === true) holding.push(element);
    },
    close: (element) => {
      visitor.close?.(element, passage);
      if (holding[holding.length - 1] === element) holding.pop();
    },
  });
  for (;;) {
    const { done } = reading.next();
    // A tag that is not read to its end may be asked for.
    const upTo = done === true ? from + held.length : (holding[0]?.start ?? from + held.lastIndexOf("<"));
    if (upTo - from > 0) {
      const isOver = ({ start }: Splice): boolean => done === true || start < upTo;
      const here = splices.filter(isOver);
      splices = splices.filter((splice) => !isOver(splice));
      yield spliced(
        held.slice(0, upTo - from),
        here.map(({ start, end, text }) => ({ start: start - from, end: end - from, text })),
      );
      held = held.slice(upTo - from);
      from = upTo;
    }
    if (done === true) return;
    if (held.length > longestHeld)
      trouble(part, "holds a cell that is longer than any workbook's: it is not opened.");
  }
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
