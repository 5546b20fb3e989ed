/**
 * Handing a sheet over: every call of our functions becomes plain worksheet arithmetic, and comes back exactly. Each
 * cell carries its own original, so that it survives whoever edits the file.
 */
import { mayHoldCalls } from "./calls";
import { mentionsCarrier } from "./handover/carrier";
import type { CellChange } from "./handover/change-set";
import { ChangeSet } from "./handover/change-set";
import { readEarlierEdition } from "./handover/earlier/originals";
import { earlierReturn } from "./handover/earlier/return-earlier";
import { stillHanded } from "./handover/earlier/sort-earlier";
import type { CellEdit } from "./handover/handed-list";
import {
  changesSince,
  isHandedList,
  isUntouchedList,
  linesFor,
  listingWhat,
  writeHandedList,
} from "./handover/handed-list";
import { Knowledge } from "./handover/knowledge";
import { namesToHand, returningNames, writeNames } from "./handover/names";
import type { CellNote, Conversion, SheetPlan } from "./handover/plan";
import { NativePlan } from "./handover/plan";
import type { CellPlace } from "./handover/place";
import { placeKey } from "./handover/place";
import { Contents } from "./handover/proof";
import type { PutBack } from "./handover/put-right";
import { putRight } from "./handover/put-right";
import { returningRules, rulesBack, rulesToHand, writeRules } from "./handover/rules/hand-rules";
import type { EditedCell, HandedCell } from "./handover/sort-out";
import { sortedOut } from "./handover/sort-out";
import { addValueNotes, ourNotes, removeValueNotes } from "./handover/value-notes";
import { readInWorkbook, Trust } from "./handover/trusted";
import type { HandOverWay } from "./handover/ways";
import { handOverWays } from "./handover/ways";
import type { WantedLimit } from "./limits";
import { findingLimits, ourLimits, readValidations, removeLimits, writeLimits } from "./limits";
import type { Pieces, Progress } from "./progress";
import { inSlices, pass, slices, Stopped, untold } from "./progress";
import type { Place } from "./reference";
import { blockOf, cellAddress, overlaps, qualified } from "./reference";
import { inWorkbook, refuseProtected } from "./session";
import type { SheetCells } from "./sheets";
import { formulaCells, readCalculatedSheets, readSheets } from "./sheets";
import { asSentence } from "./trouble";
import { asWork, stepsBack } from "./work/as-work";
import type { Mark, Step } from "./work/mark";
import type { CarriersBack } from "./work/steps";
import { sheetsThere } from "./work/steps";

export type { CellEdit, ChangeKind } from "./handover/handed-list";
export type { CellNote } from "./handover/plan";
export type { HandOverWay } from "./handover/ways";
export { handOverWays } from "./handover/ways";

export interface SheetState {
  readonly name: string;
  /** Cells that hold our functions. */
  readonly calls: number;
  /** Cells that are native now, with their originals kept. */
  readonly handedOver: number;
}

export interface HandOverReport {
  readonly converted: number;
  /** Cells where a function without a native form became its value. */
  readonly asValues: readonly CellNote[];
  /** Ranges of input cells that were given the limits that the functions had watched over. */
  readonly limits: number;
  readonly unchecked: readonly CellNote[];
  /** Cells that cannot be converted: their whole sheet was left as it was. */
  readonly stopped: readonly CellNote[];
  /** Cells whose native form did not show what the function had shown: they have their function still. */
  readonly putBack: readonly CellNote[];
  /** Rules of conditional formats and limits that are native now. */
  readonly rules: number;
  /** Names and rules whose formulas have no native form: left as they were. */
  readonly left: readonly CellNote[];
  /** Names and rules that are native now and cannot be brought back. */
  readonly bare: readonly CellNote[];
  /** Cells that somebody wrote to while they were handed over: they are as those left them. */
  readonly meanwhile: readonly CellNote[];
  /** The sheet that lists what was typed, or why there is none. */
  readonly list?: { readonly sheet: string } | { readonly why: string };
}

export interface BringBackReport {
  readonly restored: number;
  /** Cells that were edited since the hand-over and are left as they are, unless they were asked for. */
  readonly changed: readonly CellNote[];
  /** Cells whose original is not put back in any case. */
  readonly foreign: readonly CellNote[];
  /** What else is to be said, in sentences. */
  readonly notes: readonly string[];
  /** Names that have their formula back. */
  readonly names?: readonly string[];
  /** Rules of conditional formats and limits that have their functions back, by their places. */
  readonly rules?: readonly string[];
}

