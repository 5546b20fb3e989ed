/**
 * A copy of the workbook, handed over: the file's own bytes, rewritten part by part. The estimator's workbook stays as
 * it is, and whatever is not a formula of ours stays as it was in the copy, charts, pictures and macros included.
 */
import { parameterSentence } from "../../../engine/parameters";
import { mayHoldCalls } from "../../calls";
import { findingLimits, ruleOf } from "../../limits";
import type { WantedLimit } from "../../limits";
import type { Pause, Progress } from "../../progress";
import { inSlices, slices } from "../../progress";
import { overlaps } from "../../reference";
import type { SheetCells } from "../../sheets";
import { isOurOwn } from "../../sheets";
import { WorkbookTrouble } from "../../trouble";
import type { CellNote, SheetPlan } from "../plan";
import { isKeptText } from "../earlier/originals";
import { planNative, planValues } from "../plan";
import { linesFor } from "../handed-list";
import { tooMuch } from "../too-much";
import type { HandOverWay } from "../ways";
import { handOverWays } from "../ways";
import { addNotes } from "./cell-notes";
import { FileKnowledge } from "./file-knowledge";
import { addingList } from "./list-part";
import { LooseFormulas, unreadable } from "./loose-formulas";
import { PackageParts } from "./package-parts";
import type { Settled, UnplannedCell } from "./settled";
import { notCalculated, settling, unsettled } from "./settled";
import type { FileCell, FileLimit } from "./sheet-part";
import { asSheet, SheetPart, withFilledCells } from "./sheet-part";
import type { FileSheet } from "./workbook-part";
import { isCalculatedOnLoad, sharedStrings, sheetsOf, workbookPart } from "./workbook-part";
import type { Splice, XmlElement } from "./xml";
import { childrenNamed, spliced, without } from "./xml";

export interface FileCopyOptions {
  /** The sheets to hand over; all of them where none is named. */
  readonly sheets?: readonly string[];
  readonly mode: HandOverWay | "values";
  /** Our own very hidden sheet is left out of the copy. */
  readonly withoutOurOwn?: boolean;
  /** A sheet that lists what was typed is added where the cells carry their originals. */
  readonly withList?: boolean;
}

export interface FileCopy {
  readonly bytes: Uint8Array;
  /** Macros go along; a host opens such a file from disk alone. */
  readonly hasMacros: boolean;
  readonly converted: number;
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly limits: number;
  /** Sheets with such a cell are in the copy as they were. */
  readonly stopped: readonly CellNote[];
  /** Formulas outside the cells that call our functions still: of names, formats, validations and charts. */
  readonly left: readonly CellNote[];
  /** Formulas outside the cells that are converted and cannot be brought back. */
  readonly bare: readonly CellNote[];
  /** The sheet that lists what was typed. */
  readonly list?: string;
}

/** Empties the texts that only our own sheet held; they keep their places, which cells count by. */
async function emptyKeptStrings(parts: PackageParts, workbook: string, pause: Pause): Promise<void> {
  const { part, texts } = await sharedStrings(parts, workbook, pause);
  const splices = texts
    .filter(({ text }) => isKeptText(text))
    .map(({ element: { start, end, prefix } }) => ({
      start,
      end,
      text: `<${prefix}si><${prefix}t/></${prefix}si>`,
    }));
  if (splices.length > 0) parts.replace(part, spliced(parts.text(part), splices));
}

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
  const chain = parts.relationsOf(workbook).find(({ type }) => type === "calcChain");
  if (chain !== undefined) parts.remove(workbook, chain);
}

/** Takes a sheet of our own out: its part, its entry, and the places of the sheets behind it in the names. */
function dropSheet(parts: PackageParts, workbook: string, name: string): void {
  const dropped = sheetsOf(parts, workbook).find((sheet) => sheet.name === name);
  if (dropped === undefined) return;
  const xml = parts.text(workbook);
  const all = childrenNamed(workbook, xml, "sheets", "sheet");
  const index = all.findIndex(({ start }) => start === dropped.element.start);
  const splices: Splice[] = [without(dropped.element)];
  const shift = (element: XmlElement, attribute: string): void => {
    const at = Number(element.attributes[attribute] ?? -1);
    if (at <= index) return;
    const tag = xml.slice(element.start, element.inside);
    const text = tag.replace(new RegExp(`(\\s${attribute}\\s*=\\s*["'])\\d+`), `$1${at - 1}`);
    splices.push({ start: element.start, end: element.inside, text });
  };
  const names = childrenNamed(workbook, xml, "definedNames", "definedName");
  for (const element of names) {
    if (element.attributes.localSheetId === String(index)) splices.push(without(element));
    else shift(element, "localSheetId");
  }
  for (const view of childrenNamed(workbook, xml, "bookViews", "workbookView")) shift(view, "activeTab");
  parts.replace(workbook, spliced(xml, splices));
  parts.remove(workbook, dropped.relation);
}

interface ReadSheet {
  readonly sheet: FileSheet;
  readonly part: SheetPart;
  readonly held: readonly FileCell[];
  readonly cells: SheetCells;
}

interface Planned extends ReadSheet, Settled {}

