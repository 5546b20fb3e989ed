/** XML read once through with the places of its elements, so that a change touches nothing but what it means to. */
import { SaxesParser } from "saxes";
import type { Pieces } from "../../host";
import { atOnce, WorkbookTrouble } from "../../host";
import type { PlainRun } from "./plain-runs";
import { plainCellAt, plainRowAt, plainTextAt } from "./plain-runs";
import type { XmlElement } from "./xml-element";

export interface XmlVisitor {
  open?(element: XmlElement): void;
  close?(element: XmlElement): void;
}

/** No part of a workbook is nested as deep. */
const deepest = 200;

/** Characters that are read at a time, in a few milliseconds. */
const readAtATime = 0x8000;

/** A text as a whole, or piece by piece. */
export type Text = string | Iterable<string>;

export function* inPortions(text: Text): Generator<string> {
  for (const piece of typeof text === "string" ? [text] : text)
    for (let at = 0; at < piece.length; at += readAtATime) yield piece.slice(at, at + readAtATime);
}

export const trouble = (part: string, why: string): never => {
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
  const length = typeof xml === "string" ? xml.length : Number.POSITIVE_INFINITY;
  for (const told of new Walker(part, visitor).reading(inPortions(xml))) yield told / length;
}

interface Open {
  readonly element: XmlElement;
  holdsOthers: boolean;
  /** The parser knows nothing of it. */
  readonly isPlain: boolean;
}

/** What stands by itself between two tags, by how it begins. */
const asides = { "<!--": "-->", "<![CDATA[": "]]>", "<?": "?>" } as const;

const asideBeginnings = Object.keys(asides) as (keyof typeof asides)[];
const longestAside = Math.max(...asideBeginnings.map(({ length }) => length));

const rowEnd = /<\/row\s*>/y;
const containers = /<(?:[\w.-]+:)?(?:sheetData|sst)\b/g;
const blanks = new Set([..." \n\t\r"].map((blank) => blank.charCodeAt(0)));

const readers = { row: plainRowAt, cell: plainCellAt, text: plainTextAt } as const;
const endings = { row: ">", cell: "</c>", text: "</si>" } as const;

/** The place behind a mark; where there is none, all of the text stands before it. */
function behindNext(mark: string, text: string, at: number): number {
  const found = text.indexOf(mark, at);
  return found < 0 ? text.length : found + mark.length;
}

export class Walker {
  private readonly parser = new SaxesParser();
  private readonly path: Open[] = [];
  private readonly behind = new Behind();
  private tagAt = 0;
  /** Characters that the parser was given, and those that were read without it. */
  private given = 0;
  private plain = 0;
  /** After how many of those it was given it stands between two tags. */
  private betweenAt = -1;
  /** The end of what stands by itself, where it is in the midst of that. */
  private asideEnd: string | undefined;

  constructor(
    private readonly part: string,
    private readonly visitor: XmlVisitor,
  ) {
    const { parser, path } = this;
    parser.on("error", () => this.refuse(damaged));
    parser.on("doctype", () => this.refuse("declares entities, which no workbook does: it is not opened."));
    parser.on("opentagstart", () => {
      this.tagAt = this.tagBegin();
    });
    parser.on("opentag", ({ name, attributes, isSelfClosing }) => {
      const colon = name.indexOf(":");
      const inside = this.place;
      // Asked here and not by a listener of its own: with one more the parser takes several times as long.
      if (path.length === 0 && !/^(utf-?8|us-ascii)$/i.test(parser.xmlDecl.encoding ?? "utf-8"))
        this.refuse(damaged);
      this.open(
        {
          name: name.slice(colon + 1),
          prefix: name.slice(0, colon + 1),
          attributes,
          parent: path[path.length - 1]?.element,
          start: this.tagAt,
          inside,
          single: isSelfClosing,
          insideEnd: inside,
          end: inside,
          text: "",
        },
        false,
      );
      this.betweenAt = parser.position;
    });
    const add = (text: string): void => {
      const last = path[path.length - 1];
      if (last?.holdsOthers === false) last.element.text += text;
    };
    parser.on("text", add);
    parser.on("cdata", add);
    parser.on("closetag", () => {
      const open = path[path.length - 1];
      if (open === undefined) return;
      const { element, isPlain } = open;
      if (isPlain) this.refuse(damaged);
      element.end = this.place;
      if (!element.single) element.insideEnd = this.tagBegin();
      this.close();
      this.betweenAt = parser.position;
    });
  }

  private refuse(why: string): never {
    return trouble(this.part, why);
  }

  /** How far the parser has come in the text as a whole. */
  private get place(): number {
    return this.parser.position + this.plain;
  }

  private tagBegin(): number {
    const at = this.behind.tagBefore(this.place);
    return at < 0 ? this.refuse(damaged) : at;
  }

