/**
 * Handing a sheet over: every call of our functions becomes plain worksheet arithmetic, and comes back exactly. The
 * originals are kept inside the workbook on a sheet that no one sees, so that they survive whoever edits the file.
 */
import { functionNamed } from "../engine/catalogue";
import { NoNativeForm } from "../engine/native";
import { Refusal } from "../engine/refusal";
import type { Call, LimitedInput, Rewritten, Surroundings } from "./calls";
import { callsIn, mayHoldCalls, rewriteNatively } from "./calls";
import type { Value } from "./evaluate";
import { answerOf, evaluate, NotFollowed } from "./evaluate";
import type { WantedLimit } from "./limits";
import { limitsOf, readValidations, removeLimits, writeLimits } from "./limits";
import type { Original } from "./originals";
import { keepOriginals, readOriginals } from "./originals";
import type { Progress } from "./progress";
import { pass } from "./progress";
import { blockOf, placeOf } from "./reference";
import { inWorkbook } from "./session";
import type { SheetCells } from "./sheets";
import { cellsOf, formulaCells, readSheets } from "./sheets";
import { asSentence, WorkbookTrouble } from "./trouble";

export interface SheetState {
  readonly name: string;
  /** Cells that hold our functions. */
  readonly calls: number;
  /** Cells that are native now, with their originals kept. */
  readonly handedOver: number;
}

export interface CellNote {
  readonly sheet: string;
  readonly address: string;
  readonly formula: string;
  readonly note: string;
}

export interface HandOverReport {
  readonly converted: number;
  /** Cells where a function without a native form became its value. */
  readonly asValues: readonly CellNote[];
  /** Input cells that were given the limits that the functions had watched over. */
  readonly limits: number;
  readonly unchecked: readonly CellNote[];
  /** Cells that cannot be converted: their whole sheet was left as it was. */
  readonly stopped: readonly CellNote[];
}

export interface BringBackReport {
  readonly restored: number;
  /** Cells that were edited since the hand-over and are left as they are. */
  readonly changed: readonly CellNote[];
}

/** The visible sheets with how many of their cells hold our functions, or did. */
export const sheetStates = (): Promise<readonly SheetState[]> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context);
    const originals = await readOriginals(context);
    return sheets.map((sheet) => ({
      name: sheet.name,
      calls: formulaCells(sheet).filter(({ formula }) => mayHoldCalls(formula)).length,
      handedOver: originals.formulas.filter((original) => original.sheet === sheet.name).length,
    }));
  });

/** What the whole workbook holds, asked cell by cell while formulas are rewritten. */
class Knowledge {
  private readonly sheets: ReadonlyMap<string, SheetCells>;

  constructor(sheets: readonly SheetCells[]) {
    this.sheets = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  }

  private cells(reference: string, home: string) {
    const place = placeOf(reference, home);
    const sheet = place === undefined ? undefined : this.sheets.get(place.sheet.toLowerCase());
    const block = place === undefined ? undefined : blockOf(place.address);
    return sheet === undefined || block === undefined ? undefined : cellsOf(sheet, block);
  }

  /** As seen from one sheet. A name or a table's column is taken as worked out: its cells are not known here. */
  from(home: string): Surroundings {
    const lookup = (reference: string): Value => {
      const cells = this.cells(reference, home);
      if (cells === undefined) throw new NotFollowed(`${reference} is worked out by the spreadsheet`);
      const values = cells.map((row) => row.map(({ value }) => value));
      return values.length === 1 && values[0]?.length === 1 ? (values[0][0] ?? null) : values;
    };
    return {
      isComputed: (reference) => {
        const cells = this.cells(reference, home);
        return cells === undefined || cells.flat().some(({ formula }) => formula.startsWith("="));
      },
      valueOf: ({ definition, name, given }: Call) => {
        if (definition === undefined) throw new NotFollowed(`${name} is not known to this edition`);
        return answerOf(
          definition,
          given.map((text) => evaluate(text, lookup)),
        );
      },
    };
  }
}

interface Conversion extends Original {
  readonly row: number;
  readonly column: number;
}

interface SheetPlan {
  readonly conversions: readonly Conversion[];
  readonly inputs: readonly { readonly home: string; readonly input: LimitedInput }[];
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly stopped: readonly CellNote[];
}

/** Why a formula cannot be converted; anything else is a fault of ours and goes up. */
const reasons = [NoNativeForm, SyntaxError, NotFollowed, Refusal];

function tryRewrite(formula: string, surroundings: Surroundings): Rewritten | { readonly why: string } {
  try {
    return rewriteNatively(formula, surroundings);
  } catch (error) {
    if (reasons.some((reason) => error instanceof reason)) return { why: asSentence(error) };
    throw error;
  }
}

/** A formula that is one call of a function without a native form hands over the value that its cell shows. */
const wholeCallWithoutForm = (formula: string): boolean => {
  const [call] = callsIn(formula);
  return call !== undefined && `=${call.text}` === formula.trim() && call.definition?.form === "computed";
};

