/**
 * A copy of the workbook, handed over: the file's own bytes, rewritten part by part. The estimator's workbook stays as
 * it is, and whatever is not a formula of ours stays as it was in the copy, charts, pictures and macros included.
 */
import { parameterSentence } from "../../../engine/parameters";
import { limitsOf, ruleOf } from "../../limits";
import type { WantedLimit } from "../../limits";
import type { Progress } from "../../progress";
import { pass } from "../../progress";
import { blockOf, cellAddress } from "../../reference";
import type { SheetCells } from "../../sheets";
import { isOurOwn } from "../../sheets";
import { WorkbookTrouble } from "../../trouble";
import { Knowledge } from "../knowledge";
import type { CellNote } from "../plan";
import { isKeptPiece } from "../originals";
import { planNative, planValues } from "../plan";
import { attributesOf, PackageParts } from "./package-parts";
import type { FileLimit } from "./sheet-part";
import { addLimits, asSheet, joinedTexts, readCells, rewriteCells, validatedRanges } from "./sheet-part";

export interface FileCopyOptions {
  /** The sheets to hand over; all of them where none is named. */
  readonly sheets?: readonly string[];
  readonly mode: "native formulas" | "values";
  /** Our own very hidden sheet is left out of the copy. */
  readonly withoutOurOwn?: boolean;
}

export interface FileCopy {
  readonly bytes: Uint8Array;
  readonly converted: number;
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly limits: number;
  /** Sheets with such a cell are in the copy as they were. */
  readonly stopped: readonly CellNote[];
}

interface FileSheet {
  readonly name: string;
  readonly tag: string;
  readonly relation: string;
  readonly part: string;
}

/** More sheets than this is no one's workbook. */
const mostSheets = 1_000;

const relationElement = /<(?:\w+:)?Relationship\b[^>]*>/g;
const sheetElement = /<(?:\w+:)?sheet\b[^>]*>/g;

function relationsOf(parts: PackageParts, of: string): ReadonlyMap<string, { type: string; target: string }> {
  const slash = of.lastIndexOf("/");
  const name = `${of.slice(0, slash + 1)}_rels/${of.slice(slash + 1)}.rels`;
  const folder = of.slice(0, slash + 1);
  if (!parts.has(name)) return new Map();
  return new Map(
    [...parts.text(name).matchAll(relationElement)].map(([tag]) => {
      const { Id = "", Type = "", Target = "" } = attributesOf(tag);
      const target = Target.startsWith("/") ? Target.slice(1) : folder + Target;
      return [Id, { type: Type.slice(Type.lastIndexOf("/") + 1), target }] as const;
    }),
  );
}

function workbookPart(parts: PackageParts): string {
  const root = [...relationsOf(parts, "").values()].find(({ type }) => type === "officeDocument");
  const name = root?.target ?? "xl/workbook.xml";
  if (!parts.has(name))
    throw new WorkbookTrouble("The file holds no workbook: choose an .xlsx or .xlsm file.");
  return name;
}

function sheetsOf(parts: PackageParts, workbook: string): readonly FileSheet[] {
  const relations = relationsOf(parts, workbook);
  const tags: string[] = [];
  for (const [tag] of parts.text(workbook).matchAll(sheetElement)) {
    if (tags.push(tag) > mostSheets) {
      throw new WorkbookTrouble(`The file lists more than ${mostSheets} sheets: it is not opened.`);
    }
  }
  return tags.flatMap((tag) => {
    const { name = "", id = "" } = attributesOf(tag);
    const relation = relations.get(id);
    return relation?.type === "worksheet" && parts.has(relation.target)
      ? [{ name, tag, relation: id, part: relation.target }]
      : [];
  });
}

const stringElement = /<((?:\w+:)?)si\b[^>]*?(?:\/>|>([\s\S]*?)<\/\1si>)/g;

function stringsPart(parts: PackageParts, workbook: string): string | undefined {
  const part = [...relationsOf(parts, workbook).values()].find(({ type }) => type === "sharedStrings");
  return part !== undefined && parts.has(part.target) ? part.target : undefined;
}

function sharedStrings(parts: PackageParts, workbook: string): readonly string[] {
  const part = stringsPart(parts, workbook);
  if (part === undefined) return [];
  return [...parts.text(part).matchAll(stringElement)].map(([, , inner = ""]) => joinedTexts(inner));
}

/** Empties the texts that only our own sheet held; they keep their places, which cells count by. */
function emptyKeptStrings(parts: PackageParts, workbook: string): void {
  const part = stringsPart(parts, workbook);
  if (part === undefined) return;
  parts.replace(
    part,
    parts
      .text(part)
      .replace(stringElement, (whole, prefix: string, inner = "") =>
        isKeptPiece(joinedTexts(String(inner))) ? `<${prefix}si><${prefix}t/></${prefix}si>` : whole,
      ),
  );
}

const overlap = (a: string, b: string): boolean => {
  const [one, other] = [blockOf(a), blockOf(b)];
  return (
    one !== undefined &&
    other !== undefined &&
    one.top <= other.bottom &&
    other.top <= one.bottom &&
    one.left <= other.right &&
    other.left <= one.right
  );
};

function fileLimit({ address, parameter }: WantedLimit): FileLimit {
  const rule = ruleOf(parameter, address.split(":")[0] ?? address);
  const message = parameterSentence(parameter).slice(0, 225);
  const choices = rule.list?.source;
  return typeof choices === "string"
    ? { address, message, rule: { list: choices } }
    : { address, message, rule: { formula: String(rule.custom?.formula ?? "") } };
}

