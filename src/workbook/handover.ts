/**
 * Handing a sheet over: every call of our functions becomes plain worksheet arithmetic, and comes back exactly. The
 * originals are kept inside the workbook on a sheet that no one sees, so that they survive whoever edits the file.
 */
import { catalogue } from "../engine/catalogue";
import { whyNoFormula } from "../engine/formula";
import { mayHoldCalls } from "./calls";
import { ChangeSet } from "./handover/change-set";
import type { CellEdit } from "./handover/changes";
import { changesSince, snapshotOf, sortedOut } from "./handover/changes";
import { Knowledge } from "./handover/knowledge";
import type { Kept, KeptOriginals, KeptPlace, Original } from "./handover/originals";
import { keptNow, readOriginals } from "./handover/originals";
import type { CellNote, HandOverMode, SheetPlan } from "./handover/plan";
import { planNative, planValues } from "./handover/plan";
import { readSpills } from "./handover/spills";
import { freeSheetName, workingRows, writeWorkingSheet } from "./handover/working-sheet";
import { addValueNotes, removeValueNotes } from "./handover/value-notes";
import type { WantedLimit } from "./limits";
import { limitsOf, readValidations, removeLimits, writeLimits } from "./limits";
import type { Progress } from "./progress";
import { pass } from "./progress";
import { cellAddress } from "./reference";
import { inWorkbook } from "./session";
import type { SheetCells } from "./sheets";
import { cellsOf, formulaCells, readCalculatedSheets, readSheets } from "./sheets";

export type { CellEdit, ChangeKind } from "./handover/changes";
export type { CellNote, HandOverMode } from "./handover/plan";

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
  /** The sheet that lists the working, where one was asked for. */
  readonly workingSheet?: string;
}

export interface BringBackReport {
  readonly restored: number;
  /** Cells that were edited since the hand-over and are left as they are. */
  readonly changed: readonly CellNote[];
}

/** The sheets with how many of their cells hold our functions, or did. */
export const sheetStates = (): Promise<readonly SheetState[]> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context);
    const { formulas } = keptNow(await readOriginals(context));
    return sheets.map((sheet) => ({
      name: sheet.name,
      calls: formulaCells(sheet).filter(({ formula }) => mayHoldCalls(formula)).length,
      handedOver: formulas.filter((original) => original.sheet === sheet.name).length,
    }));
  });

/** What each way of handing over does, in one line. */
export const handOverModes: Readonly<Record<HandOverMode, string>> = {
  "native formulas":
    "Our functions become ordinary formulas that recalculate for anyone; they can be brought back.",
  values:
    "Every formula becomes the number it shows, with the same look, for a client; it can be brought back.",
  "values with the working":
    "As values, and one more sheet lists every cell of ours with its inputs, working and sources.",
};

/** What cells hold now is what is kept of them: a host may write a formula its own way. */
function asReadBack(sheets: readonly SheetCells[], conversions: readonly Original[]): Kept["formulas"] {
  const byName = new Map(sheets.map((sheet) => [sheet.name, sheet]));
  return conversions.map((one) => {
    const sheet = byName.get(one.sheet);
    const content = sheet === undefined ? "" : contentAt(sheet, one);
    return content === "" || typeof one.native === "number" ? one : { ...one, native: content };
  });
}

const contentAt = (sheet: SheetCells, { row, column }: KeptPlace): string =>
  cellsOf(sheet, { top: row, bottom: row, left: column, right: column })[0]?.[0]?.formula ?? "";

async function planned(
  context: Excel.RequestContext,
  chosen: readonly SheetCells[],
  knowledge: Knowledge,
  mode: HandOverMode,
): Promise<readonly SheetPlan[]> {
  if (mode === "native formulas") return chosen.map((sheet) => planNative(sheet, knowledge));
  const spills = await readSpills(context, chosen);
  return chosen.map((sheet) => planValues(sheet, knowledge, spills));
}

