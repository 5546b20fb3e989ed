/**
 * The one place that writes cells. What is written says what it is: a text stays that text, whatever a host would read
 * in it; a formula is worked out, even in a cell that was formatted as text; a number is a number.
 */
import { addAll } from "../../engine/lists";
import type { Block, Content, Pause, Pieces, Progress, RequestContext, Written } from "../host";
import {
  blockAddress,
  cellAddress,
  inSlices,
  letGo,
  readBlocks,
  sendBlocks,
  slices,
  untold,
  WorkbookTrouble,
} from "../host";
import { beyondLimits } from "../formulas";
import type { CellStep, Mark } from "../marks";
import { owe, owedFor, oweOnly } from "../marks";
import { asSent, mostText, shortened } from "./content";
import { cellsAtATime, columnRuns } from "./runs";
import type { Cells } from "./stretch";
import { preparing, Stretch, watchedCells } from "./stretch";
import type { Guard } from "./guards";
import { guardSteps, refuseMoved } from "./guards";
import type { Kept } from "./take-back-held";
import { placeOf, takeBackHeld } from "./take-back-held";
import type { CellChange } from "./where-stands";
import { manyCells, writeWhereStands } from "./where-stands";

const addressOf = ({ top, left }: Pick<Block, "top" | "left">, row: number, column: number): string =>
  cellAddress(top + row, left + column);

const whyTooLong = (content: Content): string | undefined => {
  if (typeof content === "object") return beyondLimits(content.formula);
  return typeof content === "string" && content.length > mostText
    ? `The text has ${content.length.toLocaleString("en-US")} characters where a cell holds ${mostText.toLocaleString("en-US")}: shorten it.`
    : undefined;
};

/** A text for a list that tells of something which stands elsewhere in full; one that no cell holds says so first. */
export const fittingCell = (text: string): string =>
  text.length <= mostText
    ? text
    : shortened(
        `Its end is missing here, since a cell holds ${mostText.toLocaleString("en-US")} characters and this has ${text.length.toLocaleString("en-US")}.\n${text}`,
      );

/** Refuses, before anything is written, what no cell can hold. */
function* refusingTooLong(all: readonly Omit<Cells, "sheet">[]): Pieces<void> {
  let seen = 0;
  for (const cells of all) {
    for (const [i, row] of cells.rows.entries()) {
      for (const [j, content] of row.entries()) {
        const trouble = whyTooLong(content);
        if (trouble !== undefined) throw new WorkbookTrouble(`${addressOf(cells, i, j)}: ${trouble}`);
        if (++seen % cellsAtATime === 0) yield i / cells.rows.length;
      }
    }
  }
}

/** The cells as they are sent. */
function* sending(all: readonly Cells[]): Pieces<readonly Written[]> {
  const written: Written[] = [];
  let seen = 0;
  for (const { sheet, top, left, rows, format } of all) {
    const lines: Written["rows"][number][] = [];
    for (const [i, row] of rows.entries()) {
      lines.push(row.map((content) => asSent(content, format)));
      seen += row.length;
      if (seen < cellsAtATime) continue;
      seen = 0;
      yield i / rows.length;
    }
    written.push({ sheet, top, left, rows: lines });
  }
  return written;
}

/** Writes into cells of a sheet that we made ourselves, where nothing of anybody's can be in the way. */
export async function writeCells(
  context: RequestContext,
  cells: readonly Cells[],
  progress: Progress = untold,
): Promise<void> {
  const pause = slices(progress, preparing);
  await inSlices(refusingTooLong(cells), pause);
  await sendBlocks(context, await inSlices(sending(cells), pause), progress);
}

const some = (addresses: readonly string[]): string =>
  addresses.length === 1
    ? (addresses[0] ?? "")
    : `${addresses[0] ?? ""} and ${addresses.length - 1} more cells`;

function troubleWith(
  table: string | undefined,
  written: readonly string[],
  beside: readonly string[],
): string {
  if (table !== undefined || beside.length > 0) {
    const which = table === undefined ? "The sheet" : `The table ${table}`;
    return `${which} filled ${some([...beside, ...written])} by itself, so all of it was taken back: choose cells outside of it.`;
  }
  return `The workbook made something else of what was written to ${some(written)}, so all of it was taken back: set the format of the cells to General, then try again.`;
}

/** Cells that one part of a mark tells of: a setting is no place for megabytes. */
const perStep = 2000;

/** Says in the mark what the cells hold and are to hold. */
export async function markCells(
  mark: Mark,
  sheet: string,
  cells: readonly CellStep[],
  isNamed = false,
): Promise<void> {
  for (let from = 0; from < cells.length; from += perStep)
    await mark.step({ kind: "cells", sheet, cells: cells.slice(from, from + perStep), isNamed });
}

export interface WriteAndLook {
  readonly progress?: Progress;
  /** Cells by which what is written belongs where it is written. */
  readonly guards?: readonly Guard[];
}

const unread = { formulas: [], values: [], formats: [], types: [] };

/** So many runs of cells are given names, by which they are found where they have moved: a workbook keeps them all. */
const mostNames = 200;

