/** What a hand-over would write into each cell of a sheet, before anything is written. */
import { addAll } from "../../engine/lists";
import { whyNoFormula } from "../../engine/formula";
import { Refusal } from "../../engine/refusal";
import type { Call, Knowledge, LimitedInput, Rewritten, Surroundings } from "../formulas";
import {
  attempt,
  beyondLimits,
  firstCall,
  mayHoldCalls,
  referencesIn,
  rewriteNatively,
  rewriteSpill,
  spillingCall,
  tooMuch,
} from "../formulas";
import type { CellContent, CellNote, FormulaCell, Scalar, SheetCells } from "../host";
import { formulaCells, showsError } from "../host";
import { carried, carriedPart } from "./carrier";
import type { CellPlace } from "./place";

/** What a cell holds now, and what is to be written in its place. */
export interface Conversion extends CellPlace {
  /** Empty for a cell that another cell's formula fills. */
  readonly original: string;
  readonly native: string | number;
  /** The value that the cell shows from now on, where nothing works it out any more. */
  readonly value?: string | number;
  /** Set where the native form works out something plainer, and may well show another figure. */
  readonly isPlainer?: true;
}

/** An input that a native formula takes on trust, with the sheet that the formula stands on. */
export interface PlannedInput {
  readonly home: string;
  readonly input: LimitedInput;
}

/** A call that became its value. */
export interface ValueNote extends CellNote {
  /** Whether the function would have followed something that the value does not. */
  readonly isFrozen: boolean;
  /** Whether the cell holds nothing else. */
  readonly isWhole: boolean;
}

/** A call whose native form is not its equal in everything. */
export interface UncheckedNote extends CellNote {
  /** Whether it works out something plainer, which the cell says itself. */
  readonly isPlainer: boolean;
}

export interface SheetPlan {
  readonly conversions: readonly Conversion[];
  readonly inputs: readonly PlannedInput[];
  readonly asValues: readonly ValueNote[];
  readonly unchecked: readonly UncheckedNote[];
  readonly stopped: readonly CellNote[];
}

/** Why a call has no native form, for one that has none. */
export function whyNoForm(formula: string): string | undefined {
  return whyNoFormula(firstCall(formula)?.definition);
}

/** A formula that is one call of a function without a native form hands over the value that its cell shows. */
const wholeCallWithoutForm = (formula: string): Call | undefined => {
  const call = firstCall(formula);
  const isWhole = call !== undefined && `=${call.text}` === formula.trim();
  return isWhole && whyNoFormula(call.definition) !== undefined ? call : undefined;
};

const scalarValue = (value: Scalar): string | number =>
  typeof value === "number" ? value : String(value ?? "");

const valueOf = ({ value }: FormulaCell): string | number => scalarValue(value);

interface Growing {
  readonly conversions: Conversion[];
  readonly inputs: PlannedInput[];
  readonly asValues: ValueNote[];
  readonly unchecked: UncheckedNote[];
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

const worksOut = (content: string | number): content is string =>
  typeof content === "string" && content.startsWith("=");

const converted = (
  sheet: string,
  { row, column, formula }: FormulaCell,
  native: string | number,
  shown: string | number = native,
  isValue = !worksOut(shown),
): Conversion => ({
  sheet,
  row,
  column,
  original: formula,
  native,
  ...(isValue ? { value: shown } : {}),
});

/** The cells that one formula fills, each with what is written in its place. */
function addBlock<Shown>(
  plan: Growing,
  sheet: SheetCells,
  cell: FormulaCell,
  shown: readonly (readonly Shown[])[],
  content: (one: Shown) => string | number,
  written?: (content: string | number, isAnchor: boolean) => string | number,
): void {
  shown.forEach((line, i) =>
    line.forEach((one, j) => {
      const isAnchor = i === 0 && j === 0;
      const formula = isAnchor ? cell.formula : "";
      const place = { ...cell, row: cell.row + i, column: cell.column + j, formula };
      const native = content(one);
      // A value is what it is; what else is written works it out, or may.
      plan.conversions.push(
        written === undefined
          ? converted(sheet.name, place, native, native, true)
          : converted(sheet.name, place, written(native, isAnchor), native),
      );
    }),
  );
}

/** A cell that shows one of these has no answer of its function's yet. */
const unanswered: Readonly<Record<string, string>> = {
  "#SPILL!": "Something stands in the cells that it fills: clear them, then hand over.",
  "#NAME?": "It shows #NAME?: enter it again once the add-in is loaded, then hand over.",
  "#BUSY!": "It is still being worked out: wait for it, then hand over.",
};

/** What is to be done about a cell without an answer; undefined for one that has one. */
export const whyUnanswered = (cell: CellContent): string | undefined =>
  showsError(cell) ? unanswered[String(cell.value)] : undefined;

/** Plans one sheet, a formula at a time, so that long work can give way between two of them. */
export class NativePlan {
  private readonly plan = nothing();
  private readonly surroundings: Surroundings;
  /** References of the formula at hand that a formula fills. */
  private computed = new Set<string>();

  /** A call that comes back is written with its original; one that does not is its native form alone. */
  constructor(
    private readonly sheet: SheetCells,
    knowledge: Knowledge,
    private readonly comesBack: boolean,
  ) {
    const known = knowledge.from(sheet.name);
    this.surroundings = {
      ...known,
      isComputed: (reference) => {
        const isComputed = known.isComputed(reference);
        if (isComputed) this.computed.add(reference);
        return isComputed;
      },
    };
  }

  get done(): SheetPlan {
    return this.plan;
  }