/** The sheets with how many of their cells hold our functions, or did. */
export const sheetStates = (): Promise<readonly SheetState[]> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context);
    const earlier = await readEarlierEdition(context);
    return sheets
      .filter((sheet) => !isHandedList(sheet))
      .map((sheet) => {
        const formulas = formulaCells(sheet).map(({ formula }) => formula);
        return {
          name: sheet.name,
          calls: formulas.filter(mayHoldCalls).length,
          handedOver: formulas.filter(mentionsCarrier).length + stillHanded(earlier?.formulas ?? [], sheet),
        };
      });
  });

async function planned(
  chosen: readonly SheetCells[],
  knowledge: Knowledge,
  comesBack: boolean,
  progress: Progress,
): Promise<readonly SheetPlan[]> {
  const pause = slices(progress, "Writing the formulas anew");
  const plans: SheetPlan[] = [];
  for (const sheet of chosen) {
    const plan = new NativePlan(sheet, knowledge, comesBack);
    const cells = formulaCells(sheet);
    for (const [i, cell] of cells.entries()) {
      plan.add(cell);
      await pause(i, cells.length);
    }
    plans.push(plan.done);
  }
  return plans;
}

/** How often it is planned anew where somebody edits the sheets meanwhile. */
const rounds = 3;

/** One going over the sheets: what it was planned from, and what came of it. */
interface Round {
  readonly sheets: readonly SheetCells[];
  readonly handed: readonly Conversion[];
  readonly report: HandOverReport;
  /** Cells that somebody wrote to meanwhile. */
  readonly left: readonly Conversion[];
}

/** The first of a formula's cells, as the key of them all: they are written all or none. */
function grouped(conversions: readonly Conversion[], sheets: readonly SheetCells[]): readonly CellChange[] {
  const held = new Contents(sheets);
  let group = "";
  return conversions.map(({ original, native, sheet, row, column }, i): CellChange => {
    const isPart = original === "";
    if (!isPart) group = placeKey({ sheet, row, column });
    const fills = isPart || conversions[i + 1]?.original === "";
    return {
      ...{ sheet, row, column, before: original, after: native },
      ...(fills ? { group } : {}),
      ...(isPart ? { shows: held.at({ sheet, row, column }).value } : {}),
    };
  });
}

