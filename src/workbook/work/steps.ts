/** Takes back what a mark tells of, step by step, and finishes what it tells of whole. */
import type { Range, RequestContext, Worksheet } from "../host";
import { cellAddress, forNow, inPortions, qualified, WorkbookTrouble } from "../host";
import type { CellChange } from "../writing";
import {
  addNotes,
  giveBackOwed,
  isSpeltAlike,
  movedSince,
  removeValueNotes,
  runsOf,
  takeBackLimits,
  textFormat,
  writeKeepingColumns,
  writeLimits,
  writeWhereStands,
} from "../writing";
import type { CellStep, Step } from "../marks";
import { owe } from "../marks";
import { movedAway, spelt } from "./moved-away";
import { takeRowsOut } from "./rows-out";

/** A cell that is left as it is, since somebody wrote there meanwhile. */
export interface LeftCell {
  readonly sheet: string;
  readonly address: string;
  /** What somebody typed there, where that was written over and could not be given back. */
  readonly typed?: string;
  /** What it held before the work, where that could not be put back. */
  readonly held?: string;
}

type Of<Kind extends Step["kind"]> = Extract<Step, { kind: Kind }>;

const changesOf = ({ sheet, cells }: Of<"cells">, back: boolean): readonly CellChange[] =>
  cells.map(({ was, to, ...cell }) => ({
    ...{ ...cell, sheet },
    ...(back ? { before: to, after: was } : { before: was, after: to }),
  }));

/** The sheets that are still there, by id. */
export async function sheetsThere(context: RequestContext): Promise<ReadonlyMap<string, Worksheet>> {
  const { worksheets } = context.workbook;
  worksheets.load("items/id,items/name");
  await context.sync();
  return new Map(worksheets.items.map((sheet) => [sheet.id, sheet]));
}

/** Cells by the names that their sheets have now, with what else is to be told of each. */
async function told(
  context: RequestContext,
  cells: readonly CellChange[],
  more: (cell: CellChange) => Pick<LeftCell, "typed" | "held"> = () => ({}),
): Promise<readonly LeftCell[]> {
  if (cells.length === 0) return [];
  const there = await sheetsThere(context);
  return cells.flatMap((cell) => {
    const found = there.get(cell.sheet);
    const address = cellAddress(cell.row, cell.column);
    return found === undefined ? [] : [{ sheet: found.name, address, ...more(cell) }];
  });
}

/** Gives back what is owed for the mark of a work; what cannot be given back is told in the words that were typed. */
export async function giveBackOrTell(context: RequestContext, mark: string): Promise<readonly LeftCell[]> {
  const lost = await giveBackOwed(context, mark);
  const typed = lost.filter(({ after }) => after !== "");
  return told(context, typed, ({ after }) => ({ typed: spelt(after) }));
}

/** What a cell held before, where that could not be put back. */
const heldBefore = ({ after }: CellChange): Pick<LeftCell, "held"> =>
  after === "" ? {} : { held: spelt(after) };

/** A cell of a step, for one request. */
const cellOf = (sheet: Worksheet, { row, column }: CellStep): Range =>
  forNow(sheet.getRangeByIndexes(row, column, 1, 1));

async function cellsBack(
  context: RequestContext,
  step: Of<"cells">,
  mark: string,
): Promise<readonly LeftCell[]> {
  // Of a sheet that is gone there is nothing to take back, and asking it for its tables would fail.
  const sheet = (await sheetsThere(context)).get(step.sheet);
  if (sheet === undefined) return [];
  const owes = (cells: readonly CellChange[]): void => owe(mark, cells);
  // What has a name was found by that.
  const away = step.isNamed === true ? [] : await movedAway(context, sheet, step.cells);
  const { left } = await writeKeepingColumns(context, changesOf(step, true), { owes });
  const kept = new Set(left.map(({ row, column }) => `${row},${column}`));
  const lost = step.cells.filter(
    ({ row, column, format }) => format !== undefined && !kept.has(`${row},${column}`),
  );
  await inPortions(context, lost, (cell) => (cellOf(sheet, cell).numberFormat = [[cell.format ?? ""]]));
  return [
    ...(await told(context, left, heldBefore)),
    ...away.map((address) => ({ sheet: sheet.name, address })),
  ];
}

async function cellsDone(
  context: RequestContext,
  step: Of<"cells">,
  mark: string,
): Promise<readonly LeftCell[]> {
  const owes = (cells: readonly CellChange[]): void => owe(mark, cells);
  const sheet = (await sheetsThere(context)).get(step.sheet);
  if (sheet === undefined) return [];
  const texts = step.cells.filter(({ format }) => format !== undefined);
  await inPortions(context, texts, (cell) => (cellOf(sheet, cell).numberFormat = [["General"]]));
  const { left } = await writeWhereStands(context, changesOf(step, false), { owes });
  return told(context, left);
}

