import { SaxesParser } from "saxes";
import type { Pieces } from "../host";
import { within } from "../host";
import type { Gathering } from "./gathering";

/**
 * What a reader of one XML format does as the file goes by; the path holds local names, outermost first. What takes longer
 * is handed back, and done in turn before the file goes on.
 */
export interface XmlReader {
  open(path: readonly string[], attribute: (name: string) => string | undefined): Pieces<void> | undefined;
  text(path: readonly string[], text: string): void;
  close(path: readonly string[]): Pieces<void> | undefined;
}

/** Letters of the file read between two pauses. */
const lettersAtOnce = 32_768;

/** Other programs' own data: it may hold names and points that mean something else. */
const skipped = new Set(["extensions", "ExtendedData"]);

/** Far deeper than any outline file, and shallow enough to stop one that was made to be deep. */
const deepest = 100;

/** Of one element: what has more was made to have them. */
const mostAttributes = 1000;

/** A longer remark is no remark: most likely one that is not closed. */
const longestRemark = 100_000;

function refuseLongRemarks(text: string, gathering: Gathering): void {
  let start = text.indexOf("<!--");
  while (start >= 0) {
    const end = text.slice(start, start + longestRemark).indexOf("-->");
    if (end < 0 && start + longestRemark < text.length)
      gathering.refuse(
        "has a remark that goes on without end: it is damaged, so save it again from the program that drew it.",
      );
    start = end < 0 ? -1 : text.indexOf("<!--", start + end);
  }
}

const refuseEntities = (gathering: Gathering): never =>
  gathering.refuse(
    "declares a document type or entities, which outline files never need: save it again from the program that drew it.",
  );

/** A parser that refuses what no outline file holds. */
function carefulParser(gathering: Gathering): SaxesParser {
  const parser = new SaxesParser();
  parser.on("doctype", () => refuseEntities(gathering));
  parser.on("error", () =>
    gathering.refuse(
      `cannot be read as XML from line ${parser.line} on: it is cut short or damaged, so save it again from the program that drew it.`,
    ),
  );
  return parser;
}

/**
 * Reads once through the text, without building it up in memory. A document type is refused
 * because only there can entities be declared, and no outline file needs any.
 */
export function* readXml(
  text: string,
  gathering: Gathering,
  readerFor: (root: string) => XmlReader,
): Pieces<void> {
  let waiting: Pieces<void>[] = [];
  if (/^\s*(<\?[^>]*>\s*)?<!doctype/i.test(text)) refuseEntities(gathering);
  refuseLongRemarks(text, gathering);
  const parser = carefulParser(gathering);
  tellElements(parser, gathering, readerFor, (work) => waiting.push(work));
  for (let at = 0; at < text.length; at += lettersAtOnce) {
    const share = at / text.length;
    parser.write(text.slice(at, at + lettersAtOnce));
    for (const work of waiting) yield* within(work, () => share);
    waiting = [];
    yield share;
  }
  parser.close();
}

/** Tells a reader of the elements that it may know; what takes longer is left for later. */
function tellElements(
  parser: SaxesParser,
  gathering: Gathering,
  readerFor: (root: string) => XmlReader,
  later: (work: Pieces<void>) => void,
): void {
  const path: string[] = [];
  let reader: XmlReader | undefined;
  let skippedAt = Infinity;
  let attributesSeen = 0;
  const leave = (work: Pieces<void> | undefined): void => {
    if (work !== undefined) later(work);
  };
  parser.on("attribute", () => {
    if (++attributesSeen > mostAttributes)
      gathering.refuse("holds far more than the outlines of a property: save only those, then try again.");
  });
  parser.on("opentag", ({ name, attributes }) => {
    attributesSeen = 0;
    const local = name.slice(name.indexOf(":") + 1);
    path.push(local);
    if (path.length > deepest)
      gathering.refuse(
        "is nested too deeply for an outline file: save it again from the program that drew it.",
      );
    reader ??= readerFor(local);
    if (skippedAt === Infinity && skipped.has(local)) skippedAt = path.length;
    if (skippedAt === Infinity)
      leave(reader.open(path, (key) => (Object.hasOwn(attributes, key) ? attributes[key] : undefined)));
  });
  const pass = (piece: string) => {
    if (skippedAt === Infinity) reader?.text(path, piece);
  };
  parser.on("text", pass);
  parser.on("cdata", pass);
  parser.on("closetag", () => {
    if (skippedAt === Infinity) leave(reader?.close(path));
    if (path.length === skippedAt) skippedAt = Infinity;
    path.pop();
  });
}