function areFewRuns(steps: ReadonlyMap<string, readonly CellStep[]>): boolean {
  const cells = [...steps].flatMap(([sheet, own]) => own.map((one) => ({ ...one, sheet })));
  return cells.length <= manyCells && columnRuns(cells).length <= mostNames;
}

/**
 * Says in the mark what the cells of the stretches hold and are to hold, and by which cells they belong there; answers
 * whether they are to be given names.
 */
async function markStretches(
  mark: Mark,
  stretches: readonly Stretch[],
  guards: readonly Guard[],
  pause: Pause,
): Promise<boolean> {
  const steps = new Map<string, CellStep[]>();
  for (const stretch of stretches) {
    const own = steps.get(stretch.sheet.id) ?? [];
    addAll(own, await inSlices(stretch.steps(), pause));
    steps.set(stretch.sheet.id, own);
  }
  const address = stretches.map(({ wanted: { block } }) => blockAddress(block)).join(", ");
  // What stands in a table is found by its places alone, since the host fills its columns by itself.
  const isNamed = areFewRuns(steps) && stretches.every(({ table }) => table === undefined);
  await mark.step(...guardSteps(guards, { address, isNamed }));
  for (const [sheet, cells] of steps) await markCells(mark, sheet, cells, isNamed);
  return isNamed;
}

/**
 * Writes into cells of somebody's sheet, then looks at what the host made of it. Where it holds anything else, be it in
 * another cell of a table's column, or where it refuses a part, the work takes all of it back: by its mark, or with the
 * sheet where that is one of ours.
 */
export async function writeAndLook(
  context: RequestContext,
  mark: Mark | undefined,
  all: readonly Cells[],
  { progress = untold, guards = [] }: WriteAndLook = {},
): Promise<void> {
  const pause = slices(progress, preparing);
  await inSlices(refusingTooLong(all), pause);
  for (const sheet of new Set(all.map((cells) => cells.sheet))) sheet.load("id");
  const watched = await watchedCells(context, all, progress);
  const wanted = watched.map(({ sheet, whole }) => ({ sheet, block: whole }));
  const before = await readBlocks(context, wanted, { formats: true, progress });
  const stretches = watched.map((one, i) => new Stretch(context, one, before[i] ?? unread));
  const changed = stretches.flatMap((stretch) => stretch.changedSince());
  if (changed.length > 0) throw new WorkbookTrouble(meanwhile(changed));
  const from = mark?.steps.length ?? 0;
  let isNamed = false;
  if (mark !== undefined) {
    isNamed = await markStretches(mark, stretches, guards, pause);
    await refuseMoved(context, guards);
    await mark.isWhole();
  }
  let kept: readonly Kept[] = [];
  try {
    const changes: CellChange[] = [];
    for (const stretch of stretches) {
      await stretch.enliven(pause);
      addAll(changes, await inSlices(stretch.changes(stretch.sheet.id), pause));
    }
    const { left } = await writeWhereStands(context, changes, {
      progress,
      cellsAtOnce: manyCells,
      owes: (cells) => mark !== undefined && owe(mark.id, cells),
      ...(mark === undefined ? {} : { keeps: (ranges) => (kept = [...ranges, ...kept]) }),
      ...(mark === undefined || !isNamed ? {} : { holds: (run, range) => mark.holds(run, range) }),
    });
    if (left.length > 0) {
      await mark?.leaves(left);
      throw new WorkbookTrouble(meanwhile(left));
    }
    const now = await readBlocks(context, wanted, { progress });
    await refuseMoved(context, guards);
    for (const [i, stretch] of stretches.entries()) {
      const { written, beside } = await inSlices(stretch.differences(now[i] ?? unread), pause);
      if (written.length + beside.length > 0)
        throw new WorkbookTrouble(troubleWith(stretch.table, written, beside));
    }
  } catch (error) {
    const isInTable = stretches.some(({ table }) => table !== undefined);
    const back = async () => mark !== undefined && backByRanges(context, mark, from, kept, isInTable);
    // A host that fails often answers when it is asked again.
    await back()
      .catch(back)
      .catch(() => undefined);
    for (const stretch of [...stretches].reverse()) await stretch.takeBackBeside().catch(() => undefined);
    throw error;
  } finally {
    letGo(kept.map(({ range }) => range));
  }
}

/** What is taken back where it stands by now is no part of the mark any more. */
async function backByRanges(
  context: RequestContext,
  mark: Mark,
  from: number,
  kept: readonly Kept[],
  isInTable: boolean,
): Promise<void> {
  const owed = owedFor(mark.id) ?? [];
  const taken = await takeBackHeld(context, kept, { isInTable, owed });
  const places = new Set(taken.map(placeOf));
  oweOnly(
    mark.id,
    owed.filter((one) => !places.has(placeOf(one))),
  );
  if (taken.length === 0) return;
  await mark.leaves(taken);
  const isAll = mark.steps.slice(from).every((step) => step.kind !== "cells" || step.cells.length === 0);
  if (isAll) await mark.forget(from);
}

const meanwhile = (left: readonly Pick<CellChange, "row" | "column">[]): string =>
  `Somebody wrote to ${some(left.map(({ row, column }) => cellAddress(row, column)))} meanwhile, so it was left as it is and nothing else was written: look at it, then try again.`;