/** Goes over the sheets once. */
async function handOnce(
  context: Excel.RequestContext,
  mark: Mark,
  names: readonly string[],
  way: HandOverWay,
  progress: Progress,
): Promise<Round> {
  progress.report(0, 1, "Reading the workbook");
  const sheets = await readCalculatedSheets(context, progress);
  const knowledge = new Knowledge(sheets);
  const { comesBack } = handOverWays[way];
  const chosen = sheets.filter((sheet) => names.includes(sheet.name) && !isHandedList(sheet));
  const plans = await planned(chosen, knowledge, comesBack, progress);
  const convertible = plans.filter(({ stopped }) => stopped.length === 0);
  const conversions = convertible.flatMap((plan) => plan.conversions);
  const asValues = convertible.flatMap((plan) => plan.asValues);
  const unchecked = convertible.flatMap((plan) => plan.unchecked);

  const inputs = convertible.flatMap((plan) => plan.inputs);
  const finding = findingLimits(inputs, (home) => knowledge.from(home));
  const wanted = await inSlices(finding, slices(progress, "Finding the limits of inputs"));
  const limits: readonly WantedLimit[] = await readValidations(context, wanted);
  const open = chosen.filter((_, i) => plans[i]?.stopped.length === 0).map(({ name }) => name);
  const ruled = await rulesToHand(context, open, comesBack);
  const changed = [...conversions, ...ruled.handed.map(({ rule }) => rule)];
  await refuseProtected(context, [...changed, ...limits]);
  const named = await namesToHand(context, [...new Set(changed.map(({ sheet }) => sheet))], comesBack);
  pass(progress, 0, conversions.length, writingNatively);
  let putBack: readonly PutBack[] = [];
  let left: readonly Conversion[] = [];
  let handed: readonly Conversion[] = [];
  let refused: readonly CellNote[] = [];
  if (changed.length > 0) {
    const change = await ChangeSet.begin(context);
    const changes = grouped(conversions, sheets);
    await mark.step({ kind: "limits", limits: limits.map((one) => placeIn(change, one)) });
    await writeLimits(context, limits);
    if (comesBack) await mark.step(carriersOf(change, chosen));
    else await change.mark(mark, changes);
    const leftAt = await change.write(changes, progress, writingNatively);
    left = conversions.filter((one) => leftAt.has(placeKey(one)));
    const written = conversions.filter((one) => !leftAt.has(placeKey(one)));
    await writeNames(context, change, mark, named.handed);
    refused = await writeRules(context, change, mark, ruled.handed, progress);
    const disturbed = new Set(left.map(({ sheet }) => sheet));
    putBack = await putRight(context, change, written, sheets, disturbed, progress);
    const taken = new Set(putBack.flatMap(({ cells }) => cells).map(placeKey));
    handed = written.filter((one) => !taken.has(placeKey(one)));
    const isIn = new Set(
      handed.map(({ sheet, row, column }) => qualified({ sheet, address: cellAddress(row, column) })),
    );
    const told = [asValues, unchecked].map((notes) => notes.filter((note) => isIn.has(qualified(note))));
    const noted = told.flat().map((note) => placeIn(change, note));
    if (noted.length > 0) await mark.step({ kind: "notes", cells: noted });
    await addValueNotes(
      context,
      asValues.filter((note) => isIn.has(qualified(note))),
      unchecked.filter((note) => isIn.has(qualified(note))),
    );
  }
  const isConverted = stillConverted(new Set(left.map(placeKey)), putBack);
  return {
    sheets,
    handed,
    left,
    report: {
      converted: handed.length,
      asValues: asValues.filter(isConverted),
      limits: limits.length,
      unchecked: unchecked.filter(isConverted),
      stopped: plans.flatMap(({ stopped }) => stopped),
      putBack: putBack.map(({ told }) => told),
      rules: ruled.handed.length - refused.length,
      left: [...named.left, ...ruled.left, ...refused],
      bare: [...named.bare, ...exceptThose(ruled.bare, refused)],
      meanwhile: [],
    },
  };
}

const writingNatively = "Writing native formulas";

/** Where something is, its sheet told by its id. */
const placeIn = (change: ChangeSet, { sheet, address }: Place): Place => ({
  sheet: change.idOf(sheet),
  address,
});

/** What is to be said of formulas that carry their originals before others of them are written. */
const carriersOf = (change: ChangeSet, chosen: readonly SheetCells[]): Step => ({
  kind: "carriers",
  sheets: chosen.map(({ name }) => change.idOf(name)),
  earlier: chosen.flatMap((sheet) =>
    formulaCells(sheet)
      .filter(({ formula }) => mentionsCarrier(formula))
      .map(({ row, column }) => [change.idOf(sheet.name), row, column] as const),
  ),
});

function exceptThose<Note extends Place>(notes: readonly Note[], those: readonly Place[]): readonly Note[] {
  const taken = new Set(those.map(qualified));
  return notes.filter((note) => !taken.has(qualified(note)));
}

/** Whether what is said of a cell is true of it still. */
function stillConverted(left: ReadonlySet<string>, putBack: readonly PutBack[]): (note: CellNote) => boolean {
  const taken = new Set(putBack.map(({ told }) => qualified(told)));
  return (note) => {
    const { top: row = 0, left: column = 0 } = blockOf(note.address) ?? {};
    return !taken.has(qualified(note)) && !left.has(placeKey({ sheet: note.sheet, row, column }));
  };
}

const wasChanged = "Somebody wrote there while it was handed over: it is as they left it.";

/** What several goings over the sheets came to. */
function together(all: readonly Round[]): HandOverReport {
  const reports = all.map(({ report }) => report);
  const last = reports[reports.length - 1];
  const every = <T>(part: (report: HandOverReport) => readonly T[]): readonly T[] => reports.flatMap(part);
  return {
    converted: reports.reduce((sum, { converted }) => sum + converted, 0),
    limits: reports.reduce((sum, { limits }) => sum + limits, 0),
    rules: reports.reduce((sum, { rules }) => sum + rules, 0),
    asValues: every(({ asValues }) => asValues),
    unchecked: every(({ unchecked }) => unchecked),
    stopped: last?.stopped ?? [],
    putBack: every(({ putBack }) => putBack),
    left: last?.left ?? [],
    bare: every(({ bare }) => bare),
    meanwhile: all.flatMap(({ left }) =>
      left
        .filter(({ original }) => original !== "")
        .map(({ sheet, row, column, original }) => ({
          ...{ sheet, address: cellAddress(row, column), formula: original, note: wasChanged },
        })),
    ),
  };
}

