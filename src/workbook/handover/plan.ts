/** What a hand-over would write into each cell of a sheet, before anything is written. */
import { whyNoFormula } from "../../engine/formula";
import { Refusal } from "../../engine/refusal";
import { attempt } from "../attempt";
import type { Call, LimitedInput, Surroundings } from "../calls";
import { callsIn, mayHoldCalls, rewriteNatively, rewriteSpill, spillingCall } from "../calls";
import type { Scalar } from "../evaluate";
import { isError } from "../evaluate";
import type { FormulaCell, SheetCells } from "../sheets";
import { formulaCells } from "../sheets";
import type { Knowledge } from "./knowledge";
import type { Original } from "./originals";
import { Spills } from "./spills";

/** How a sheet is handed over. */
export type HandOverMode = "native formulas" | "values" | "values with the working";

export interface CellNote {
  readonly sheet: string;
  readonly address: string;
  readonly formula: string;
  readonly note: string;
}

export interface SheetPlan {
  readonly conversions: readonly Original[];
  readonly inputs: readonly { readonly home: string; readonly input: LimitedInput }[];
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly stopped: readonly CellNote[];
}

/** Why a call has no native form, for one that has none. */
export function whyNoForm(formula: string): string | undefined {
  return whyNoFormula(callsIn(formula)[0]?.definition);
}

/** A formula that is one call of a function without a native form hands over the value that its cell shows. */
const wholeCallWithoutForm = (formula: string): boolean => {
  const call = callsIn(formula)[0];
  return call !== undefined && `=${call.text}` === formula.trim() && whyNoForm(formula) !== undefined;
};

const scalarValue = (value: Scalar): string | number =>
  typeof value === "number" ? value : String(value ?? "");

const valueOf = ({ value }: FormulaCell): string | number => scalarValue(value);

interface Growing {
  readonly conversions: Original[];
  readonly inputs: { home: string; input: LimitedInput }[];
  readonly asValues: CellNote[];
  readonly unchecked: CellNote[];
  readonly stopped: CellNote[];
}

const nothing = (): Growing => ({ conversions: [], inputs: [], asValues: [], unchecked: [], stopped: [] });

const notes =
  (sheet: string, { address, formula }: FormulaCell) =>
  (note: string): CellNote => ({
    sheet,
    address,
    formula,
    note,
  });

const converted = (
  sheet: string,
  { row, column, formula }: FormulaCell,
  native: string | number,
): Original => ({
  sheet,
  row,
  column,
  original: formula,
  native,
});

/** The cells that one formula fills, each with what is written in its place. */
function addBlock<Shown>(
  plan: Growing,
  sheet: SheetCells,
  cell: FormulaCell,
  shown: readonly (readonly Shown[])[],
  native: (one: Shown) => string | number,
): void {
  shown.forEach((line, i) =>
    line.forEach((one, j) => {
      const formula = i === 0 && j === 0 ? cell.formula : "";
      const place = { ...cell, row: cell.row + i, column: cell.column + j, formula };
      plan.conversions.push(converted(sheet.name, place, native(one)));
    }),
  );
}

/** A cell that shows one of these has no answer of its function's yet. */
const unanswered: Readonly<Record<string, string>> = {
  "#SPILL!": "Something stands in the cells that it fills: clear them, then hand over.",
  "#NAME?": "It shows #NAME?: enter it again once the add-in is loaded, then hand over.",
  "#BUSY!": "It is still being worked out: wait for it, then hand over.",
};

const whyUnanswered = ({ value }: FormulaCell): string | undefined =>
  typeof value === "string" ? unanswered[value] : undefined;

/** A spill is handed over cell by cell; the cells beside the formula were empty, and are again when it comes back. */
function planSpill(
  plan: Growing,
  sheet: SheetCells,
  cell: FormulaCell,
  call: Call,
  surroundings: Surroundings,
): void {
  const note = notes(sheet.name, cell);
  const blocked = cell.value === "#SPILL!" ? whyUnanswered(cell) : undefined;
  const rewritten =
    blocked === undefined ? attempt(() => rewriteSpill(call, surroundings)) : { why: blocked };
  if ("why" in rewritten) {
    plan.stopped.push(note(rewritten.why));
    return;
  }
  addBlock(plan, sheet, cell, rewritten.cells, (native) => native);
  plan.inputs.push(...rewritten.inputs.map((input) => ({ home: sheet.name, input })));
  plan.unchecked.push(...rewritten.told.map(({ sentence }) => note(sentence)));
}

