/**
 * A formula with its calls of ours in their native form. Only the calls themselves are touched; every other character
 * of the formula stays as it was typed.
 */
import type { Spilled, WorksheetFunction } from "../../engine/formula";
import { resultBounds, whyNoFormula } from "../../engine/formula";
import { nativeForm } from "../../engine/native/form";
import type { NativeArgument, NativeText } from "../../engine/native/pieces";
import { binding, leftOut, NoNativeForm } from "../../engine/native/pieces";
import { nativeCell } from "../../engine/native/spilled";
import type { Parameter } from "../../engine/parameters";
import { argumentSort } from "./argument-sort";
import { blockFilledBy } from "./filled-part";
import { beyondLimits, formulaLimits } from "./formula-limits";
import type { Call } from "./calls";
import { callsAmong } from "./calls";
import { parameterAt } from "./call-parameters";
import { placed, quoted, literalOf, isReference } from "./tokens";
import { neededBinding, bindingOf } from "./operator-binding";

/** What the workbook knows that a formula's text does not say. */
export interface Surroundings {
  /** Whether any cell behind a reference is worked out by a formula, so that no limit on an input can watch it. */
  isComputed(reference: string): boolean;
  /** The value of a call that has no native form, as a number or text. */
  valueOf(call: Call): number | string;
  /** What a call shows in its cell and those beside it. */
  spillOf(call: Call): Spilled;
}

/** A reference that an argument consists of, with the argument's place: where the limits of the input go. */
export interface LimitedInput {
  readonly call: Call;
  readonly position: number;
  readonly reference: string;
}

export interface Rewritten {
  readonly text: string;
  /** Inputs that the native formula takes on trust. */
  readonly inputs: readonly LimitedInput[];
  /** Calls that became their value. */
  readonly asValues: readonly Call[];
  /** Where a native form is not its function's equal in everything. */
  readonly told: readonly Told[];
}

/** What the native form of a call does not do, or does instead, as a sentence for who opens the sheet. */
export interface Told {
  readonly call: Call;
  readonly sentence: string;
  /** Whether the cell works out something plainer than the function, and has to say so itself. */
  readonly isPlainer: boolean;
}

const takesCells = (parameter: Parameter | undefined): boolean =>
  parameter !== undefined && parameter.takes !== "number" && parameter.takes !== "text";

/** Figures in order and corners are asked for one by one. */
const needsCells = (parameter: Parameter | undefined): boolean =>
  parameter?.takes === "range" && (parameter.columns !== undefined || parameter.series === true);

/** Refuses an argument that no native formula could point into; an array written out is none of these. */
function refuseArray(call: Call, text: string, position: number): void {
  const parameter = parameterAt(call, position);
  // Down the rows of EACH_ROW an argument of any kind may be a column.
  if (call.definition?.form !== "each row" && !takesCells(parameter)) return;
  const sort = argumentSort(text);
  if (sort === "cells" || (sort === "one value" && !needsCells(parameter))) return;
  throw new NoNativeForm(
    `${text} is worked out inside ${call.name} and stands in no cells that a native formula could point to: put it into cells of its own and give ${call.name} their range.`,
  );
}

/** Each call inside another is written out as often as the outer form needs it, so nothing longer is put together. */
function refuseLonger(text: string): void {
  if (text.length > formulaLimits.characters) throw new NoNativeForm(beyondLimits(text));
}

/** Cells that one formula may be written out over: each of them is a formula of its own. */
const mostSpilled = 20_000;

function refuseWider({ name }: Call, shown: Spilled): void {
  const cells = shown.length * (shown[0]?.length ?? 0);
  if (cells <= mostSpilled) return;
  const [has, most] = [cells, mostSpilled].map((count) => count.toLocaleString("en-US"));
  throw new NoNativeForm(
    `${name} fills ${has} cells, and each would need a formula of its own, ${most} at most: give it fewer rows, or hand over as values.`,
  );
}

class Rewriter {
  readonly inputs: LimitedInput[] = [];
  readonly asValues: Call[] = [];
  readonly told: Told[] = [];

  constructor(private readonly surroundings: Surroundings) {}