/** The ids of sheets by their names, and what sheets of such ids are called now. */
async function idsOf(context: Excel.RequestContext, names: readonly string[]): Promise<readonly string[]> {
  const there = await sheetsThere(context);
  return [...there].flatMap(([id, { name }]) => (names.includes(name) ? [id] : []));
}

async function namesOf(context: Excel.RequestContext, ids: readonly string[]): Promise<readonly string[]> {
  const there = await sheetsThere(context);
  return ids.flatMap((id) => there.get(id)?.name ?? []);
}

/** Hands the chosen sheets over. A sheet with a cell that cannot be converted is left as it was. */
export const handOver = (
  names: readonly string[],
  progress: Progress,
  way: HandOverWay = "native formulas",
): Promise<HandOverReport> =>
  asWork(
    { work: "hand-over" },
    async (context, mark) => {
      const ids = await idsOf(context, names);
      mark.isDoneAnewWith({ sheets: ids, way });
      const all: Round[] = [];
      do all.push(await handOnce(context, mark, await namesOf(context, ids), way, progress));
      while (all.length < rounds && (all[all.length - 1]?.left.length ?? 0) > 0);
      const report = together(all);
      const list =
        handOverWays[way].comesBack && report.converted > 0
          ? await listed(context, mark, all, progress)
          : undefined;
      return list === undefined ? report : { ...report, list };
    },
    carriersBack,
  );

/** The list of what was typed is a help and no more: where it cannot be written, the hand-over stands. */
async function listed(
  context: Excel.RequestContext,
  mark: Mark,
  all: readonly Round[],
  progress: Progress,
): Promise<HandOverReport["list"]> {
  const sheets = all[all.length - 1]?.sheets ?? [];
  const names = new Set(all.flatMap(({ handed }) => handed.map(({ sheet }) => sheet)));
  const handedOn = sheets.filter(({ name }) => names.has(name));
  const earlier = all.length === 1 ? [] : handedOn.flatMap(carriersOn);
  const conversions = [...(all[all.length - 1]?.handed ?? []), ...earlier];
  const from = mark.steps.length;
  try {
    const lines = await inSlices(linesFor(handedOn, conversions), slices(progress, listingWhat));
    return { sheet: await writeHandedList(context, mark, lines, progress) };
  } catch (error) {
    if (error instanceof Stopped) throw error;
    await Excel.run(async (anew) => {
      await stepsBack(anew, mark, undefined, from);
    });
    await mark.forget(from);
    return { why: asSentence(error) };
  }
}

const carriersOn = (sheet: SheetCells): readonly CellPlace[] =>
  formulaCells(sheet)
    .filter(({ formula }) => mentionsCarrier(formula))
    .map(({ row, column }) => ({ sheet: sheet.name, row, column }));

/** Puts the originals of cells back that a hand-over has come to, wherever they are by now. */
export const carriersBack: CarriersBack = async (context, step) => {
  if (step.kind === "rules") return rulesBack(context, await namesOf(context, step.sheets), step.rules);
  const sheets = await readSheets(context);
  const trust = new Trust(await readInWorkbook(context));
  const knowledge = new Knowledge(sheets);
  const change = await ChangeSet.begin(context);
  const names = await namesOf(context, step.sheets);
  const earlier = new Set(step.earlier.map((place) => place.join()));
  const isEarlier = ({ sheet, row, column }: CellPlace): boolean =>
    earlier.has([change.idOf(sheet), row, column].join());
  const restored: HandedCell[] = [];
  const stays: EditedCell[] = [];
  for (const sheet of sheets.filter(({ name }) => names.includes(name))) {
    const found = await sortedOut(sheet, knowledge, trust);
    restored.push(...found.unchanged.filter((one) => !isEarlier(one)));
    stays.push(...found.edited.filter((one) => !isEarlier(one)));
  }
  const changes = returned(restored, sheets);
  const leftAt = await change.write(changes, untold, puttingBack);
  return [
    ...stays.map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) })),
    ...changes
      .filter((one) => leftAt.has(placeKey(one)))
      .map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) })),
  ];
};