/** Cells that lost their format as text on the way have it again, where they hold what the work knows of. */
async function textsBack(context: RequestContext, step: Of<"text cells">): Promise<void> {
  const sheet = (await sheetsThere(context)).get(step.sheet);
  if (sheet === undefined) return;
  const asked = await inPortions(context, step.cells, (cell) => {
    const range = cellOf(sheet, cell);
    range.load("formulas,numberFormat");
    return { cell, range };
  });
  const bare = asked.filter(({ cell, range }) => {
    const now: unknown = range.formulas[0]?.[0];
    const isOurs = [cell.was, cell.to].some(
      (one) => typeof one === "object" && typeof now === "string" && isSpeltAlike(one.formula, now),
    );
    return isOurs && range.numberFormat[0]?.[0] === "General";
  });
  await inPortions(context, bare, ({ cell }) => (cellOf(sheet, cell).numberFormat = [[textFormat]]));
}

/** What was written beside cells that moved may stand anywhere by now: it is told of. */
async function guardTold(context: RequestContext, guard: Of<"guard">): Promise<readonly LeftCell[]> {
  const there = await sheetsThere(context);
  const moved = await movedSince(context, [guard], there);
  return moved.map(({ sheet, address }) => ({ sheet: there.get(sheet)?.name ?? sheet, address }));
}

/** Refuses to go on with what was planned for a sheet that somebody has changed. */
export async function refuseGuarded(context: RequestContext, steps: readonly Step[]): Promise<void> {
  const guards = steps.filter((step): step is Of<"guard"> => step.kind === "guard");
  if (guards.length === 0) return;
  const moved = await movedSince(context, guards, await sheetsThere(context));
  if (moved.length > 0)
    throw new WorkbookTrouble(
      "Somebody changed the sheet meanwhile, so this cannot be finished: take it back, then do it anew.",
    );
}

const same = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other);

/** Sheets that were copied and that nobody has had time to say the ids of: the host's own name, and the same cells. */
async function unnamedCopies(
  context: RequestContext,
  there: ReadonlyMap<string, Worksheet>,
  { known, copied }: Of<"sheets">,
): Promise<readonly string[]> {
  const pairs = copied.flatMap((id) => {
    const source = there.get(id);
    return [...there].flatMap(([other, sheet]) =>
      source !== undefined && !known.includes(other) && sheet.name.startsWith(`${source.name.slice(0, 20)}`)
        ? [{ id: other, ranges: [source, sheet].map((one) => one.getUsedRangeOrNullObject(true)) }]
        : [],
    );
  });
  for (const { ranges } of pairs) for (const range of ranges) range.load("formulas");
  if (pairs.length > 0) await context.sync();
  return pairs.flatMap(({ id, ranges: [source, copy] }) =>
    source?.isNullObject === false && copy?.isNullObject === false && same(source.formulas, copy.formulas)
      ? [id]
      : [],
  );
}

async function sheetsBack(context: RequestContext, step: Of<"sheets">): Promise<void> {
  const there = await sheetsThere(context);
  const passing = [...there].flatMap(([id, { name }]) =>
    name.startsWith(step.passing) && !step.known.includes(id) ? [id] : [],
  );
  const unsaid = step.added === undefined ? await unnamedCopies(context, there, step) : [];
  const ours = new Set([...(step.added ?? []), ...passing, ...unsaid].filter((id) => there.has(id)));
  for (const id of ours) {
    const sheet = there.get(id);
    if (sheet === undefined) continue;
    // A very hidden sheet refuses to be deleted.
    sheet.visibility = "Visible";
    sheet.delete();
  }
  await context.sync();
}

/** Of the rows that were put in those go again in which nothing stands: they end above the row with the witness. */
async function rowsBack(context: RequestContext, step: Of<"rows">): Promise<readonly LeftCell[]> {
  const sheet = (await sheetsThere(context)).get(step.sheet);
  if (sheet === undefined) return [];
  const { at, count, witness } = step;
  const firsts = sheet.getRangeByIndexes(at, 0, count + 1, 1);
  const used = sheet.getRange(`${at + 1}:${at + count}`).getUsedRangeOrNullObject(true);
  firsts.load("values");
  used.load("rowIndex,values");
  sheet.load("name");
  await context.sync();
  const ours = firsts.values.findIndex(([first]) => first === witness);
  const told = (row: number): LeftCell => ({ sheet: sheet.name, address: `row ${row + 1}` });
  // Rows that somebody moved meanwhile are looked for nowhere else.
  if (ours < 0) return [told(at)];
  const top = used.isNullObject ? 0 : used.rowIndex;
  const rows: readonly (readonly unknown[])[] = used.isNullObject ? [] : used.values;
  const isEmpty = (row: number): boolean => (rows[row - top] ?? []).every((value) => value === "");
  const put = Array.from({ length: ours }, (_, i) => at + i);
  const empty = runsOf(put, isEmpty).map(({ row, count }) => ({ row: at + row, count }));
  const back = await takeRowsOut(context, sheet, empty);
  return [...put.filter((row) => !isEmpty(row)), ...back].map(told);
}

