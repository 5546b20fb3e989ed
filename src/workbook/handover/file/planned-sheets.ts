/** What is to become of each formula of a sheet in a file, planned before anything is written. */
import { addAll } from "../../../engine/lists";
import { mayHoldCalls, spillingCall, tooMuch } from "../../formulas";
import type { CellNote, Pause, SheetCells } from "../../host";
import { cellAddress, inSlices } from "../../host";
import { whyForGood, whyOutward } from "../outward";
import type { SheetPlan } from "../plan";
import { planNative, planValues } from "../plan";
import type { FileKnowledge } from "./file-knowledge";
import { FilledDown } from "./filled-down";
import { unreadable } from "./loose-formulas";
import type { Settled, UnplannedCell } from "./settled";
import { notCalculated, settling, unsettled } from "./settled";
import type { FileCell } from "./cell-store";
import { contentIn } from "./cell-store";
import type { ReadSheet } from "./opened-file";
import type { FileCopyOptions } from "./copy-options";
import { comesBack } from "./copy-options";

export interface Planned extends ReadSheet, Settled {
  /** Formulas of others that become what they show. */
  readonly plain: number;
  /** Formulas that read or call something of another workbook, which stay as they are. */
  readonly elsewhere: readonly CellNote[];
  /** Calls of ours that are handed over and not brought back. */
  readonly forGood: readonly CellNote[];
}

/** Cells that are looked at or written at a time, in a few milliseconds. */
export const cellsAtATime = 500;

/** Formulas of a sheet that are planned at a time; fewer where they are long. */
const formulasAtATime = 20;
const charactersAtATime = 2_000;

const planOf = (mode: FileCopyOptions["mode"], cells: SheetCells, knowledge: FileKnowledge): SheetPlan =>
  mode === "values" ? planValues(cells, knowledge) : planNative(cells, knowledge, comesBack(mode));

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

export async function plannedSheet(
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
