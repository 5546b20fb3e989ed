/** Every call of our functions in the workbook with what became of it; alike calls down a column are told as one. */
import { translateFormulaToR1C1 } from "@borgar/fx";
import { namespace } from "../../engine/catalogue";
import type { WorksheetFunction } from "../../engine/formula";
import { unitsPosition } from "../../engine/formula";
import { Refusal } from "../../engine/refusal";
import type { UnitSystem } from "../../engine/units";
import type { Call } from "../formulas";
import { callsIn, evaluate, Knowledge, mayHoldCalls, NotFollowed, spillOf } from "../formulas";
import type { FormulaCell, Pause, Progress, Scalar, SheetCells } from "../host";
import {
  cellAddress,
  inWorkbook,
  isFormula,
  readCalculatedSheets,
  showsError,
  showsErrorNamed,
  slices,
} from "../host";

export type CallState =
  | { readonly kind: "answers" }
  /** Part of a longer formula that shows a result, and may not need the call for it. */
  | { readonly kind: "in a formula" }
  | { readonly kind: "refused"; readonly sentence: string }
  /** The workbook does not find the functions at all. */
  | { readonly kind: "no such name" }
  | { readonly kind: "another edition" }
  | { readonly kind: "not followed"; readonly why: string };

export interface CallGroup {
  readonly name: string;
  /** Undefined for a function that this edition does not know. */
  readonly definition: WorksheetFunction | undefined;
  readonly system: UnitSystem;
  readonly state: CallState;
  /** The first cell, and all of them: "E2:E41". */
  readonly first: string;
  readonly address: string;
  readonly cells: number;
  /** The formula of the first cell. */
  readonly formula: string;
  /** What the calls answer, from the lowest to the highest; words as they are in the first cell. */
  readonly results: readonly Scalar[];
}

export interface SheetCalls {
  readonly sheet: string;
  /** Calls, of which a cell may hold several. */
  readonly calls: number;
  readonly groups: readonly CallGroup[];
}

interface Judged {
  readonly state: CallState;
  readonly result: Scalar;
}

const isWhole = ({ text }: Call, formula: string): boolean => formula.trim() === `=${text}`;

/** The call worked out by ourselves: for one inside a longer formula, and for a cell that shows an error. */
function workedOut(
  { definition, given }: Call,
  cell: FormulaCell,
  home: string,
  knowledge: Knowledge,
): Judged {
  if (definition === undefined) return { state: { kind: "another edition" }, result: null };
  try {
    const values = given.map((text) => evaluate(text, (reference) => knowledge.valueAt(reference, home)));
    const [[answer = null] = []] = spillOf(definition, values);
    if (answer instanceof Refusal) throw answer;
    return showsError(cell)
      ? { state: { kind: "not followed", why: `the cell shows ${cell.value} all the same` }, result: answer }
      : { state: { kind: "answers" }, result: answer };
  } catch (error) {
    if (error instanceof Refusal)
      return { state: { kind: "refused", sentence: error.sentence }, result: null };
    if (error instanceof NotFollowed)
      return { state: { kind: "not followed", why: error.message }, result: null };
    throw error;
  }
}