/** A chain of calculation that names a cell without a formula is a damaged file: without one, a host makes its own. */
function dropCalculationChain(parts: PackageParts, workbook: string): void {
  const [id, chain] = [...relationsOf(parts, workbook)].find(([, { type }]) => type === "calcChain") ?? [];
  if (id === undefined || chain === undefined) return;
  removePart(parts, workbook, id, chain.target);
}

function removePart(parts: PackageParts, owner: string, relation: string, target: string): void {
  const slash = owner.lastIndexOf("/");
  const relations = `${owner.slice(0, slash + 1)}_rels/${owner.slice(slash + 1)}.rels`;
  const without = (text: string, element: RegExp, gone: (tag: string) => boolean) =>
    text.replace(element, (tag) => (gone(tag) ? "" : tag));
  parts.replace(
    relations,
    without(parts.text(relations), relationElement, (tag) => attributesOf(tag).Id === relation),
  );
  const types = "[Content_Types].xml";
  parts.replace(
    types,
    without(
      parts.text(types),
      /<(?:\w+:)?Override\b[^>]*>/g,
      (tag) => attributesOf(tag).PartName === `/${target}`,
    ),
  );
  parts.remove(target);
}

/** Takes a sheet of our own out: its part, its entry, and the places of the sheets behind it in the names. */
function dropSheet(parts: PackageParts, workbook: string, { tag, relation, part }: FileSheet): void {
  const text = parts.text(workbook);
  const index = [...text.matchAll(sheetElement)].findIndex(([one]) => one === tag);
  const shifted = (_whole: string, before: string, at: string, after: string): string =>
    `${before}${Number(at) > index ? Number(at) - 1 : Number(at)}${after}`;
  parts.replace(
    workbook,
    text
      .replace(tag, "")
      .replace(
        new RegExp(
          `<((?:\\w+:)?)definedName\\b[^>]*\\blocalSheetId="${index}"[^>]*>[\\s\\S]*?<\\/\\1definedName>`,
          "g",
        ),
        "",
      )
      .replace(/(\blocalSheetId=")(\d+)(")/g, shifted)
      .replace(/(\bactiveTab=")(\d+)(")/g, shifted),
  );
  removePart(parts, workbook, relation, part);
}

/** The handed-over copy of a workbook file. */
export function rewriteFile(bytes: Uint8Array, options: FileCopyOptions, progress: Progress): FileCopy {
  const parts = PackageParts.open(bytes);
  const workbook = workbookPart(parts);
  const sheets = sheetsOf(parts, workbook);
  const strings = sharedStrings(parts, workbook);
  const theirs = sheets.filter(({ name }) => !isOurOwn(name));
  const read = new Map<string, SheetCells>();
  for (const [i, { name, part }] of theirs.entries()) {
    pass(progress, i, theirs.length, `Reading ${name}`);
    read.set(name, asSheet(name, readCells(parts.text(part), strings)));
  }
  const knowledge = new Knowledge([...read.values()]);
  const chosen = theirs.filter(({ name }) => options.sheets?.includes(name) ?? true);
  const plans = chosen.flatMap((sheet) => {
    const cells = read.get(sheet.name);
    if (cells === undefined) return [];
    const plan =
      options.mode === "native formulas" ? planNative(cells, knowledge) : planValues(cells, knowledge);
    return [{ sheet, plan }];
  });
  const convertible = plans.filter(({ plan }) => plan.stopped.length === 0);
  let becameValues = false;
  for (const [i, { sheet, plan }] of convertible.entries()) {
    pass(progress, i, convertible.length, `Rewriting ${sheet.name}`);
    const rewritten = new Map(
      plan.conversions.map(({ row, column, native }) => [
        cellAddress(row, column),
        typeof native === "string" && native.startsWith("=") ? native : null,
      ]),
    );
    becameValues ||= [...rewritten.values()].includes(null);
    if (rewritten.size > 0) parts.replace(sheet.part, rewriteCells(parts.text(sheet.part), rewritten));
  }
  const limits = writeLimits(
    parts,
    theirs,
    knowledge,
    convertible.flatMap(({ plan }) => plan.inputs),
  );
  if (becameValues) dropCalculationChain(parts, workbook);
  if (options.withoutOurOwn === true) {
    for (const sheet of sheets.filter(({ name }) => isOurOwn(name))) dropSheet(parts, workbook, sheet);
    emptyKeptStrings(parts, workbook);
  }
  return {
    bytes: parts.close(),
    converted: convertible.flatMap(({ plan }) => plan.conversions).length,
    asValues: convertible.flatMap(({ plan }) => plan.asValues),
    unchecked: convertible.flatMap(({ plan }) => plan.unchecked),
    limits,
    stopped: plans.flatMap(({ plan }) => plan.stopped),
  };
}

function writeLimits(
  parts: PackageParts,
  sheets: readonly FileSheet[],
  knowledge: Knowledge,
  inputs: Parameters<typeof limitsOf>[0],
): number {
  const wanted = limitsOf(inputs, (home) => knowledge.from(home));
  let written = 0;
  for (const { name, part } of sheets) {
    const here = wanted.filter(({ sheet }) => sheet.toLowerCase() === name.toLowerCase());
    if (here.length === 0) continue;
    const xml = parts.text(part);
    const taken = validatedRanges(xml);
    const free = here.filter(({ address }) => !taken.some((range) => overlap(address, range)));
    if (free.length === 0) continue;
    parts.replace(part, addLimits(xml, free.map(fileLimit)));
    written += free.length;
  }
  return written;
}
