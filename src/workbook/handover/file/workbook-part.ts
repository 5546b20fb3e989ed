/** What a file's workbook part lists: its sheets, its shared texts, whether its values can be trusted. */
import type { Pause } from "../../progress";
import { inSlices } from "../../progress";
import { WorkbookTrouble } from "../../trouble";
import type { PackageParts, Relation } from "./package-parts";
import type { XmlElement } from "./xml";
import { attributeOf, childrenNamed, walk, walking } from "./xml";

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
    const relation = relations.get(attributeOf(element, "id") ?? "");
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

interface SharedString {
  readonly element: XmlElement;
  readonly text: string;
}

export async function sharedStrings(
  parts: PackageParts,
  workbook: string,
  pause: Pause,
): Promise<{ part: string; texts: readonly SharedString[] }> {
  const part = parts.relationsOf(workbook).find(({ type }) => type === "sharedStrings")?.target;
  if (part === undefined || !parts.has(part)) return { part: "", texts: [] };
  const texts: SharedString[] = [];
  let pieces: string[] = [];
  await parts.unpack(part, pause);
  const reading = walking(part, parts.text(part), {
    close(element) {
      // Readings in another script stand beside the text and are no part of it.
      if (element.name === "t" && element.parent?.name !== "rPh") pieces.push(element.text);
      if (element.name !== "si") return;
      texts.push({ element, text: pieces.join("") });
      pieces = [];
    },
  });
  await inSlices(reading, pause);
  return { part, texts };
}