const puttingBack = "Putting the functions back";

/** What is written where originals are put back, the cells of each all or none. */
function returned(restored: readonly HandedCell[], sheets: readonly SheetCells[]): readonly CellChange[] {
  const held = new Contents(sheets);
  return restored.flatMap((one) =>
    one.cells.map(({ original, native, sheet, row, column }) => ({
      ...{ sheet, row, column, before: original, after: native },
      ...(one.cells.length > 1 ? { group: placeKey(one) } : {}),
      ...(native === "" ? { shows: held.at({ sheet, row, column }).value } : {}),
    })),
  );
}

async function deleteSheets(context: Excel.RequestContext, names: readonly string[]): Promise<void> {
  if (names.length === 0) return;
  const present = names.map((name) => context.workbook.worksheets.getItemOrNullObject(name));
  for (const sheet of present) sheet.load("name");
  await context.sync();
  for (const sheet of present) {
    if (sheet.isNullObject) continue;
    // A very hidden sheet refuses to be deleted.
    sheet.visibility = "Visible";
    sheet.delete();
  }
  await context.sync();
}

export interface EditsSince {
  readonly edits: readonly CellEdit[];
  /** Why what was typed since cannot be told. */
  readonly missing?: string;
}

/** What others changed since the hand-over, cell by cell, as far as the workbook still tells. */
export const editsSinceHandOver = (): Promise<EditsSince> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context);
    const knowledge = new Knowledge(sheets);
    const trust = new Trust(await readInWorkbook(context));
    const sorted = await Promise.all(sheets.map((sheet) => sortedOut(sheet, knowledge, trust)));
    const edited = sorted.flatMap((one) => one.edited);
    const formulas = edited.map(({ sheet, row, column, original, told }): CellEdit => ({
      sheet,
      address: cellAddress(row, column),
      kind: "formula",
      old: original,
      now: told.note,
    }));
    const edits = [...changesSince(sheets), ...formulas];
    if (sheets.some(isHandedList)) return { edits };
    const missing =
      "The sheet that lists what was typed at the hand-over is not there: what others typed since cannot be told.";
    return { edits, missing };
  });

export interface BringBackOptions {
  /** Puts the originals back also where someone edited the native formula since. */
  readonly editedToo?: boolean;
}

/** What the limits of a hand-over hang on that are still handed over. */
function limitsFor(cells: readonly HandedCell[], knowledge: Knowledge): Pieces<readonly WantedLimit[]> {
  const inputs = cells.flatMap(({ sheet, inputs: own }) => own.map((input) => ({ home: sheet, input })));
  // An input that someone has put a formula into since has its limit still.
  return findingLimits(inputs, (home) => ({ ...knowledge.from(home), isComputed: () => false }));
}

interface Returning {
  readonly restored: readonly HandedCell[];
  /** Edited since and left as they are. */
  readonly stays: readonly EditedCell[];
  readonly foreign: readonly CellNote[];
  /** Whether nothing is handed over any more once these are back. */
  readonly isLast: boolean;
  /** Limits that nothing needs any more. */
  readonly released: readonly WantedLimit[];
}

async function returning(
  sheets: readonly SheetCells[],
  names: readonly string[],
  trust: Trust,
  editedToo: boolean,
  progress: Progress,
): Promise<Returning> {
  const knowledge = new Knowledge(sheets);
  const pause = slices(progress, "Looking at what was handed over");
  const restored: HandedCell[] = [];
  const stays: EditedCell[] = [];
  const foreign: CellNote[] = [];
  const elsewhere: HandedCell[] = [];
  for (const [i, sheet] of sheets.entries()) {
    const found = await sortedOut(sheet, knowledge, trust, pause);
    await pause(i, sheets.length);
    if (names.includes(sheet.name)) {
      restored.push(...found.unchanged, ...(editedToo ? found.edited : []));
      if (!editedToo) stays.push(...found.edited);
      foreign.push(...found.foreign);
    } else elsewhere.push(...found.unchanged, ...found.edited);
  }
  const needed = await inSlices(limitsFor([...stays, ...elsewhere], knowledge), pause);
  const released = (await inSlices(limitsFor(restored, knowledge), pause)).filter(
    ({ sheet, address }) =>
      !needed.some((other) => other.sheet === sheet && overlaps(other.address, address)),
  );
  return { restored, stays, foreign, released, isLast: stays.length + elsewhere.length === 0 };
}