/** Hands the chosen sheets over. A sheet with a cell that cannot be converted is left as it was. */
export const handOver = (
  names: readonly string[],
  progress: Progress,
  mode: HandOverMode = "native formulas",
): Promise<HandOverReport> =>
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    const sheets = await readCalculatedSheets(context, progress);
    const knowledge = new Knowledge(sheets);
    const chosen = sheets.filter(({ name }) => names.includes(name));
    const plans = await planned(context, chosen, knowledge, mode);
    const convertible = plans.filter(({ stopped }) => stopped.length === 0);
    const conversions = convertible.flatMap((plan) => plan.conversions);

    const wanted = limitsOf(
      convertible.flatMap(({ inputs }) => inputs),
      (home) => knowledge.from(home),
    );
    const limits: readonly WantedLimit[] = await readValidations(context, wanted);
    const workingSheet =
      mode === "values with the working" && conversions.length > 0
        ? freeSheetName(sheets.map(({ name }) => name))
        : undefined;
    const before = await readOriginals(context);
    const earlier = keptNow(before);
    const kept = (formulas: Kept["formulas"], snapshot: Kept["snapshot"]): Kept => ({
      formulas: [...earlier.formulas, ...formulas],
      limits: [...earlier.limits, ...limits],
      added: [...earlier.added, ...(workingSheet === undefined ? [] : [workingSheet])],
      snapshot,
    });

    pass(progress, 0, conversions.length, "Keeping the originals");
    const change = new ChangeSet(context);
    await change.run(async () => {
      if (conversions.length === 0) return;
      change.onFailure(() => before.replace(earlier));
      await before.replace(kept(conversions, []), true);
      change.onFailure(() => removeLimits(context, limits));
      await writeLimits(context, limits);
      if (workingSheet !== undefined) {
        change.onFailure(() => deleteSheets(context, [workingSheet]));
        await writeWorkingSheet(context, workingSheet, workingRows(chosen, knowledge));
      }
      await change.write(
        conversions.map(({ original, native, ...place }) => ({ ...place, before: original, after: native })),
        progress,
        mode === "native formulas" ? "Writing native formulas" : "Writing values",
      );
      if (mode === "native formulas") {
        const values = convertible.flatMap(({ asValues }) => asValues);
        change.onFailure(() => removeValueNotes(context, values));
        await addValueNotes(context, values);
      }
      const after = await readSheets(context);
      await before.replace(kept(asReadBack(after, conversions), snapshotOf(after)));
    });
    return {
      converted: conversions.length,
      asValues: convertible.flatMap(({ asValues }) => asValues),
      limits: limits.length,
      unchecked: convertible.flatMap(({ unchecked }) => unchecked),
      stopped: plans.flatMap(({ stopped }) => stopped),
      ...(workingSheet === undefined ? {} : { workingSheet }),
    };
  });

async function deleteSheets(context: Excel.RequestContext, names: readonly string[]): Promise<void> {
  const present = names.map((name) => context.workbook.worksheets.getItemOrNullObject(name));
  for (const sheet of present) sheet.load("name");
  await context.sync();
  for (const sheet of present) if (!sheet.isNullObject) sheet.delete();
  await context.sync();
}

/** What others changed since the hand-over, cell by cell; empty when nothing was handed over. */
export const editsSinceHandOver = (): Promise<readonly CellEdit[]> =>
  inWorkbook(async (context) => {
    const kept = await readOriginals(context);
    return kept.formulas.length === 0 ? [] : changesSince(kept, await readSheets(context));
  });

function changedNotes(edited: readonly Original[], sheets: readonly SheetCells[]): readonly CellNote[] {
  const byName = new Map(sheets.map((sheet) => [sheet.name, sheet]));
  return edited.map((one) => {
    const cells = byName.get(one.sheet);
    const now = cells === undefined ? "" : contentAt(cells, one);
    return {
      sheet: one.sheet,
      address: cellAddress(one.row, one.column),
      formula: one.original,
      note: `Edited since the hand-over: it holds ${now === "" ? "nothing" : now} now and is left as it is.`,
    };
  });
}

/** Sheets that hand-overs added, that no sheet still handed over needs and that nobody has written on since. */
function addedInVain(
  kept: KeptOriginals,
  stays: readonly Original[],
  sheets: readonly SheetCells[],
): readonly string[] {
  if (stays.length > 0) return [];
  const writtenOn = new Set(changesSince(kept, sheets).map(({ sheet }) => sheet));
  return kept.added.filter((name) => !writtenOn.has(name));
}

const withoutForm = catalogue.filter((one) => whyNoFormula(one) !== undefined).map(({ id }) => id);

/** Whether the original may call a function that has no native form, so that its cell has a comment about its value. */
const mayHoldValues = ({ original }: Original): boolean => {
  const formula = original.toUpperCase();
  return withoutForm.some((id) => formula.includes(id));
};

const placeOf = ({ sheet, row, column }: KeptPlace) => ({ sheet, address: cellAddress(row, column) });

/** Puts our functions back wherever a cell is still as it was handed over, rows inserted and sheets renamed or not. */
export const bringBack = (names: readonly string[], progress: Progress): Promise<BringBackReport> =>
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    const sheets = await readSheets(context);
    const kept: KeptOriginals = await readOriginals(context);
    const now = keptNow(kept);
    const { unchanged, edited } = sortedOut(kept, sheets);
    const isChosen = ({ sheet }: Original): boolean => names.includes(sheet);
    const restored = unchanged.filter(isChosen);
    // An edited cell's original stays kept: nothing is thrown away that a person may still want.
    const stays = [...unchanged.filter((one) => !isChosen(one)), ...edited];
    const released = now.limits.filter(
      ({ forSheets }) =>
        !stays.some(({ sheet }) => forSheets.some((home) => kept.moves.sheet(home) === sheet)),
    );
    const gone = addedInVain(kept, stays, sheets);
    const change = new ChangeSet(context);
    await change.run(async () => {
      await change.write(
        restored.map(({ original, native, ...place }) => ({ ...place, before: native, after: original })),
        progress,
        "Putting the functions back",
      );
      await removeLimits(context, released);
    });
    await deleteSheets(context, gone);
    await removeValueNotes(context, restored.filter(mayHoldValues).map(placeOf));
    await kept.replace({
      formulas: stays,
      limits: now.limits.filter((limit) => !released.includes(limit)),
      snapshot: stays.length === 0 ? [] : now.snapshot,
      added: gone.length === 0 ? kept.added : [],
    });
    return { restored: restored.length, changed: changedNotes(edited.filter(isChosen), sheets) };
  });
