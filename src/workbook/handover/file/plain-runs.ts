/**
 * Rows, cells and shared texts as nearly every program spells them, read without the parser: a file has millions. What
 * is spelt in another way is left to the parser, which refuses what is no XML.
 */
import type { XmlElement } from "./xml-element";

/** Attributes in double quotes, whose values stand for themselves. */
const attributes = String.raw`((?: [A-Za-z_:][\w:.-]*="[ !#-%'-;=?-~]*")*)`;
/** Characters that every text may hold; a bracket that closes may end what no text may hold, and is not among them. */
const text = String.raw`([\t\n -;=?-\ud7ff\ue000-\ufffd]*)`;
const preserved = ' xml:space="preserve"';

const plainRow = new RegExp(`<row${attributes}>`, "y");
const plainCell = new RegExp(
  `<c${attributes}(?:/>|>(?:<f${attributes}(?:/>|>${text}</f>))?(?:<v>${text}</v>)?` +
    `(?:<is><t(${preserved})?>${text}</t></is>)?</c>)`,
  "y",
);
const plainText = new RegExp(`<si><t(${preserved})?>${text}</t></si>`, "y");

const entities: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };

/** What a text means; undefined where it names what only a parser looks up. */
function meant(written: string): string | undefined {
  if (!written.includes("&")) return written;
  let isPlain = true;
  const read = written.replace(/&(?:(amp|lt|gt|quot|apos);)?/g, (_, name: string | undefined) => {
    if (name === undefined) isPlain = false;
    return entities[name ?? ""] ?? "";
  });
  return isPlain ? read : undefined;
}

/** Undefined where one is there twice. */
function attributesIn(written: string): Record<string, string> | undefined {
  const found: Record<string, string> = {};
  for (let at = 0; at < written.length;) {
    const equals = written.indexOf("=", at);
    const end = written.indexOf('"', equals + 2);
    const name = written.slice(at + 1, equals);
    if (name in found) return undefined;
    found[name] = written.slice(equals + 2, end);
    at = end + 1;
  }
  return found;
}

interface Written {
  readonly name: string;
  /** Where its start tag begins. */
  readonly start: number;
  /** Its attributes as they are spelt. */
  readonly spelt: string;
  /** What is inside, where that is text alone; undefined for one whose start tag is its end too. */
  readonly content?: string | undefined;
}

/** An element whose tags hold nothing but its name and its attributes. */
function elementOf(
  { name, start, spelt, content }: Written,
  parent: XmlElement | undefined,
): XmlElement | undefined {
  const attributes = attributesIn(spelt);
  const text = content === undefined ? "" : meant(content);
  if (attributes === undefined || text === undefined) return undefined;
  const single = content === undefined;
  const inside = start + name.length + spelt.length + (single ? 3 : 2);
  const insideEnd = inside + (content?.length ?? 0);
  const end = single ? inside : insideEnd + name.length + 3;
  return { name, prefix: "", attributes, parent, start, inside, single, insideEnd, end, text };
}

/** Elements of a text, an element before those inside it. */
export type PlainRun = readonly XmlElement[];

/** Adds an element where one is written; answers with false where the parser has to read it. */
function added(run: XmlElement[], written: Written, parent: XmlElement | undefined): boolean {
  const element = elementOf(written, parent);
  if (element !== undefined) run.push(element);
  return element !== undefined;
}

/** What stands at a place of a text that begins at `from`, up to the end of it. */
export type PlainReader = (
  text: string,
  at: number,
  from: number,
  parent: XmlElement | undefined,
) => PlainRun | undefined;

function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

/** The start tag of a row; its end is not known yet. */
export const plainRowAt: PlainReader = (text, at, from, parent) => {
  const match = matchAt(plainRow, text, at);
  if (match === null) return undefined;
  const row = elementOf({ name: "row", start: from + at, spelt: match[1] ?? "", content: "" }, parent);
  if (row !== undefined) row.end = row.insideEnd;
  return row === undefined ? undefined : [row];
};

export const plainCellAt: PlainReader = (text, at, from, parent) => {
  const match = matchAt(plainCell, text, at);
  if (match === null) return undefined;
  const [whole, spelt = "", formulaSpelt, formula, value, space, shown] = match;
  const start = from + at;
  const isSingle = whole.endsWith("/>");
  const run: XmlElement[] = [];
  const outer = { name: "c", start, spelt, content: isSingle ? undefined : "" };
  if (!added(run, outer, parent)) return undefined;
  const [cell] = run as [XmlElement];
  if (isSingle) return run;
  let next = cell.inside;
  if (formulaSpelt !== undefined) {
    if (!added(run, { name: "f", start: next, spelt: formulaSpelt, content: formula }, cell))
      return undefined;
    next = run[run.length - 1]?.end ?? next;
  }
  if (value !== undefined) {
    if (!added(run, { name: "v", start: next, spelt: "", content: value }, cell)) return undefined;
    next = run[run.length - 1]?.end ?? next;
  }
  if (shown !== undefined && !addedText(run, { name: "is", start: next, space, shown }, cell))
    return undefined;
  cell.end = start + whole.length;
  cell.insideEnd = cell.end - "</c>".length;
  return run;
};

export const plainTextAt: PlainReader = (text, at, from, parent) => {
  const match = matchAt(plainText, text, at);
  if (match === null) return undefined;
  const [, space, shown = ""] = match;
  const run: XmlElement[] = [];
  return addedText(run, { name: "si", start: from + at, space, shown }, parent) ? run : undefined;
};

interface WrittenText {
  readonly name: "is" | "si";
  readonly start: number;
  readonly space: string | undefined;
  readonly shown: string;
}

/** A text within its element. */
function addedText(
  run: XmlElement[],
  { name, start, space = "", shown }: WrittenText,
  parent: XmlElement | undefined,
): boolean {
  if (!added(run, { name, start, spelt: "", content: "" }, parent)) return false;
  const outer = run[run.length - 1];
  if (
    outer === undefined ||
    !added(run, { name: "t", start: outer.inside, spelt: space, content: shown }, outer)
  )
    return false;
  outer.insideEnd = run[run.length - 1]?.end ?? outer.insideEnd;
  outer.end = outer.insideEnd + name.length + 3;
  return true;
}