/** Every call in its native form; a formula that has none stops the sheet. */
export function planNative(sheet: SheetCells, knowledge: Knowledge): SheetPlan {
  const surroundings = knowledge.from(sheet.name);
  const plan = nothing();
  for (const cell of formulaCells(sheet)) {
    const { formula } = cell;
    if (!mayHoldCalls(formula)) continue;
    const note = notes(sheet.name, cell);
    const spilling = spillingCall(formula);
    if (spilling !== undefined) {
      planSpill(plan, sheet, cell, spilling, surroundings);
      continue;
    }
    if (wholeCallWithoutForm(formula)) {
      const why = whyUnanswered(cell);
      if (why !== undefined) {
        plan.stopped.push(note(why));
        continue;
      }
      plan.conversions.push(converted(sheet.name, cell, valueOf(cell)));
      plan.asValues.push(note(whyNoForm(formula) ?? ""));
      continue;
    }
    const rewritten = attempt(() => rewriteNatively(formula, surroundings));
    if ("why" in rewritten) {
      plan.stopped.push(note(rewritten.why));
      continue;
    }
    plan.conversions.push(converted(sheet.name, cell, rewritten.text));
    plan.inputs.push(...rewritten.inputs.map((input) => ({ home: sheet.name, input })));
    plan.asValues.push(...rewritten.asValues.map((call) => note(whyNoForm(`=${call.text}`) ?? "")));
    plan.unchecked.push(...rewritten.told.map(({ sentence }) => note(sentence)));
  }
  return plan;
}

function planSpilledValues(
  plan: Growing,
  sheet: SheetCells,
  cell: FormulaCell,
  call: Call,
  surroundings: Surroundings,
): void {
  const blocked = whyUnanswered(cell);
  const shown = blocked === undefined ? attempt(() => surroundings.spillOf(call)) : { why: blocked };
  const refused = "why" in shown ? shown.why : shown.flat().find((one) => one instanceof Refusal)?.message;
  if ("why" in shown || refused !== undefined) {
    plan.stopped.push(notes(sheet.name, cell)(refused ?? ""));
    return;
  }
  addBlock(plan, sheet, cell, shown, (value) => (value instanceof Refusal ? "" : value));
}

const shownError = (shown: unknown): string => `It shows ${String(shown)}: put that right, then hand over.`;

/** What someone else's formula spills. */
function planOthersSpill(
  plan: Growing,
  sheet: SheetCells,
  cell: FormulaCell,
  shown: readonly (readonly Scalar[])[],
): void {
  const error = shown.flat().find(isError);
  if (error !== undefined) plan.stopped.push(notes(sheet.name, cell)(shownError(error)));
  else addBlock(plan, sheet, cell, shown, scalarValue);
}

/** Every formula as the value it shows; an error is no value to hand to anyone and stops the sheet. */
export function planValues(
  sheet: SheetCells,
  knowledge: Knowledge,
  spills: Spills = new Spills(),
): SheetPlan {
  const plan = nothing();
  const surroundings = knowledge.from(sheet.name);
  for (const cell of formulaCells(sheet)) {
    const spilling = mayHoldCalls(cell.formula) ? spillingCall(cell.formula) : undefined;
    const others = spills.from({ ...cell, sheet: sheet.name });
    if (spilling !== undefined) {
      planSpilledValues(plan, sheet, cell, spilling, surroundings);
    } else if (others !== undefined) {
      planOthersSpill(plan, sheet, cell, others);
    } else if (isError(cell.value)) {
      plan.stopped.push(notes(sheet.name, cell)(shownError(cell.value)));
    } else {
      plan.conversions.push(converted(sheet.name, cell, valueOf(cell)));
    }
  }
  return plan;
}