function planSheet(sheet: SheetCells, knowledge: Knowledge): SheetPlan {
  const surroundings = knowledge.from(sheet.name);
  const plan = {
    conversions: [] as Conversion[],
    inputs: [] as { home: string; input: LimitedInput }[],
    asValues: [] as CellNote[],
    unchecked: [] as CellNote[],
    stopped: [] as CellNote[],
  };
  for (const { row, column, address, formula, value } of formulaCells(sheet)) {
    if (!mayHoldCalls(formula)) continue;
    const note = (text: string): CellNote => ({ sheet: sheet.name, address, formula, note: text });
    const convert = (native: string | number) =>
      plan.conversions.push({ sheet: sheet.name, address, row, column, original: formula, native });
    if (wholeCallWithoutForm(formula)) {
      convert(typeof value === "number" ? value : String(value ?? ""));
      plan.asValues.push(note(whyNoForm(formula)));
      continue;
    }
    const rewritten = tryRewrite(formula, surroundings);
    if ("why" in rewritten) {
      plan.stopped.push(note(rewritten.why));
      continue;
    }
    convert(rewritten.text);
    plan.inputs.push(...rewritten.inputs.map((input) => ({ home: sheet.name, input })));
    plan.asValues.push(...rewritten.asValues.map((call) => note(whyNoForm(`=${call.text}`))));
    plan.unchecked.push(
      ...rewritten.unchecked.map(({ definition }) =>
        note(`Not checked any more: ${definition?.unchecked ?? ""}.`),
      ),
    );
  }
  return plan;
}

const whyNoForm = (formula: string): string => {
  const [call] = callsIn(formula);
  const definition = call === undefined ? undefined : functionNamed(call.name);
  return definition?.form === "computed" ? definition.whyNoFormula : "";
};

/** How many cells go into one batch: the host is asked often enough to show progress, and not for every cell. */
const cellsPerBatch = 500;

interface CellWrite {
  readonly sheet: string;
  readonly address: string;
  readonly content: string | number;
}

interface ColumnRun {
  readonly sheet: string;
  readonly top: number;
  readonly left: number;
  readonly contents: (string | number)[];
}

/** Cells one under another are written in one go: the host pays for each range it is told of. */
function columnRuns(cells: readonly CellWrite[]): readonly ColumnRun[] {
  const placed = cells.flatMap(({ sheet, address, content }) => {
    const block = blockOf(address);
    return block === undefined ? [] : [{ sheet, top: block.top, left: block.left, content }];
  });
  placed.sort((a, b) => a.sheet.localeCompare(b.sheet) || a.left - b.left || a.top - b.top);
  const found: ColumnRun[] = [];
  for (const { sheet, top, left, content } of placed) {
    const last = found[found.length - 1];
    const follows = last?.sheet === sheet && last.left === left && last.top + last.contents.length === top;
    if (follows) last.contents.push(content);
    else found.push({ sheet, top, left, contents: [content] });
  }
  return found;
}

async function writeFormulas(context: Excel.RequestContext, cells: readonly CellWrite[]): Promise<void> {
  for (const { sheet, top, left, contents } of columnRuns(cells)) {
    const worksheet = context.workbook.worksheets.getItem(sheet);
    worksheet.getRangeByIndexes(top, left, contents.length, 1).formulas = contents.map((content) => [
      content,
    ]);
  }
  await context.sync();
}

/** Even putting back failed: the originals stay kept, and bringing the functions back finishes the job. */
class HalfWay extends WorkbookTrouble {
  constructor(cause: unknown) {
    super(
      "The workbook stopped answering part of the way. The originals are kept: bring the functions back once it answers again.",
      { cause },
    );
  }
}

interface CellChange {
  readonly sheet: string;
  readonly address: string;
  readonly before: string | number;
  readonly after: string | number;
}

/** Steps that know how to take themselves back, so that the workbook is either as before or fully changed. */
class AllOrNothing {
  private readonly back: (() => Promise<void>)[] = [];

  constructor(private readonly context: Excel.RequestContext) {}

  /** What takes back the step that is about to run; registered first, since a step may fail half done. */
  onFailure(takeBack: () => Promise<void>): void {
    this.back.push(takeBack);
  }

  async write(changes: readonly CellChange[], progress: Progress, what: string): Promise<void> {
    let begun = 0;
    this.onFailure(() =>
      writeFormulas(
        this.context,
        changes.slice(0, begun).map(({ before, ...cell }) => ({ ...cell, content: before })),
      ),
    );
    while (begun < changes.length) {
      pass(progress, begun, changes.length, what);
      const batch = changes.slice(begun, begun + cellsPerBatch);
      begun += batch.length;
      await writeFormulas(
        this.context,
        batch.map(({ after, ...cell }) => ({ ...cell, content: after })),
      );
    }
    progress.report(changes.length, changes.length, what);
  }

