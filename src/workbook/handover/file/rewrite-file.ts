/**
 * A copy of the workbook, handed over: the file's own bytes, rewritten part by part. The estimator's workbook stays as
 * it is, and whatever is not a formula of ours stays as it was in the copy, charts, pictures and macros included.
 */
import { addAll } from "../../../engine/lists";
import { parameterSentence } from "../../../engine/parameters";
import { mayHoldCalls, spillingCall, tooMuch } from "../../formulas";
import { findingLimits, mostAlert, ruleOf, wholeSentences } from "../../writing";
import type { WantedLimit } from "../../marks";
import type { Block, CellNote, Pause, Progress, SheetCells } from "../../host";
import { blockOf, cellAddress, inSlices, isOurOwn, slices, WorkbookTrouble } from "../../host";
import { whyForGood, whyOutward } from "../outward";
import type { SheetPlan } from "../plan";
import { isKeptText } from "../earlier/originals";
import { planNative, planValues } from "../plan";
import type { Line } from "../handed-list";
import { linesFor } from "../handed-list";
import type { HandOverWay } from "../ways";
import { ways } from "../ways";
import { addNotes } from "./cell-notes";
import { FileKnowledge } from "./file-knowledge";
import { FilledDown } from "./filled-down";
import { addingList } from "./list-part";
import { LooseFormulas, unreadable } from "./loose-formulas";
import { PackageParts } from "./package-parts";
import type { Settled, UnplannedCell } from "./settled";
import { notCalculated, settling, unsettled } from "./settled";
import type { FileCell, Texts } from "./cell-store";
import { contentIn } from "./cell-store";
import type { FileLimit } from "./sheet-part";
import { SheetPart } from "./sheet-part";
import type { ReadOptions } from "./sheet-reader";
import { TimeLooks } from "./time-looks";
import type { FileSheet } from "./workbook-part";
import {
  calculateOnLoad,
  emptySharedTexts,
  isCalculatedOnLoad,
  readingSharedTexts,
  sheetsOf,
  workbookPart,
} from "./workbook-part";
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
  /** Formulas outside the cells that are native now: of names, formats, validations and charts. */
  readonly convertedElsewhere: number;
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly limits: number;
  /** Sheets with such a cell are in the copy as they were. */
  readonly stopped: readonly CellNote[];
  /** Formulas that stay as they were: of another workbook, and of names, formats, validations and charts without a native form. */
  readonly left: readonly CellNote[];
  /** Formulas that are converted and are not brought back. */
  readonly bare: readonly CellNote[];
  /** The sheet that lists what was typed. */
  readonly list?: string;
}

function fileLimit({ parameter }: WantedLimit, blocks: readonly Block[]): FileLimit {
  const [first] = blocks;
  const rule = ruleOf(parameter, cellAddress(first?.top ?? 0, first?.left ?? 0));
  const message = wholeSentences([parameterSentence(parameter)], mostAlert);
  const choices = rule.list?.source;
  return typeof choices === "string"
    ? { blocks, message, rule: { list: choices } }
    : { blocks, message, rule: { formula: String(rule.custom?.formula ?? "") } };
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
}

interface Planned extends ReadSheet, Settled {
  /** Formulas of others that become what they show. */
  readonly plain: number;
  /** Formulas that read or call something of another workbook, which stay as they are. */
  readonly elsewhere: readonly CellNote[];
  /** Calls of ours that are handed over and not brought back. */
  readonly forGood: readonly CellNote[];
}

