/** What a file's workbook part lists: its sheets, its shared texts, whether its values can be trusted. */
import type { Pieces } from "../../host";
import { WorkbookTrouble } from "../../host";
import { Texts } from "./cell-store";
import type { PackageParts, Relation } from "./package-parts";
import type { XmlElement } from "./xml-element";
import { attributeOf } from "./xml-element";
import { childrenNamed, walk, walking } from "./xml-walk";
import { passing } from "./xml-passing";
import { spliced, textMeant } from "./xml";

export interface FileSheet {
  readonly name: string;
  readonly element: XmlElement;
  readonly relation: Relation;
  readonly part: string;
}

/** More sheets than this is no one's workbook. */
const mostSheets = 1_000;

export function workbookPart(parts: PackageParts): string {
  const refuse = (sentence: string): never => {
    throw new WorkbookTrouble(sentence);
  };
  const root = parts.relationsOf("").find(({ type }) => type === "officeDocument");
  const name = root?.target ?? "xl/workbook.xml";
  if (!parts.has(name)) refuse("The file holds no workbook: choose an .xlsx or .xlsm file.");
  const type = parts.contentTypeOf(name);
  if (/ms-excel\.sheet\.binary/i.test(type))
    refuse("The file is in the binary .xlsb form: save it as .xlsx or .xlsm, then hand over.");
  if (!/(?:spreadsheetml|ms-excel)\.\w+(?:\.macroEnabled)?\.main\+xml$/i.test(type))
    refuse("The file holds no workbook: choose an .xlsx or .xlsm file.");
  return name;
}

export function sheetsOf(parts: PackageParts, workbook: string): readonly FileSheet[] {
  const relations = new Map(parts.relationsOf(workbook).map((relation) => [relation.id, relation]));
  const elements: XmlElement[] = [];
  walk(workbook, parts.text(workbook), {
    open(element) {
      if (element.name !== "sheet") return;
      if (elements.push(element) > mostSheets)
        throw new WorkbookTrouble(`The file lists more than ${mostSheets} sheets: it is not opened.`);
    },
  });
  const taken = new Set<string>();
  return elements.flatMap((element) => {
    const { name = "" } = element.attributes;
    const id = attributeOf(element, "id") ?? "";
    // Modules and dialogs of files from before 1997 are listed so: nothing of them is left but the name.
    if (id.trim() === "") return [];
    const relation = relations.get(id);
    const lacks = (what: string): never => {
      throw new WorkbookTrouble(`The file lacks ${what}: save it again from Excel, then hand over.`);
    };
    if (relation === undefined) return lacks(`the part of its sheet ${name.slice(0, 31)}`);
    if (relation.type !== "worksheet") return [];
    if (!parts.has(relation.target)) return lacks(`the part of its sheet ${name.slice(0, 31)}`);
    if (taken.has(relation.target)) return lacks(`a part of its own for its sheet ${name.slice(0, 31)}`);
    taken.add(relation.target);
    return [{ name, element, relation, part: relation.target }];
  });
}

/** Whether the values in the file may be stale: it asks to be calculated before anyone looks. */
export const isCalculatedOnLoad = (parts: PackageParts, workbook: string): boolean =>
  childrenNamed(workbook, parts.text(workbook), "workbook", "calcPr").some(({ attributes }) =>
    ["1", "true"].includes(attributes.fullCalcOnLoad ?? ""),
  );

/** Where a file keeps the texts that its cells share, if it has any. */
function sharedStringsPart(parts: PackageParts, workbook: string): string | undefined {
  const part = parts.relationsOf(workbook).find(({ type }) => type === "sharedStrings")?.target;
  return part !== undefined && parts.has(part) ? part : undefined;
}

/** Tells the text of each shared string as it ends. */
function textsTold(tell: (element: XmlElement, text: string) => void): (element: XmlElement) => void {
  let pieces: string[] = [];
  return (element) => {
    // Readings in another script stand beside the text and are no part of it.
    if (element.name === "t" && element.parent?.name !== "rPh") pieces.push(element.text);
    if (element.name !== "si") return;
    tell(element, textMeant(pieces.join("")));
    pieces = [];
  };
}

/** The texts that the cells of a file share, by number. */
export function* readingSharedTexts(
  parts: PackageParts,
  workbook: string,
  notice: (text: string) => void,
): Pieces<Texts> {
  const texts = new Texts();
  const part = sharedStringsPart(parts, workbook);
  if (part === undefined) return texts;
  const tell = textsTold((_, text) => {
    texts.add(text);
    notice(text);
  });
  yield* walking(part, parts.reading(part), { close: tell });
  return texts;
}

/** Empties some of the texts that cells share; they keep their places, which cells count by. */
export function emptySharedTexts(
  parts: PackageParts,
  workbook: string,
  isEmptied: (text: string) => boolean,
): void {
  const part = sharedStringsPart(parts, workbook);
  if (part === undefined) return;
  parts.rewrite(part, (whole) => {
    const found: XmlElement[] = [];
    const tell = textsTold((element, text) => {
      if (isEmptied(text)) found.push(element);
    });
    return passing(part, whole, {
      holds: ({ name }) => name === "si",
      close(element, passage) {
        tell(element);
        const emptied = found.pop();
        if (emptied === undefined) return;
        const { start, end, prefix } = emptied;
        passage.replace({ start, end, text: `<${prefix}si><${prefix}t/></${prefix}si>` });
      },
    });
  });
}

/** Asks whoever opens the file to calculate it first. */
export function calculateOnLoad(parts: PackageParts, workbook: string): void {
  const xml = parts.text(workbook);
  const [known] = childrenNamed(workbook, xml, "workbook", "calcPr");
  if (known !== undefined) {
    const { start, inside, single } = known;
    const tag = xml.slice(start, inside).replace(/\sfullCalcOnLoad\s*=\s*(?:"[^"]*"|'[^']*')/, "");
    const marked = `${tag.replace(/\/?>$/, "").trimEnd()} fullCalcOnLoad="1"${single ? "/>" : ">"}`;
    parts.replace(workbook, spliced(xml, [{ start, end: inside, text: marked }]));
    return;
  }
  let root: XmlElement | undefined;
  let next: XmlElement | undefined;
  walk(workbook, xml, {
    open(element) {
      if (element.parent === undefined) root = element;
      else if (element.parent === root && behindCalculation.has(element.name)) next ??= element;
    },
  });
  if (root === undefined) return;
  const place = next?.start ?? root.insideEnd;
  const text = `<${root.prefix}calcPr fullCalcOnLoad="1"/>`;
  parts.replace(workbook, spliced(xml, [{ start: place, end: place, text }]));
}

/** What stands behind it in a workbook's part, in the order of the standard (ISO/IEC 29500-1, CT_Workbook). */
const behindCalculation: ReadonlySet<string> = new Set(
  "oleSize customWorkbookViews pivotCaches smartTagPr smartTagTypes webPublishing fileRecoveryPr webPublishObjects extLst".split(
    " ",
  ),
);