/** What a cell says of itself whose value nothing works out any more. */
const staysText = (why: string): string =>
  `This no longer follows all of its inputs: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;

/** Cells that are looked at or written at a time, in a few milliseconds. */
const cellsAtATime = 500;

/** Rows of a sheet that are planned at a time. */
const rowsAtATime = 20;

const comesBack = (mode: FileCopyOptions["mode"]): boolean =>
  mode !== "values" && handOverWays[mode].comesBack;

const planOf = (mode: FileCopyOptions["mode"], cells: SheetCells, knowledge: FileKnowledge): SheetPlan =>
  mode === "values" ? planValues(cells, knowledge) : planNative(cells, knowledge, comesBack(mode));

/** A sheet's plan, made of few rows at a time. */
async function planned(
  cells: SheetCells,
  knowledge: FileKnowledge,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<SheetPlan> {
  const plans: SheetPlan[] = [];
  for (let from = 0; from < cells.rows.length; from += rowsAtATime) {
    await pause(from, cells.rows.length);
    const rows = cells.rows.slice(from, from + rowsAtATime);
    plans.push(planOf(mode, { ...cells, top: cells.top + from, rows }, knowledge));
  }
  return {
    conversions: plans.flatMap(({ conversions }) => conversions),
    inputs: plans.flatMap(({ inputs }) => inputs),
    asValues: plans.flatMap(({ asValues }) => asValues),
    unchecked: plans.flatMap(({ unchecked }) => unchecked),
    stopped: plans.flatMap(({ stopped }) => stopped),
  };
}

async function readParts(
  parts: PackageParts,
  sheets: readonly FileSheet[],
  strings: readonly string[],
  isStale: boolean,
  progress: Progress,
): Promise<readonly ReadSheet[]> {
  const read: ReadSheet[] = [];
  for (const sheet of sheets) {
    const pause = slices(progress, `Reading ${sheet.name}`);
    await parts.unpack(sheet.part, pause);
    const part = await inSlices(SheetPart.reading(sheet.part, parts.text(sheet.part), strings), pause);
    const held = isStale
      ? part.cells.map((cell) => (cell.formula === "" ? cell : { ...cell, value: null }))
      : part.cells;
    await pause(1, 1);
    read.push({ sheet, part, held, cells: asSheet(sheet.name, held, notCalculated) });
  }
  return read;
}

async function plannedSheet(
  read: ReadSheet,
  knowledge: FileKnowledge,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<Planned> {
  const { sheet, held, cells } = read;
  const kept = async (why: (formula: string) => string | undefined): Promise<readonly UnplannedCell[]> => {
    const found: UnplannedCell[] = [];
    for (const [i, cell] of held.entries()) {
      if (i % cellsAtATime === 0) await pause(i, held.length);
      const reason = mayHoldCalls(cell.formula) ? why(cell.formula) : undefined;
      if (reason !== undefined) found.push({ ...cell, why: reason });
    }
    return found;
  };
  const unplanned = await kept(tooMuch);
  if (unplanned.length > 0) return { ...read, ...unsettled(sheet.name, unplanned) };
  try {
    const plan = await planned(cells, knowledge, mode, pause);
    return { ...read, ...(await inSlices(settling(sheet.name, plan, held), pause)) };
  } catch (error) {
    // Asked only now: reading every formula once more to be sure would cost as much as the plan.
    if (!(error instanceof SyntaxError)) throw error;
    return { ...read, ...unsettled(sheet.name, await kept(unreadable)) };
  }
}

/** Writes what was settled into a sheet's part. */
async function writeCells(
  { sheet, part, writes }: Planned,
  loose: LooseFormulas,
  pause: Pause,
): Promise<void> {
  for (const [i, { row, column, native, partOfSpill }] of writes.entries()) {
    if (i % cellsAtATime === 0) await pause(i, writes.length);
    if (typeof native === "string" && native.startsWith("="))
      part.putFormula(row, column, native, partOfSpill);
    else part.putValue(row, column, native);
  }
  loose.inSheet(sheet.name, part.looseFormulas, (one, native) => part.putLoose(one, native));
}

/** The handed-over copy of a workbook file, made in slices: it can be stopped at any time, and nothing is half made. */
export async function rewriteFile(
  bytes: Uint8Array,
  options: FileCopyOptions,
  progress: Progress,
): Promise<FileCopy> {
  const reading = slices(progress, "Reading the file");
  const parts = PackageParts.open(bytes);
  const workbook = workbookPart(parts);
  const sheets = sheetsOf(parts, workbook);
  const isStale = isCalculatedOnLoad(parts, workbook);
  if (isStale && options.mode === "values") {
    throw new WorkbookTrouble(
      "The values in the file are not calculated yet: open it in Excel, save it, then hand over as values.",
    );
  }
  await reading(0, 1);
  const strings = (await sharedStrings(parts, workbook, reading)).texts.map(({ text }) => text);
  const all = await readParts(parts, sheets, strings, isStale, progress);
  const isOurs = ({ sheet, cells }: ReadSheet): boolean =>
    isOurOwn(sheet.name, cells.top + cells.left === 0 ? cells.rows[0]?.[0]?.value : undefined);
  const read = all.filter((one) => !isOurs(one));
  const knowledge = new FileKnowledge(read.map(({ cells, held }) => withFilledCells(cells, held)));
  const chosen = read.filter(({ sheet }) => options.sheets?.includes(sheet.name) ?? true);
  const plans: Planned[] = [];
  for (const one of chosen)
    plans.push(
      await plannedSheet(one, knowledge, options.mode, slices(progress, `Converting ${one.sheet.name}`)),
    );
  const convertible = plans.filter(({ plan }) => plan.stopped.length === 0);
  const loose = new LooseFormulas(comesBack(options.mode));
  for (const one of convertible)
    await writeCells(one, loose, slices(progress, `Rewriting ${one.sheet.name}`));
  const writing = slices(progress, "Writing the file");
  const inputs = convertible.flatMap(({ plan }) => plan.inputs);
  const wanted = await inSlices(
    findingLimits(inputs, (home) => knowledge.from(home)),
    writing,
  );
  const limits = addLimits(read, wanted);
  for (const { part, plan } of convertible) {
    const frozen = plan.asValues.filter(({ isFrozen }) => isFrozen);
    addNotes(parts, part, [
      ...frozen.map(({ address, note }) => ({ address, text: staysText(note) })),
      ...plan.unchecked
        .filter(({ isPlainer }) => isPlainer)
        .map(({ address, note }) => ({ address, text: note })),
    ]);
  }
  const changed = read.filter(({ part }) => part.isChanged);
  for (const [i, { sheet, part }] of changed.entries()) {
    await writing(i, changed.length);
    parts.replace(sheet.part, part.text);
  }
  rewriteAround(parts, workbook, convertible, loose, options.mode === "values");
  if (changed.length > 0) dropCalculationChain(parts, workbook);
  if (options.withoutOurOwn === true) {
    for (const one of all) if (isOurs(one)) dropSheet(parts, workbook, one.sheet.name);
    await emptyKeptStrings(parts, workbook, writing);
  }
  const isListed = options.withList === true && comesBack(options.mode);
  const list = isListed ? await listed(parts, workbook, convertible, progress) : undefined;
  return {
    bytes: await parts.close(writing),
    hasMacros: /macroEnabled/i.test(parts.contentTypeOf(workbook)),
    converted: convertible.flatMap(({ writes }) => writes).length,
    asValues: convertible.flatMap(({ plan }) => plan.asValues),
    unchecked: convertible.flatMap(({ plan }) => plan.unchecked),
    limits,
    stopped: plans.flatMap(({ plan }) => plan.stopped),
    left: loose.left,
    bare: loose.bare,
    ...(list === undefined ? {} : { list }),
  };
}

/** Adds the list of what was typed into the sheets that are handed over, if any is. */
async function listed(
  parts: PackageParts,
  workbook: string,
  handed: readonly Planned[],
  progress: Progress,
): Promise<string | undefined> {
  const pause = slices(progress, "Listing what was typed");
  const converted = handed.filter(({ writes }) => writes.length > 0);
  if (converted.length === 0) return undefined;
  const lines = await inSlices(
    linesFor(
      converted.map(({ held, cells }) => withFilledCells(cells, held)),
      converted.flatMap(({ sheet: { name }, writes }) => writes.map((write) => ({ ...write, sheet: name }))),
    ),
    pause,
  );
  return inSlices(addingList(parts, workbook, lines), pause);
}

/** Names, tables and charts of the sheets that are handed over. */
function rewriteAround(
  parts: PackageParts,
  workbook: string,
  handed: readonly Planned[],
  loose: LooseFormulas,
  asValues: boolean,
): void {
  const order = childrenNamed(workbook, parts.text(workbook), "sheets", "sheet");
  const isHanded = (name: string | undefined): boolean => handed.some(({ sheet }) => sheet.name === name);
  loose.inNames(parts, workbook, (index) => {
    const name = order[index]?.attributes.name;
    return isHanded(name) ? name : undefined;
  });
  for (const { sheet } of handed) {
    for (const { type, target } of parts.relationsOf(sheet.part)) {
      if (!parts.has(target)) continue;
      if (type === "table") loose.inTable(parts, target, sheet.name, asValues);
      if (type !== "drawing") continue;
      for (const { type: drawn, target: chart } of parts.relationsOf(target))
        if (drawn === "chart" && parts.has(chart)) loose.inChart(parts, chart, sheet.name);
    }
  }
}

/** Answers with how many there was room for: a limit of the estimator's own stays. */
function addLimits(
  sheets: readonly { readonly sheet: FileSheet; readonly part: SheetPart }[],
  wanted: readonly WantedLimit[],
): number {
  let written = 0;
  for (const { sheet, part } of sheets) {
    const here = wanted.filter((limit) => limit.sheet.toLowerCase() === sheet.name.toLowerCase());
    const free = here.filter(
      ({ address }) => !part.validatedRanges.some((range) => overlaps(address, range)),
    );
    part.addLimits(free.map(fileLimit));
    written += free.length;
  }
  return written;
}