  rewrite(text: string): string {
    const tokens = placed(text);
    let from = 0;
    let out = "";
    for (const call of callsAmong(text, tokens)) {
      const native = this.native(call);
      const bare = native.binding >= neededBinding(tokens, call.first, call.last);
      out += text.slice(from, call.start) + (bare ? native.text : `(${native.text})`);
      refuseLonger(out);
      from = call.end;
    }
    return out + text.slice(from);
  }

  private native(call: Call): NativeText {
    const { definition } = call;
    if (definition === undefined) {
      throw new SyntaxError(
        `${call.name} is not a function of this edition: update the add-in, then hand over.`,
      );
    }
    if (whyNoFormula(definition) !== undefined) {
      const value = this.surroundings.valueOf(call);
      this.asValues.push(call);
      return { text: typeof value === "number" ? String(value) : quoted(value), binding: binding.whole };
    }
    const native = nativeForm(definition, this.argumentsOf(call));
    refuseLonger(native.text);
    this.tell(call, definition, native);
    return native;
  }

  private tell(call: Call, { unchecked }: WorksheetFunction, { told, isPlainer }: NativeText): void {
    const add = (sentence: string | undefined, plainer: boolean): void => {
      const known = this.told.some((one) => one.call === call && one.sentence === sentence);
      if (sentence !== undefined && !known) this.told.push({ call, sentence, isPlainer: plainer });
    };
    add(unchecked === undefined ? undefined : `Not checked any more: ${unchecked}.`, false);
    add(told, isPlainer === true);
  }

  private argumentsOf(call: Call): readonly NativeArgument[] {
    return call.given.map((text, position) => this.argument(call, text, position));
  }

  /** Each cell of a spill in a form of its own: a formula where there is one, otherwise what the cell shows. */
  spill(call: Call, definition: WorksheetFunction): readonly (readonly (string | number)[])[] {
    const shown = this.surroundings.spillOf(call);
    refuseWider(call, shown);
    const size = { rows: shown.length, columns: shown[0]?.length ?? 0 };
    const given = this.argumentsOf(call);
    return shown.map((cells, row) =>
      cells.map((_cell, column) => {
        const native = nativeCell(definition, given, { ...size, row, column });
        refuseLonger(native.text);
        this.tell(call, definition, native);
        return `=${native.text}`;
      }),
    );
  }

  private argument(call: Call, given: string, position: number): NativeArgument {
    if (given === "") return leftOut;
    // A native formula finds the end of what is filled by itself.
    const text = blockFilledBy(given) ?? given;
    const literal = literalOf(text);
    if (literal !== undefined) return { text, binding: bindingOf(placed(text)), literal };
    if (isReference(text)) {
      if (this.surroundings.isComputed(text)) return { text, binding: binding.whole, computed: true };
      this.inputs.push({ call, position, reference: text });
      return { text, binding: binding.whole };
    }
    if (!/^\{[^]*\}$/.test(text)) refuseArray(call, text, position);
    const rewritten = this.rewrite(text);
    const table = /^\{.*\}$/s.test(rewritten);
    const [whole] = callsAmong(text, placed(text));
    const bounds =
      whole?.text === text && whole.definition !== undefined ? resultBounds(whole.definition.result) : {};
    return { text: rewritten, binding: bindingOf(placed(rewritten)), computed: !table, bounds };
  }
}

export interface RewrittenSpill extends Omit<Rewritten, "text"> {
  /** What each cell of the spill holds instead. */
  readonly cells: readonly (readonly (string | number)[])[];
}

/** A spilling call with each of its cells in a form of its own. Throws where one has none. */
export function rewriteSpill(call: Call, surroundings: Surroundings): RewrittenSpill {
  const { definition } = call;
  if (definition === undefined) throw new SyntaxError(`${call.name} is not a function of this edition.`);
  const rewriter = new Rewriter(surroundings);
  const cells = rewriter.spill(call, definition);
  const { inputs, asValues, told } = rewriter;
  return { cells, inputs, asValues, told };
}

/** The formula with every call of ours in its native form. Throws where a call has none. */
export function rewriteNatively(formula: string, surroundings: Surroundings): Rewritten {
  const rewriter = new Rewriter(surroundings);
  const text = rewriter.rewrite(formula);
  const { inputs, asValues, told } = rewriter;
  return { text, inputs, asValues, told };
}