async function namesBack(context: RequestContext, { names }: Of<"names">): Promise<void> {
  const there = await sheetsThere(context);
  const found = names.flatMap((one) => {
    const home = one.sheet === "" ? context.workbook : there.get(one.sheet);
    if (home === undefined) return [];
    const item = home.names.getItemOrNullObject(one.name);
    item.load("formula");
    return [{ one, item }];
  });
  await context.sync();
  for (const { one, item } of found)
    if (!item.isNullObject && String(item.formula) === one.after) item.formula = one.formula;
  await context.sync();
}

async function pictureBack(context: RequestContext, step: Of<"picture">): Promise<readonly LeftCell[]> {
  const sheet = (await sheetsThere(context)).get(step.sheet);
  if (sheet === undefined) return [];
  sheet.shapes.load("items/id,items/name");
  await context.sync();
  const { items } = sheet.shapes;
  const fresh = items.filter(({ id, name }) => name === step.passing || id === step.added);
  // A picture that came meanwhile and has no name of ours may be somebody's: it is told of and stays.
  const unnamed = items.filter(({ id }) => !step.known.includes(id) && !fresh.some((one) => one.id === id));
  const told = unnamed.map(({ name }) => ({ sheet: sheet.name, address: `the picture ${name}` }));
  const old = items.filter(({ id }) => step.before.includes(id));
  // The old picture is gone: the new one takes its place, as it was meant to.
  const isBeyond = old.length < step.before.length;
  for (const shape of isBeyond ? old : fresh) shape.delete();
  const [first] = fresh;
  if (isBeyond && first !== undefined) first.name = step.name;
  if (!isBeyond && fresh.length > 0 && step.printed !== undefined)
    sheet.pageLayout.setPrintArea(step.printed);
  await context.sync();
  return isBeyond ? [{ sheet: sheet.name, address: "the picture, which is the new one" }] : told;
}

/** What is where the ids of sheets stand, as it is called now. */
async function placed<T extends { readonly sheet: string }>(
  context: RequestContext,
  places: readonly T[],
): Promise<readonly T[]> {
  const there = await sheetsThere(context);
  return places.flatMap((one) => {
    const sheet = there.get(one.sheet);
    return sheet === undefined ? [] : [{ ...one, sheet: sheet.name }];
  });
}

const nothing: readonly LeftCell[] = [];

/** How a step that only another part of the workbook knows to take back is taken back. */
export type CarriersBack = (
  context: RequestContext,
  step: Of<"carriers"> | Of<"rules">,
  mark: string,
) => Promise<readonly LeftCell[]>;

/** Takes one step back; answers with what is left as it is. */
export async function stepBack(
  context: RequestContext,
  step: Step,
  carriersBack: CarriersBack,
  mark: string,
): Promise<readonly LeftCell[]> {
  switch (step.kind) {
    case "cells":
      return cellsBack(context, step, mark);
    case "text cells":
      await textsBack(context, step);
      return nothing;
    case "guard":
      return guardTold(context, step);
    case "sheets":
      await sheetsBack(context, step);
      return nothing;
    case "carriers":
    case "rules":
      return carriersBack(context, step, mark);
    case "rows":
      return rowsBack(context, step);
    case "names":
      await namesBack(context, step);
      return nothing;
    case "limits":
      await takeBackLimits(context, await placed(context, step.limits));
      return nothing;
    case "limits off":
      await writeLimits(context, await placed(context, step.limits));
      return nothing;
    case "notes":
      await removeValueNotes(context, await placed(context, step.cells));
      return nothing;
    case "notes off": {
      const notes = await placed(context, step.notes);
      await addNotes(context, new Map(notes.map((note) => [qualified(note), note.content])));
      return nothing;
    }
    case "picture":
      return pictureBack(context, step);
    case "hidden sheet": {
      const sheet = (await sheetsThere(context)).get(step.sheet);
      if (sheet !== undefined) sheet.visibility = "VeryHidden";
      await context.sync();
      return nothing;
    }
    case "no way back":
      return nothing;
  }
}

/** Does what a step says, where it is not done yet. */
export async function stepDone(
  context: RequestContext,
  step: Step,
  mark: string,
): Promise<readonly LeftCell[]> {
  return step.kind === "cells" ? cellsDone(context, step, mark) : nothing;
}