/** What a cell says of itself whose value nothing works out any more. */
const staysText = (why: string): string =>
  `This no longer follows all of its inputs: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;

/** Cells that are looked at or written at a time, in a few milliseconds. */
const cellsAtATime = 500;

/** Formulas of a sheet that are planned at a time; fewer where they are long. */
const formulasAtATime = 20;
const charactersAtATime = 2_000;

const comesBack = (mode: FileCopyOptions["mode"]): boolean => mode !== "values" && ways[mode].comesBack;

const planOf = (mode: FileCopyOptions["mode"], cells: SheetCells, knowledge: FileKnowledge): SheetPlan =>
  mode === "values" ? planValues(cells, knowledge) : planNative(cells, knowledge, comesBack(mode));

/** The formulas that are asked for by their text: ours, and others' where it is told what they read or show. */
const keepsFormulas = ({ mode, withList }: FileCopyOptions): ReadOptions => ({
  keepsLooks: withList === true && comesBack(mode),
  keeps: (formula, isUnanswered) =>
    (withList === true && comesBack(mode)) ||
    (mode === "values" && isUnanswered) ||
    mayHoldCalls(formula) ||
    whyOutward(formula) !== undefined,
});

/** One cell of a sheet, as the plan reads it. */
function sheetOf(
  name: string,
  { row, column, formula, value, isError }: FileCell,
  width: number,
): SheetCells {
  const content = value === null ? { formula, value: notCalculated } : contentIn({ formula, value, isError });
  return { name, top: row, left: column, width, rows: [[content]] };
}

/** A sheet's plan, made of few formulas at a time. */
async function planned(
  { sheet: { name }, part: { held } }: ReadSheet,
  wanted: readonly number[],
  knowledge: FileKnowledge,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<SheetPlan> {
  const all = { conversions: [], inputs: [], asValues: [], unchecked: [], stopped: [] } satisfies SheetPlan;
  const alone = (cell: FileCell): SheetPlan => planOf(mode, sheetOf(name, cell, held.width), knowledge);
  const filled = new FilledDown(name, knowledge, alone, (formula) => spillingCall(formula) !== undefined);
  let formulas = 0;
  let characters = 0;
  for (const [at, i] of wanted.entries()) {
    const cell = held.at(i);
    const plan = mode === "values" ? alone(cell) : filled.plan(cell);
    for (const kind of Object.keys(all) as (keyof typeof all)[]) addAll<unknown>(all[kind], plan[kind]);
    characters += cell.formula.length;
    if (++formulas < formulasAtATime && characters < charactersAtATime) continue;
    [formulas, characters] = [0, 0];
    await pause(at, wanted.length);
  }
  return all;
}

async function readParts(
  parts: PackageParts,
  sheets: readonly FileSheet[],
  strings: Texts,
  isStale: boolean,
  options: FileCopyOptions,
  progress: Progress,
): Promise<readonly ReadSheet[]> {
  const read: ReadSheet[] = [];
  for (const sheet of sheets) {
    const pause = slices(progress, `Reading ${sheet.name}`);
    const reading = SheetPart.reading(sheet.part, parts.reading(sheet.part), strings, keepsFormulas(options));
    const part = await inSlices(reading, pause);
    part.held.isStale = isStale;
    await pause(1, 1);
    read.push({ sheet, part });
  }
  return read;
}

interface FoundFormulas extends Pick<Planned, "plain" | "elsewhere" | "forGood"> {
  /** The cells with a formula that is to be planned, by number. */
  readonly wanted: readonly number[];
}

/** No one's sheet calls our functions as often. */
const mostCalls = 300_000;

const tooManyCalls = `The sheet calls our functions more than ${mostCalls.toLocaleString("en-US")} times, this being the first: spread it over several workbooks, then hand over.`;

/** Of what stops a sheet no more is told. */
const mostStopped = 1_000;

/** Why the function of a call is not brought back, of a formula that holds one. */
const whyNotBack = (formula: string): string | undefined =>
  mayHoldCalls(formula) ? whyForGood(formula) : undefined;

/** What formulas a sheet has: calls that may be ours, what is another workbook's, and in values the formulas of others. */
async function formulasOf(
  { sheet, part: { held } }: ReadSheet,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<FoundFormulas> {
  const wanted: number[] = [];
  const [elsewhere, forGood]: [CellNote[], CellNote[]] = [[], []];
  let [plain, unanswered] = [0, 0];
  for (let i = 0; i < held.length; i++) {
    if (i % cellsAtATime === 0) await pause(i, held.length);
    if (!held.hasFormula(i)) continue;
    const { row, column, formula, value, isError } = held.at(i);
    if (mayHoldCalls(formula)) wanted.push(i);
    else if (mode === "values" && !isError && value !== null) plain++;
    else if (mode === "values" && unanswered++ < mostStopped) wanted.push(i);
    if (mode === "values") continue;
    const [stays, taken] = [whyOutward(formula), comesBack(mode) ? whyNotBack(formula) : undefined];
    const note = stays ?? taken;
    if (note !== undefined)
      (stays === undefined ? forGood : elsewhere).push({
        ...{ sheet: sheet.name, address: cellAddress(row, column), formula, note },
      });
  }
  return { wanted, elsewhere, forGood, plain };
}

async function plannedSheet(
  read: ReadSheet,
  knowledge: FileKnowledge,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<Planned> {
  const { sheet, part } = read;
  const { held } = part;
  const { wanted, ...others } = await formulasOf(read, mode, pause);
  const kept = async (why: (formula: string) => string | undefined): Promise<readonly UnplannedCell[]> => {
    const found: UnplannedCell[] = [];
    for (const [at, i] of wanted.entries()) {
      if (at % cellsAtATime === 0) await pause(at, wanted.length);
      const cell = held.at(i);
      const reason = mayHoldCalls(cell.formula) ? why(cell.formula) : undefined;
      if (reason !== undefined) found.push({ ...cell, why: reason });
    }
    return found;
  };
  const settled = async (): Promise<Settled> => {
    if (wanted.length > mostCalls)
      return unsettled(sheet.name, [{ ...held.at(wanted[0] ?? 0), why: tooManyCalls }]);
    const unplanned = await kept(tooMuch);
    if (unplanned.length > 0) return unsettled(sheet.name, unplanned);
    try {
      const plan = await planned(read, wanted, knowledge, mode, pause);
      return await inSlices(settling(sheet.name, plan, held), pause);
    } catch (error) {
      // Asked only now: reading every formula once more to be sure would cost as much as the plan.
      if (!(error instanceof SyntaxError)) throw error;
      return unsettled(sheet.name, await kept(unreadable));
    }
  };
  return { ...read, ...(await settled()), ...others };
}

/** Writes what was settled into a sheet's part. */
async function writeCells(
  { sheet, part, writes }: Planned,
  loose: LooseFormulas,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<void> {
  for (const [i, { row, column, native, isValue, partOfSpill }] of writes.entries()) {
    if (i % cellsAtATime === 0) await pause(i, writes.length);
    if (!isValue && typeof native === "string" && native.startsWith("="))
      part.putFormula(row, column, native, partOfSpill);
    else part.putValue(row, column, native);
  }
  if (mode === "values") part.dropFormulas();
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
  let holdsKept = false;
  const noticing = (text: string): void => {
    if (isKeptText(text)) holdsKept = true;
  };
  const strings = await inSlices(readingSharedTexts(parts, workbook, noticing), reading);
  const all = await readParts(parts, sheets, strings, isStale, options, progress);
  const isOurs = ({ sheet, part }: ReadSheet): boolean => isOurOwn(sheet.name, part.held.find(0, 0)?.value);
  const read = all.filter((one) => !isOurs(one));
  const knowledge = new FileKnowledge(read.map(({ sheet, part: { held } }) => ({ name: sheet.name, held })));
  const chosen = read.filter(({ sheet }) => options.sheets?.includes(sheet.name) ?? true);
  const plans: Planned[] = [];
  for (const one of chosen)
    plans.push(
      await plannedSheet(one, knowledge, options.mode, slices(progress, `Converting ${one.sheet.name}`)),
    );
  const convertible = plans.filter(({ plan }) => plan.stopped.length === 0);
  const loose = new LooseFormulas(comesBack(options.mode));
  for (const one of convertible)
    await writeCells(one, loose, options.mode, slices(progress, `Rewriting ${one.sheet.name}`));
  const writing = slices(progress, "Writing the file");
  const inputs = convertible.flatMap(({ plan }) => plan.inputs);
  const wanted = await inSlices(
    findingLimits(inputs, (home) => knowledge.from(home)),
    writing,
  );
  const limits = await addLimits(read, wanted, writing);
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
  for (const { sheet, part } of changed) parts.rewrite(sheet.part, (text) => part.rewritten(text));
  rewriteAround(parts, workbook, convertible, loose, options.mode === "values");
  if (changed.length > 0) dropCalculationChain(parts, workbook);
  if (changed.some(({ part }) => part.wantsCalculation)) calculateOnLoad(parts, workbook);
  if (options.withoutOurOwn === true) {
    for (const one of all) if (isOurs(one)) dropSheet(parts, workbook, one.sheet.name);
    if (holdsKept) emptySharedTexts(parts, workbook, isKeptText);
  }
  const isListed = options.withList === true && comesBack(options.mode);
  const isTooLong = isListed && !isListable(convertible);
  const list = isListed && !isTooLong ? await listed(parts, workbook, convertible, progress) : undefined;
  for (const { part } of all) part.held.forget();
  return {
    bytes: await parts.close(writing),
    hasMacros: /macroEnabled/i.test(parts.contentTypeOf(workbook)),
    converted: convertible.reduce((sum, { writes, plain }) => sum + writes.length + plain, 0),
    convertedElsewhere: loose.converted,
    asValues: convertible.flatMap(({ plan }) => plan.asValues),
    unchecked: convertible.flatMap(({ plan }) => plan.unchecked),
    limits,
    stopped: plans.flatMap(({ plan }) => plan.stopped),
    left: [
      ...convertible.flatMap(({ elsewhere }) => elsewhere),
      ...loose.left,
      ...(isTooLong ? [noList] : []),
    ],
    bare: [...convertible.flatMap(({ forGood }) => forGood), ...loose.bare],
    ...(list === undefined ? {} : { list }),
  };
}

/** Filled cells that a list is made of: it holds each of them, and what a formula reads, at once. */
const mostListed = 400_000;

const isListable = (sheets: readonly ReadSheet[]): boolean =>
  sheets.reduce((sum, { part: { held } }) => sum + held.length, 0) <= mostListed;

const noList: CellNote = {
  sheet: "",
  address: "list of what was typed",
  formula: "",
  note: `Left out: the sheets hold more than ${mostListed.toLocaleString("en-US")} filled cells. The functions come back without it.`,
};

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
      converted.map(({ sheet: { name }, part: { held } }) => held.asSheet(name, notCalculated)),
      converted.flatMap(({ sheet: { name }, writes }) => writes.map((write) => ({ ...write, sheet: name }))),
    ),
    pause,
  );
  const looks = new TimeLooks(parts, workbook);
  const stores = new Map(converted.map(({ sheet: { name }, part: { held } }) => [name, held]));
  const lookOf = ({ cells: [sheet, cell, held] }: Line): number | undefined => {
    const place = typeof held === "number" ? blockOf(cell) : undefined;
    return place === undefined
      ? undefined
      : looks.like(stores.get(sheet)?.lookOf(place.top, place.left) ?? 0);
  };
  const list = await inSlices(addingList(parts, workbook, lines, lookOf), pause);
  looks.write();
  return list;
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

/** Limits that are placed at a time, in a few milliseconds. */
const limitsAtATime = 100;

/** Answers with how many there was room for: a cell has one rule, and one of the estimator's own stays. */
async function addLimits(
  sheets: readonly ReadSheet[],
  wanted: readonly WantedLimit[],
  pause: Pause,
): Promise<number> {
  const byName = new Map(sheets.map(({ sheet, part }) => [sheet.name.toLowerCase(), part]));
  let written = 0;
  for (const [i, limit] of wanted.entries()) {
    if (i % limitsAtATime === 0) await pause(i, wanted.length);
    const part = byName.get(limit.sheet.toLowerCase());
    const block = blockOf(limit.address);
    if (part === undefined || block === undefined) continue;
    const free = part.validated.free(block);
    if (free.length === 0) continue;
    for (const one of free) part.validated.add(one);
    part.addLimit(fileLimit(limit, free));
    written++;
  }
  return written;
}
