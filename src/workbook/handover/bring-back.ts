/** Brings the functions back wherever a cell still is what its original was handed over as. */
import { addAll } from "../../engine/lists";
import type { Mark, Step, WantedLimit } from "../marks";
import type { CellChange } from "../writing";
import { findingLimits, ourLimits, ourNotes, removeLimits, removeValueNotes } from "../writing";
import type { CellNote, Pieces, Progress, RequestContext, SheetCells } from "../host";
import { cellAddress, inSlices, overlaps, readSheets, refuseProtected, slices, untold } from "../host";
import type { CarriersBack, LeftCell } from "../work";
import { asWork } from "../work";
import { asPlanned, ChangeSet } from "./change-set";
import { earlierReturn } from "./earlier/return-earlier";
import { isUntouchedList } from "./handed-list";
import { Knowledge } from "../formulas";
import { returningNames, writeNames } from "./names";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import { Contents } from "./proof";
import { lookAfter } from "./put-right";
import { exceptThose, heldIn, idsOf, namesOf, placeIn, rounds } from "./rounds";
import { returningRules, rulesBack, writeRules } from "./rules/hand-rules";
import type { EditedCell, HandedCell } from "./sort-out";
import { sortedOut } from "./sort-out";
import { readInWorkbook, Trust } from "./trusted";

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

/** Puts the originals of cells back that a hand-over has come to, wherever they are by now. */
export const carriersBack: CarriersBack = async (context, step, mark) => {
  if (step.kind === "rules") return rulesBack(context, await namesOf(context, step.sheets), step.rules);
  let left: readonly LeftCell[] = [];
  for (let round = 0; round < mostRounds; round++) {
    const { isDone, told } = await carriersBackOnce(context, step, mark);
    left = told;
    if (isDone) break;
  }
  return left;
};

/** Somebody may move cells while they are read, and some are not seen: so often it is looked whether any is left. */
const mostRounds = 3;

async function carriersBackOnce(
  context: RequestContext,
  step: Extract<Step, { kind: "carriers" }>,
  mark: string,
): Promise<{ readonly isDone: boolean; readonly told: readonly LeftCell[] }> {
  const sheets = await readSheets(context);
  const trust = new Trust(await readInWorkbook(context));
  const knowledge = new Knowledge(sheets);
  const change = await ChangeSet.begin(context, mark);
  const names = await namesOf(context, step.sheets);
  const earlier = new Set(step.earlier.map((place) => place.join()));
  const isEarlier = ({ sheet, row, column }: CellPlace): boolean =>
    earlier.has([change.idOf(sheet), row, column].join());
  const restored: HandedCell[] = [];
  const stays: CellPlace[] = [];
  const own = sheets.filter(({ name }) => names.includes(name));
  for (const sheet of own) {
    const { unchanged, edited, orphans } = await sortedOut(sheet, knowledge, trust);
    restored.push(...unchanged.filter((one) => !isEarlier(one)));
    stays.push(...[...edited, ...orphans].filter((one) => !isEarlier(one)));
  }
  const changes = await inSlices(returned(restored, sheets), slices(untold, puttingBack));
  const { places } = await change.write(changes, untold, puttingBack);
  const left = [...stays, ...changes.filter((one) => places.has(placeKey(one)))];
  return {
    // One that was renamed meanwhile was not seen.
    isDone: restored.length === 0 && own.length === names.length,
    told: left.map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) })),
  };
}

const puttingBack = "Putting the functions back";

/** Cells that are gone through between two pauses. */
const cellsAtATime = 200;

/** What is written where originals are put back, the cells of each all or none. */
function* returned(
  restored: readonly HandedCell[],
  sheets: readonly SheetCells[],
): Pieces<readonly CellChange[]> {
  const held = new Contents(sheets);
  const changes: CellChange[] = [];
  for (const [i, one] of restored.entries()) {
    for (const { native, sheet, row, column } of one.cells) {
      const now = held.at({ sheet, row, column });
      changes.push({
        ...{ sheet, row, column, before: heldIn(now), after: asPlanned(native) },
        ...(one.cells.length > 1 ? { group: placeKey(one) } : {}),
        ...(native === "" ? { shows: now.value } : {}),
      });
      if (changes.length % cellsAtATime === 0) yield i / restored.length;
    }
  }
  return changes;
}

