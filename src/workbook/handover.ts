/**
 * Handing a sheet over: every call of our functions becomes plain worksheet arithmetic, and comes back exactly. Each
 * cell carries its own original, so that it survives whoever edits the file.
 */
import { addAll } from "../engine/lists";
import { mayHoldCalls } from "./calls";
import { mentionsCarrier } from "./handover/carrier";
import { writeCarefully } from "./handover/careful-write";
import { ChangeSet } from "./handover/change-set";
import { readEarlierEdition } from "./handover/earlier/originals";
import { earlierReturn } from "./handover/earlier/return-earlier";
import { stillHanded } from "./handover/earlier/sort-earlier";
import type { CellEdit } from "./handover/handed-list";
import {
  changesSince,
  handedListName,
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
import { placeKey } from "./handover/place";
import type { PutBack } from "./handover/put-right";
import { lookAfter, putRight } from "./handover/put-right";
import { returningRules, rulesToHand, writeRules } from "./handover/rules/hand-rules";
import type { EditedCell, HandedCell } from "./handover/sort-out";
import { sortedOut } from "./handover/sort-out";
import { addValueNotes, removeValueNotes } from "./handover/value-notes";
import { readInWorkbook, Trust } from "./handover/trusted";
import type { HandOverWay } from "./handover/ways";
import { handOverWays } from "./handover/ways";
import type { WantedLimit } from "./limits";
import { findingLimits, ourLimits, readValidations, removeLimits, writeLimits } from "./limits";
import type { Pieces, Progress } from "./progress";
import { inSlices, pass, slices, Stopped, untold } from "./progress";
import type { Place } from "./reference";
import { cellAddress, overlaps, qualified } from "./reference";
import { inWorkbook, patiently, refuseProtected } from "./session";
import type { SheetCells } from "./sheets";
import { eachFormula, readCalculatedSheets, readSheets, shareDown } from "./sheets";
import { asSentence } from "./trouble";

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
    const pause = slices(untold, lookingWhat);
    const states: SheetState[] = [];
    for (const sheet of sheets.filter((one) => !isHandedList(one))) {
      let [calls, handedOver] = [0, stillHanded(earlier?.formulas ?? [], sheet)];
      for (const cell of eachFormula(sheet)) {
        if (mayHoldCalls(cell.formula)) calls++;
        if (mentionsCarrier(cell.formula)) handedOver++;
        await pause(shareDown(sheet, cell), 1);
      }
      states.push({ name: sheet.name, calls, handedOver });
    }
    return states;
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
    for (const cell of eachFormula(sheet)) {
      plan.add(cell);
      await pause(shareDown(sheet, cell), 1);
    }
    plans.push(plan.done);
  }
  return plans;
}

/** Hands the chosen sheets over. A sheet with a cell that cannot be converted is left as it was. */
export const handOver = (
  names: readonly string[],
  progress: Progress,
  way: HandOverWay = "native formulas",
): Promise<HandOverReport> =>
  inWorkbook(async (context) => {
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
    pass(progress, 0, conversions.length, "Writing native formulas");
    const change = new ChangeSet(context);
    let putBack: readonly PutBack[] = [];
    let handed: readonly Conversion[] = [];
    let refused: readonly CellNote[] = [];
    let list: HandOverReport["list"];
    await change.run(async () => {
      if (changed.length === 0) return;
      change.onFailure(() => removeLimits(context, limits));
      await writeLimits(context, limits);
      await writeCarefully(
        context,
        change,
        conversions.map(({ original, native, ...place }) => ({ ...place, before: original, after: native })),
        progress,
        "Writing native formulas",
      );
      await writeNames(context, change, named.handed);
      refused = await writeRules(context, change, ruled.handed, progress);
      putBack = await putRight(context, change, conversions, sheets, progress);
      const told = [stillConverted(asValues, putBack), stillConverted(unchecked, putBack)] as const;
      change.onFailure(() => removeValueNotes(context, told.flat()));
      await addValueNotes(context, ...told);
      const taken = new Set(putBack.flatMap(({ cells }) => cells).map(placeKey));
      handed = conversions.filter((one) => !taken.has(placeKey(one)));
      if (comesBack && handed.length > 0) list = await listed(context, sheets, handed, progress);
    });
    return {
      converted: handed.length,
      asValues: stillConverted(asValues, putBack),
      limits: limits.length,
      unchecked: stillConverted(unchecked, putBack),
      stopped: plans.flatMap(({ stopped }) => stopped),
      putBack: putBack.map(({ told }) => told),
      rules: ruled.handed.length - refused.length,
      left: [...named.left, ...ruled.left, ...refused],
      bare: [...named.bare, ...exceptThose(ruled.bare, refused)],
      ...(list === undefined ? {} : { list }),
    };
  });

const stillConverted = <Note extends CellNote>(
  notes: readonly Note[],
  putBack: readonly PutBack[],
): readonly Note[] =>
  exceptThose(
    notes,
    putBack.map(({ told }) => told),
  );