/** A formula that chooses between calls does not show what the others would answer. */
const chooses = /\b(IF|IFS|IFERROR|IFNA|CHOOSE|SWITCH)\(/i;

function judged(call: Call, cell: FormulaCell, home: string, knowledge: Knowledge): Judged {
  if (call.definition === undefined) return { state: { kind: "another edition" }, result: null };
  if (showsErrorNamed(cell, "#NAME?")) return { state: { kind: "no such name" }, result: null };
  if (isWhole(call, cell.formula) && !showsError(cell)) {
    return { state: { kind: "answers" }, result: cell.value };
  }
  if (showsError(cell)) return workedOut(call, cell, home, knowledge);
  const part = { state: { kind: "in a formula" }, result: cell.value } as const;
  if (chooses.test(cell.formula)) return part;
  const inner = workedOut(call, cell, home, knowledge);
  return inner.state.kind === "answers" ? inner : part;
}

function systemOf({ definition, given }: Call): UnitSystem {
  const position = definition === undefined ? -1 : unitsPosition(definition);
  return /^"metric"$/i.test(given[position] ?? "") ? "metric" : "us";
}

interface Growing {
  readonly call: Call;
  readonly state: CallState;
  readonly shape: string;
  readonly column: number;
  readonly top: number;
  bottom: number;
  readonly formula: string;
  results: readonly Scalar[];
}

function stretched(results: readonly Scalar[], next: Scalar): readonly Scalar[] {
  const [low = null] = results;
  const high = results[results.length - 1] ?? low;
  if (typeof low !== "number" || typeof high !== "number" || typeof next !== "number") return results;
  const [least, most] = [Math.min(low, next), Math.max(high, next)];
  return least === most ? [least] : [least, most];
}

const sameState = (a: CallState, b: CallState): boolean => JSON.stringify(a) === JSON.stringify(b);

class Grouping {
  readonly groups: Growing[] = [];
  calls = 0;
  /** The group that each call of the cell above belongs to. */
  private above: readonly Growing[] = [];

  add({ formula, row, column, address }: FormulaCell, calls: readonly Call[], judge: (call: Call) => Judged) {
    const shape = translateFormulaToR1C1(formula, address);
    this.calls += calls.length;
    this.above = calls.map((call, i) => {
      const { state, result } = judge(call);
      const last = this.above[i];
      const follows = last?.column === column && last.bottom === row - 1 && last.shape === shape;
      if (follows && sameState(last.state, state)) {
        last.bottom = row;
        last.results = stretched(last.results, result);
        return last;
      }
      const results = result === null ? [] : [result];
      const group = { call, state, shape, column, top: row, bottom: row, formula, results };
      this.groups.push(group);
      return group;
    });
  }
}

function asGroup({ call, state, column, top, bottom, formula, results }: Growing): CallGroup {
  const first = cellAddress(top, column);
  const name = call.definition === undefined ? call.name.toUpperCase() : `${namespace}.${call.definition.id}`;
  return {
    name,
    definition: call.definition,
    system: systemOf(call),
    state,
    first,
    address: top === bottom ? first : `${first}:${cellAddress(bottom, column)}`,
    cells: bottom - top + 1,
    formula,
    results,
  };
}

/** The cells of a sheet that may hold calls, column by column. */
async function callCells(sheet: SheetCells, pause: Pause): Promise<readonly FormulaCell[]> {
  const columns: FormulaCell[][] = [];
  for (const [i, row] of sheet.rows.entries()) {
    row.forEach((cell, j) => {
      if (!isFormula(cell) || !mayHoldCalls(cell.formula)) return;
      const at = { row: sheet.top + i, column: sheet.left + j };
      (columns[j] ??= []).push({ ...cell, ...at, address: cellAddress(at.row, at.column) });
    });
    await pause(0, 1);
  }
  return columns.flat();
}

/** The calls of sheets that were read; pure but for the pauses. */
export async function callsOf(
  sheets: readonly SheetCells[],
  progress: Progress,
): Promise<readonly SheetCalls[]> {
  const knowledge = new Knowledge(sheets);
  const pause = slices(progress, "Looking through the workbook");
  const held: { sheet: string; cells: readonly FormulaCell[] }[] = [];
  for (const sheet of sheets) {
    const cells = await callCells(sheet, pause);
    if (cells.length > 0) held.push({ sheet: sheet.name, cells });
  }
  const total = held.reduce((sum, { cells }) => sum + cells.length, 0);
  const found: SheetCalls[] = [];
  let done = 0;
  for (const { sheet, cells } of held) {
    const grouping = new Grouping();
    for (const cell of cells) {
      grouping.add(cell, callsIn(cell.formula), (call) => judged(call, cell, sheet, knowledge));
      await pause(++done, total);
    }
    if (grouping.calls > 0) {
      found.push({ sheet, calls: grouping.calls, groups: grouping.groups.map(asGroup) });
    }
  }
  return found;
}

/** Every call of our functions in the workbook, sheet by sheet. */
export const listCalls = (progress: Progress): Promise<readonly SheetCalls[]> =>
  inWorkbook(async (context) => {
    progress.report(0, 1, "Reading the workbook");
    return callsOf(await readCalculatedSheets(context, progress), progress);
  });