  add(cell: FormulaCell): void {
    const { formula } = cell;
    if (!mayHoldCalls(formula)) return;
    this.computed = new Set();
    const why = tooMuch(formula);
    if (why !== undefined) return this.stop(cell, why);
    // A call of another workbook's function is none of ours, whatever it is called.
    if (firstCall(formula) === undefined) return;
    const spilling = spillingCall(formula);
    const whole = wholeCallWithoutForm(formula);
    if (spilling !== undefined) this.addSpill(cell, spilling);
    else if (whole !== undefined) this.addValue(cell, whole);
    else this.addFormula(cell);
  }

  private stop(cell: FormulaCell, why: string): void {
    this.plan.stopped.push(notes(this.sheet.name, cell)(why));
  }

  /** What is written for a cell, or why it cannot be. */
  private written(cell: FormulaCell, native: string | number): string | number | undefined {
    const carrier = this.comesBack ? carried(cell.formula, native, (one) => this.computed.has(one)) : native;
    const why = this.beyond(carrier, native);
    if (why !== undefined) this.stop(cell, why);
    return why === undefined ? carrier : undefined;
  }

  private beyond(written: string | number, native: string | number): string | undefined {
    const why = worksOut(written) ? beyondLimits(written) : undefined;
    if (why === undefined || !this.comesBack) return why;
    const bareFits = !worksOut(native) || beyondLimits(native) === undefined;
    return bareFits ? `With its original beside it: ${why} Or hand it over as a short formula.` : why;
  }

  private addFormula(cell: FormulaCell): void {
    const rewritten = attempt(() => rewriteNatively(cell.formula, this.surroundings));
    if ("why" in rewritten) return this.stop(cell, rewritten.why);
    const written = this.written(cell, rewritten.text);
    if (written === undefined) return;
    this.plan.conversions.push(converted(this.sheet.name, cell, written));
    this.addFound(cell, rewritten);
  }

  private addValue(cell: FormulaCell, call: Call): void {
    const why = whyUnanswered(cell);
    if (why !== undefined) return this.stop(cell, why);
    const value = valueOf(cell);
    const written = this.written(cell, value);
    if (written === undefined) return;
    this.plan.conversions.push(converted(this.sheet.name, cell, written, value));
    this.addFound(cell, { inputs: [], asValues: [call], told: [] }, true);
  }

  /** A spill is handed over cell by cell; the cells beside the formula were empty, and are again when it comes back. */
  private addSpill(cell: FormulaCell, call: Call): void {
    const blocked = cell.value === "#SPILL!" ? whyUnanswered(cell) : undefined;
    const rewritten =
      blocked === undefined ? attempt(() => rewriteSpill(call, this.surroundings)) : { why: blocked };
    if ("why" in rewritten) return this.stop(cell, rewritten.why);
    const why = rewritten.cells
      .flat()
      .map((native, i) => this.beyond(this.cellOfSpill(cell, native, i === 0), native))
      .find((one) => one !== undefined);
    if (why !== undefined) return this.stop(cell, why);
    const block = nothing();
    addBlock(
      block,
      this.sheet,
      cell,
      rewritten.cells,
      (native) => native,
      (native, isAnchor) => this.cellOfSpill(cell, native, isAnchor),
    );
    const isPlainer = rewritten.told.some((one) => one.isPlainer);
    addAll(
      this.plan.conversions,
      block.conversions.map((one) => (isPlainer ? { ...one, isPlainer } : one)),
    );
    this.addFound(cell, rewritten, true);
  }

  private cellOfSpill(
    { formula, address }: FormulaCell,
    native: string | number,
    isAnchor: boolean,
  ): string | number {
    if (!this.comesBack) return native;
    return isAnchor
      ? carried(formula, native, (one) => this.computed.has(one))
      : carriedPart(native, address);
  }

  private addFound(
    cell: FormulaCell,
    { inputs, asValues, told }: Omit<Rewritten, "text">,
    isWhole = false,
  ): void {
    const { plan, sheet } = this;
    const note = notes(sheet.name, cell);
    addAll(
      plan.inputs,
      inputs.map((input) => ({ home: sheet.name, input })),
    );
    addAll(
      plan.asValues,
      asValues.map(({ text }) => ({
        ...note(whyNoForm(`=${text}`) ?? ""),
        isFrozen: referencesIn(`=${text}`).length > 0,
        isWhole,
      })),
    );
    addAll(
      plan.unchecked,
      told.map(({ sentence, isPlainer }) => ({ ...note(sentence), isPlainer })),
    );
  }
}

/** Every call in its native form; a formula that has none stops the sheet. */
export function planNative(sheet: SheetCells, knowledge: Knowledge, comesBack = true): SheetPlan {
  const plan = new NativePlan(sheet, knowledge, comesBack);
  for (const cell of formulaCells(sheet)) plan.add(cell);
  return plan.done;
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

/** Every formula as the value it shows; an error is no value to hand to anyone and stops the sheet. */
export function planValues(sheet: SheetCells, knowledge: Knowledge): SheetPlan {
  const plan = nothing();
  const surroundings = knowledge.from(sheet.name);
  for (const cell of formulaCells(sheet)) {
    const spilling = mayHoldCalls(cell.formula) ? spillingCall(cell.formula) : undefined;
    if (spilling !== undefined) {
      planSpilledValues(plan, sheet, cell, spilling, surroundings);
    } else if (showsError(cell)) {
      plan.stopped.push(notes(sheet.name, cell)(shownError(cell.value)));
    } else {
      plan.conversions.push(converted(sheet.name, cell, valueOf(cell), valueOf(cell), true));
    }
  }
  return plan;
}