function exceptThose<Note extends Place>(notes: readonly Note[], those: readonly Place[]): Note[] {
  const taken = new Set(those.map(qualified));
  return taken.size === 0 ? [...notes] : notes.filter((note) => !taken.has(qualified(note)));
}

/** The list of what was typed is a help and no more: where it cannot be written, the hand-over stands. */
async function listed(
  context: Excel.RequestContext,
  sheets: readonly SheetCells[],
  conversions: readonly Conversion[],
  progress: Progress,
): Promise<HandOverReport["list"]> {
  const handed = new Set(conversions.map(({ sheet }) => sheet));
  const sheet = handedListName(sheets.map(({ name }) => name));
  try {
    const lines = await inSlices(
      linesFor(
        sheets.filter(({ name }) => handed.has(name)),
        conversions,
      ),
      slices(progress, listingWhat),
    );
    await writeHandedList(context, sheet, lines, progress);
    return { sheet };
  } catch (error) {
    if (error instanceof Stopped) {
      await patiently(() => deleteSheets(context, [sheet]));
      throw error;
    }
    await deleteSheets(context, [sheet]).catch(() => undefined);
    return { why: asSentence(error) };
  }
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

/** What is told of the work while handed-over cells are read. */
const lookingWhat = "Looking at what was handed over";

/** What others changed since the hand-over, cell by cell, as far as the workbook still tells. */
export const editsSinceHandOver = (progress: Progress = untold): Promise<EditsSince> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context, progress);
    const knowledge = new Knowledge(sheets);
    const trust = new Trust(await readInWorkbook(context));
    const pause = slices(progress, lookingWhat);
    const edited: EditedCell[] = [];
    for (const sheet of sheets) edited.push(...(await sortedOut(sheet, knowledge, trust, pause)).edited);
    const formulas = edited.map(({ sheet, row, column, original, told }): CellEdit => ({
      sheet,
      address: cellAddress(row, column),
      kind: "formula",
      old: original,
      now: told.note,
    }));
    const edits = [...(await inSlices(changesSince(sheets), pause)), ...formulas];
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
  const pause = slices(progress, lookingWhat);
  const restored: HandedCell[] = [];
  const stays: EditedCell[] = [];
  const foreign: CellNote[] = [];
  const elsewhere: HandedCell[] = [];
  for (const [i, sheet] of sheets.entries()) {
    const found = await sortedOut(sheet, knowledge, trust, pause);
    await pause(i, sheets.length);
    if (names.includes(sheet.name)) {
      addAll(restored, editedToo ? [...found.unchanged, ...found.edited] : found.unchanged);
      if (!editedToo) addAll(stays, found.edited);
      addAll(foreign, found.foreign);
    } else addAll(elsewhere, [...found.unchanged, ...found.edited]);
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
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    const sheets = await readSheets(context);
    const trust = new Trust(await readInWorkbook(context));
    const back = await returning(sheets, names, trust, editedToo, progress);
    const earlier = await earlierReturn(context, sheets, names, trust, editedToo);
    const there = sheets.map(({ name }) => name).filter((name) => names.includes(name));
    const named = await returningNames(context, there, trust, editedToo);
    const ruled = await returningRules(context, there, trust, editedToo);
    const restored = [...back.restored, ...earlier.restored];
    const rules = ruled.restored.map(({ rule }) => rule);
    await refuseProtected(context, [...restored, ...rules, ...back.released, ...earlier.released]);
    const change = new ChangeSet(context);
    const written = restored.flatMap(({ cells }) => cells);
    let refused: readonly CellNote[] = [];
    await change.run(async () => {
      await writeCarefully(
        context,
        change,
        written.map(({ original, native, ...place }) => ({ ...place, before: original, after: native })),
        progress,
        "Putting the functions back",
      );
      await lookAfter(context, change, written, sheets, progress);
      await writeNames(context, change, named.restored);
      refused = await writeRules(context, change, ruled.restored, progress);
      const limits = await ourLimits(context, back.released);
      change.onFailure(() => writeLimits(context, back.released));
      await removeLimits(context, [...limits, ...earlier.released]);
      await removeValueNotes(
        context,
        restored.map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) })),
      );
      const lists = back.isLast ? sheets.filter(isUntouchedList).map(({ name }) => name) : [];
      await deleteSheets(context, [...lists, ...earlier.done]);
    });
    return {
      restored: written.length,
      changed: [...[...back.stays, ...earlier.stays].map(({ told }) => told), ...named.stays, ...ruled.stays],
      foreign: [...back.foreign, ...earlier.foreign, ...refused],
      notes: earlier.notes,
      ...(named.restored.length === 0 ? {} : { names: named.restored.map(({ name }) => name) }),
      ...(rules.length === refused.length
        ? {}
        : { rules: exceptThose(rules, refused).map(({ sheet, address }) => `${address} on ${sheet}`) }),
    };
  });