async function deleteSheets(context: RequestContext, names: readonly string[]): Promise<void> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name,items/visibility");
  await context.sync();
  const { items } = worksheets;
  const stays = items.some(({ name, visibility }) => visibility === "Visible" && !names.includes(name));
  // A workbook keeps one sheet that can be seen: where somebody took the others away, it is one of ours.
  const goes = items.filter(({ name }) => names.includes(name)).slice(stays ? 0 : 1);
  for (const sheet of goes) {
    // A very hidden sheet refuses to be deleted.
    sheet.visibility = "Visible";
    sheet.delete();
  }
  await context.sync();
}

/** What is told of the work while handed-over cells are read. */
export const lookingWhat = "Looking at what was handed over";

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

const refusedNotes = (
  restored: readonly HandedCell[],
  refused: ReadonlyMap<string, string>,
): readonly CellNote[] =>
  restored.flatMap(({ sheet, row, column, original }) => {
    const why = refused.get(placeKey({ sheet, row, column }));
    const place = { sheet, address: cellAddress(row, column), formula: original };
    return why === undefined ? [] : [{ ...place, note: `Excel refused its original, so it is left: ${why}` }];
  });

interface ReturnRound {
  readonly report: BringBackReport;
  /** Cells that somebody wrote to meanwhile. */
  readonly left: number;
  /** Sheets that nothing needs any more. */
  readonly done: readonly string[];
}

/** Sheets of ours go last, once there is nothing more to be taken back. */
async function deleteDone(context: RequestContext, mark: Mark, done: readonly string[]): Promise<void> {
  if (done.length === 0) return;
  await mark.step({ kind: "no way back" });
  await deleteSheets(context, done);
}

async function bringOnce(
  context: RequestContext,
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
  const change = await ChangeSet.begin(context, mark);
  const changes = await inSlices(returned(restored, sheets), slices(progress, puttingBack));
  await change.mark(mark, changes);
  const { places, refused } = await change.write(changes, progress, puttingBack);
  const isLeft = (one: CellPlace): boolean => places.has(placeKey(one));
  const isBack = (one: CellPlace): boolean => !isLeft(one);
  const left = changes.filter((one) => isLeft(one) && !refused.has(placeKey(one)));
  const written = restored.flatMap((one) => one.cells).filter(isBack);
  const disturbed = new Set(left.map(({ sheet }) => sheet));
  await lookAfter(context, change, written, sheets, disturbed, progress);
  await writeNames(context, change, mark, named.restored);
  const refusedRules = await writeRules(context, change, mark, ruled.restored, progress);
  const ours = await ourLimits(context, back.released);
  const isOurs = (one: WantedLimit): boolean =>
    ours.some(({ sheet, address }) => sheet === one.sheet && overlaps(address, one.address));
  const off = back.released.filter(isOurs).map((one) => ({ ...one, ...placeIn(change, one) }));
  if (off.length > 0) await mark.step({ kind: "limits off", limits: off });
  await removeLimits(context, [...ours, ...earlier.released]);
  const cells = restored
    .filter(isBack)
    .map(({ sheet, row, column }) => ({ sheet, address: cellAddress(row, column) }));
  const notes = await ourNotes(context, cells);
  const noted = notes.map((note) => ({ ...note, ...placeIn(change, note) }));
  if (noted.length > 0) await mark.step({ kind: "notes off", notes: noted });
  await removeValueNotes(context, notes);
  const lists = back.isLast ? sheets.filter(isUntouchedList).map(({ name }) => name) : [];
  return {
    left: left.length,
    done: places.size === 0 ? [...lists, ...earlier.done] : [],
    report: {
      restored: written.length,
      changed: [...[...back.stays, ...earlier.stays].map(({ told }) => told), ...named.stays, ...ruled.stays],
      foreign: [...back.foreign, ...earlier.foreign, ...refusedNotes(restored, refused), ...refusedRules],
      notes: earlier.notes,
      ...(named.restored.length === 0 ? {} : { names: named.restored.map(({ name }) => name) }),
      ...(rules.length === refusedRules.length
        ? {}
        : { rules: exceptThose(rules, refusedRules).map(({ sheet, address }) => `${address} on ${sheet}`) }),
    },
  };
}