  async run(steps: () => Promise<void>): Promise<void> {
    try {
      await steps();
    } catch (error) {
      try {
        for (const takeBack of [...this.back].reverse()) await takeBack();
      } catch (cause) {
        throw new HalfWay(cause);
      }
      throw error;
    }
  }
}

/** A host may write a formula its own way; what is kept is what it answers, so that coming back knows it again. */
async function keepAsReadBack(context: Excel.RequestContext): Promise<void> {
  const kept = await readOriginals(context);
  const now = currentContents(await readSheets(context), kept.formulas);
  const formulas = kept.formulas.map((one) => {
    const holds = now.get(placeKey(one));
    return holds === undefined || holds === String(one.native) ? one : { ...one, native: holds };
  });
  if (formulas.some((one, i) => one !== kept.formulas[i])) await kept.replace({ ...kept, formulas });
}

/** Turns every formula with our functions, in the chosen sheets, into its native form. */
export const handOver = (names: readonly string[], progress: Progress): Promise<HandOverReport> =>
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    const sheets = await readSheets(context);
    const knowledge = new Knowledge(sheets);
    const plans = sheets
      .filter(({ name }) => names.includes(name))
      .map((sheet) => planSheet(sheet, knowledge));
    const convertible = plans.filter(({ stopped }) => stopped.length === 0);
    const conversions = convertible.flatMap((plan) => plan.conversions);

    const wanted = limitsOf(
      convertible.flatMap(({ inputs }) => inputs),
      (home) => knowledge.from(home),
    );
    const limits: readonly WantedLimit[] = await readValidations(context, wanted);
    pass(progress, 0, conversions.length, "Keeping the originals");
    const change = new AllOrNothing(context);
    await change.run(async () => {
      change.onFailure(await keepOriginals(context, { formulas: conversions, limits }));
      change.onFailure(() => removeLimits(context, limits));
      await writeLimits(context, limits);
      await change.write(
        conversions.map(({ sheet, address, original, native }) => ({
          sheet,
          address,
          before: original,
          after: native,
        })),
        progress,
        "Writing native formulas",
      );
      await keepAsReadBack(context);
    });
    return {
      converted: conversions.length,
      asValues: convertible.flatMap(({ asValues }) => asValues),
      limits: limits.length,
      unchecked: convertible.flatMap(({ unchecked }) => unchecked),
      stopped: plans.flatMap(({ stopped }) => stopped),
    };
  });

/** Puts our functions back where the native form is still what was handed over. */
export const bringBack = (names: readonly string[], progress: Progress): Promise<BringBackReport> =>
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    const sheets = await readSheets(context);
    const kept = await readOriginals(context);
    const here = currentContents(sheets, kept.formulas);
    const chosen = kept.formulas.filter(({ sheet }) => names.includes(sheet));
    const holds = (one: Original): string => here.get(placeKey(one)) ?? "";
    const unchanged = chosen.filter((one) => holds(one) === String(one.native));
    const changed = chosen.filter((one) => holds(one) !== String(one.native) && holds(one) !== one.original);
    // An edited cell's original stays kept: nothing is thrown away that a person may still want.
    const stays = kept.formulas.filter((one) => !names.includes(one.sheet) || changed.includes(one));
    const released = kept.limits.filter(
      ({ forSheets }) => !forSheets.some((sheet) => stays.some((one) => one.sheet === sheet)),
    );
    const change = new AllOrNothing(context);
    await change.run(async () => {
      await change.write(
        unchanged.map(({ sheet, address, original, native }) => ({
          sheet,
          address,
          before: native,
          after: original,
        })),
        progress,
        "Putting the functions back",
      );
      await removeLimits(context, released);
    });
    await kept.replace({ formulas: stays, limits: kept.limits.filter((limit) => !released.includes(limit)) });
    return {
      restored: unchanged.length,
      changed: changed.map((one) => ({
        sheet: one.sheet,
        address: one.address,
        formula: one.original,
        note: `Edited since the hand-over: it holds ${holds(one) === "" ? "nothing" : holds(one)} now and is left as it is.`,
      })),
    };
  });

const placeKey = ({ sheet, address }: Original): string => `${sheet}!${address}`;

/** What the cells of kept originals hold now, as text. */
function currentContents(
  sheets: readonly SheetCells[],
  originals: readonly Original[],
): ReadonlyMap<string, string> {
  const byName = new Map(sheets.map((sheet) => [sheet.name, sheet]));
  return new Map(
    originals.flatMap((original) => {
      const sheet = byName.get(original.sheet);
      const block = blockOf(original.address);
      const cell = sheet === undefined || block === undefined ? undefined : cellsOf(sheet, block)[0]?.[0];
      return cell === undefined ? [] : [[placeKey(original), cell.formula] as const];
    }),
  );
}