/** Puts our functions back wherever a cell still is what its original was handed over as. */
export const bringBack = (
  names: readonly string[],
  progress: Progress,
  { editedToo = false }: BringBackOptions = {},
): Promise<BringBackReport> =>
  asWork(
    { work: "return" },
    async (context, mark) => {
      const ids = await idsOf(context, names);
      mark.isDoneAnewWith({ sheets: ids, editedToo });
      let restored = 0;
      for (let round = 1; ; round++) {
        const one = await bringOnce(context, mark, await namesOf(context, ids), progress, editedToo);
        restored += one.report.restored;
        const isDone = one.left === 0 || round === rounds;
        if (isDone) await deleteDone(context, mark, one.done);
        if (isDone) return { ...one.report, restored };
      }
    },
    carriersBack,
  );

interface ReturnRound {
  readonly report: BringBackReport;
  /** Cells that somebody wrote to meanwhile. */
  readonly left: number;
  /** Sheets that nothing needs any more. */
  readonly done: readonly string[];
}

/** Sheets of ours go last, once there is nothing more to be taken back. */
async function deleteDone(context: Excel.RequestContext, mark: Mark, done: readonly string[]): Promise<void> {
  if (done.length === 0) return;
  await mark.step({ kind: "no way back" });
  await deleteSheets(context, done);
}

async function bringOnce(
  context: Excel.RequestContext,
  mark: Mark,
  names: readonly string[],
  progress: Progress,
  editedToo: boolean,
): Promise<ReturnRound> {
  progress.report(0, 1, "Reading the workbook");
  const sheets = await readSheets(context);
  const trust = new Trust(await readInWorkbook(context));
  const back = await returning(sheets, names, trust, editedToo, progress);
  const earlier = await earlierReturn(context, sheets, names, trust, editedToo);
  const there = sheets.map(({ name }) => name).filter((name) => names.includes(name));
  const named = await returningNames(context, there, trust, editedToo);
  const ruled = await returningRules(context, there, trust, editedToo);
  const rules = ruled.restored.map(({ rule }) => rule);
  const restored = [...back.restored, ...earlier.restored];
  await refuseProtected(context, [...restored, ...rules, ...back.released, ...earlier.released]);
  const change = await ChangeSet.begin(context);
  const changes = returned(restored, sheets);
  await change.mark(mark, changes);
  const leftAt = await change.write(changes, progress, puttingBack);
  await writeNames(context, change, mark, named.restored);
  const refused = await writeRules(context, change, mark, ruled.restored, progress);
  const ours = await ourLimits(context, back.released);
  const isOurs = (one: WantedLimit): boolean =>
    ours.some(({ sheet, address }) => sheet === one.sheet && overlaps(address, one.address));
  const off = back.released.filter(isOurs).map((one) => ({ ...one, ...placeIn(change, one) }));
  if (off.length > 0) await mark.step({ kind: "limits off", limits: off });
  await removeLimits(context, [...ours, ...earlier.released]);
  const cells = restored
    .filter((one) => !leftAt.has(placeKey(one)))
    .map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) }));
  const notes = await ourNotes(context, cells);
  const noted = notes.map((note) => ({ ...note, ...placeIn(change, note) }));
  if (noted.length > 0) await mark.step({ kind: "notes off", notes: noted });
  await removeValueNotes(context, notes);
  const lists = back.isLast ? sheets.filter(isUntouchedList).map(({ name }) => name) : [];
  return {
    left: leftAt.size,
    done: leftAt.size === 0 ? [...lists, ...earlier.done] : [],
    report: {
      restored: restored.flatMap((one) => one.cells).filter((one) => !leftAt.has(placeKey(one))).length,
      changed: [...[...back.stays, ...earlier.stays].map(({ told }) => told), ...named.stays, ...ruled.stays],
      foreign: [...back.foreign, ...earlier.foreign, ...refused],
      notes: earlier.notes,
      ...(named.restored.length === 0 ? {} : { names: named.restored.map(({ name }) => name) }),
      ...(rules.length === refused.length
        ? {}
        : { rules: exceptThose(rules, refused).map(({ sheet, address }) => `${address} on ${sheet}`) }),
    },
  };
}