  private open(element: XmlElement, isPlain: boolean): void {
    const { path } = this;
    const around = path[path.length - 1];
    if (around !== undefined) {
      around.holdsOthers = true;
      around.element.text = "";
    }
    if (path.push({ element, holdsOthers: false, isPlain }) > deepest)
      this.refuse("is nested deeper than any workbook's: it is not opened.");
    this.visitor.open?.(element);
  }

  private close(): void {
    const element = this.path.pop()?.element;
    if (element !== undefined) this.visitor.close?.(element);
  }

  /** Tells up to where elements have been told of. */
  *reading(portions: Iterable<string>): Generator<number> {
    let rest = "";
    for (const portion of portions) {
      this.behind.add(portion);
      rest = this.readOn(rest + portion);
      yield this.given + this.plain;
    }
    this.give(rest);
    this.parser.close();
    yield this.given + this.plain;
  }

  /** Answers with what can only be read with what follows it. */
  private readOn(text: string): string {
    let at = 0;
    for (;;) {
      at = this.readPlainly(text, at);
      if (at === text.length) return "";
      const end = this.endOfStep(text, at);
      if (end === at) return text.slice(at);
      this.give(text.slice(at, end));
      at = end;
    }
  }

  private give(text: string): void {
    this.parser.write(text);
    this.given += text.length;
  }

  private get isBetween(): boolean {
    return this.betweenAt === this.given;
  }

  private isInside(depth: number, name: string): boolean {
    return this.path[depth]?.element.name === name;
  }

  /** What may be read without the parser where the reading stands. */
  private get runs(): "row" | "cell" | "text" | undefined {
    const { length } = this.path;
    if (length === 1) return this.isInside(0, "sst") ? "text" : undefined;
    if (length > 3 || !this.isInside(1, "sheetData")) return undefined;
    if (length === 2) return "row";
    return this.isInside(2, "row") ? "cell" : undefined;
  }

  /** Reads on as long as nothing needs the parser; answers with the place where something does. */
  private readPlainly(text: string, at: number): number {
    const from = this.given + this.plain - at;
    let next = at;
    for (let { runs } = this; this.isBetween && runs !== undefined; runs = this.runs) {
      while (blanks.has(text.charCodeAt(next))) next++;
      const end = this.readStep(runs, text, next, from);
      if (end === undefined) break;
      next = end;
    }
    this.plain += next - at;
    return next;
  }

  /** Answers with the end of what it read. */
  private readStep(
    runs: "row" | "cell" | "text",
    text: string,
    at: number,
    from: number,
  ): number | undefined {
    const { path } = this;
    const top = path[path.length - 1];
    const run = readers[runs](text, at, from, top?.element);
    const [outer] = run ?? [];
    if (run !== undefined && outer !== undefined) {
      if (runs === "row") this.open(outer, true);
      else this.tell(run);
      return outer.end - from;
    }
    rowEnd.lastIndex = at;
    if (runs !== "cell" || top?.isPlain !== true || !rowEnd.test(text)) return undefined;
    top.element.insideEnd = from + at;
    top.element.end = from + rowEnd.lastIndex;
    this.close();
    return rowEnd.lastIndex;
  }

  private tell(run: PlainRun): void {
    const { path } = this;
    const depth = path.length;
    for (const element of run) {
      while (path.length > depth && path[path.length - 1]?.element !== element.parent) this.close();
      this.open(element, true);
    }
    while (path.length > depth) this.close();
  }

  /** Up to where the parser reads next; that is where it is for what needs more of the text. */
  private endOfStep(text: string, at: number): number {
    if (this.asideEnd !== undefined) return this.endOfAside(text, at, at);
    if (!this.isInside(1, "sheetData") && !this.isInside(0, "sst")) {
      containers.lastIndex = at;
      const begins = containers.exec(text)?.index;
      return begins === undefined ? text.length : behindNext(">", text, begins);
    }
    const { runs, isBetween } = this;
    if (isBetween) {
      const tag = text.indexOf("<", at);
      if (tag >= 0 && text.length - tag < longestAside) return at;
      const begin = asideBeginnings.find((one) => text.startsWith(one, tag));
      if (begin !== undefined) {
        this.asideEnd = asides[begin];
        return this.endOfAside(text, at, tag + begin.length);
      }
      if (runs !== undefined && text.length - at < readAtATime && !text.includes(endings[runs], at))
        return at;
    }
    return behindNext(">", text, at);
  }

  private endOfAside(text: string, at: number, inside: number): number {
    const { asideEnd = "" } = this;
    const found = text.indexOf(asideEnd, inside);
    if (found < 0) return Math.max(inside, text.length - asideEnd.length + 1);
    const end = found + asideEnd.length;
    this.asideEnd = undefined;
    this.betweenAt = this.given + end - at;
    return end;
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
