/** What stands behind a cell that holds our functions: values, working, native formula. */
import { attempt } from "./attempt";
import { loadCalculated } from "./calculated";
import { callsIn, isReference, mayHoldCalls, parameterAt, parametersOf, rewriteNatively } from "./calls";
import type { Call, Surroundings } from "./calls";
import type { Value } from "./evaluate";
import { answerOf, arrangedFor, evaluate, NotFollowed, referencesIn, spillOf } from "./evaluate";
import type { WorksheetFunction } from "../engine/formula";
import type { Parameter } from "../engine/parameters";
import { Refusal } from "../engine/refusal";
import type { Working } from "../engine/working";
import { workingOf } from "../engine/working";
import { placeOf } from "./reference";
import { localAddress } from "./selection";
import { inWorkbook } from "./session";
import { contentsOf, isFormula, emptyCell } from "./sheets";

export interface ExplainedArgument {
  readonly parameter: Parameter;
  /** As in the formula; empty when left out. */
  readonly text: string;
  readonly value: unknown;
}

export type Outcome =
  | {
      readonly kind: "answer";
      readonly value: number | string;
      readonly text: string;
      readonly working: Working;
    }
  | { readonly kind: "refusal"; readonly argument: string; readonly sentence: string };

export type NativeReading =
  | {
      readonly text: string;
      /** What it does not do, or does instead; empty for one that is its function's equal. */
      readonly told: readonly string[];
    }
  | { readonly why: string };

export interface ExplainedCall {
  readonly definition: WorksheetFunction;
  readonly call: string;
  readonly arguments: readonly ExplainedArgument[];
  readonly outcome: Outcome;
  readonly native: NativeReading;
}

export interface ExplainedCell {
  readonly sheet: string;
  readonly address: string;
  readonly formula: string;
  readonly shown: string;
  /** A call before those inside it; empty when the cell holds none of ours. */
  readonly calls: readonly ExplainedCall[];
  readonly native: NativeReading | null;
}

/** The values of every reference of a formula, read in one go; what cannot be read is left out. */
async function readReferences(
  context: Excel.RequestContext,
  formula: string,
  sheet: string,
): Promise<{ values: ReadonlyMap<string, Value>; computed: ReadonlySet<string> }> {
  const ranges = referencesIn(formula).flatMap((reference) => {
    const place = placeOf(reference, sheet);
    if (place === undefined) return [];
    const range = context.workbook.worksheets.getItem(place.sheet).getRange(place.address);
    return [{ reference, range }];
  });
  const names = referencesIn(formula)
    .filter((reference) => placeOf(reference, sheet) === undefined && !reference.includes("["))
    .map((reference) => {
      const item = context.workbook.names.getItemOrNullObject(reference);
      item.load("name");
      return { reference, item };
    });
  await context.sync();
  // A name may stand for a formula, which has no cells to be read.
  const named = names
    .filter(({ item }) => !item.isNullObject)
    .map(({ reference, item }) => {
      const range = item.getRangeOrNullObject();
      range.load("address");
      return { reference, range };
    });
  if (named.length > 0) await context.sync();
  const read = [...ranges, ...named.filter(({ range }) => !range.isNullObject)];
  await loadCalculated(
    context,
    read.map(({ range }) => range),
    "values,formulas",
  );

  const values = new Map<string, Value>();
  const computed = new Set<string>();
  for (const { reference, range } of read) {
    const cells = range.values as Value & unknown[][];
    values.set(reference, cells.length === 1 && cells[0]?.length === 1 ? (cells[0][0] as Value) : cells);
    if (contentsOf(range).flat().some(isFormula)) computed.add(reference);
  }
  return { values, computed };
}

function outcomeOf(definition: WorksheetFunction, given: readonly Value[]): Outcome {
  try {
    const [[value = ""] = []] = spillOf(definition, given);
    if (value instanceof Refusal) throw value;
    const working = workingOf(definition, arrangedFor(definition, given));
    return { kind: "answer", value, text: working.answer, working };
  } catch (error) {
    if (error instanceof Refusal)
      return { kind: "refusal", argument: error.argument, sentence: error.sentence };
    throw error;
  }
}

const nativeReading = (formula: string, surroundings: Surroundings): NativeReading =>
  attempt(() => {
    const { text, told } = rewriteNatively(formula, surroundings);
    return { text, told: [...new Set(told.map(({ sentence }) => sentence))] };
  });

function explainedCall(
  call: Call,
  lookup: (reference: string) => Value,
  surroundings: Surroundings,
): ExplainedCall[] {
  const { definition } = call;
  if (definition === undefined) return [];
  const values: { value: Value; trouble?: string }[] = call.given.map((text) => {
    try {
      return { value: evaluate(text, lookup) };
    } catch (error) {
      if (error instanceof NotFollowed || error instanceof Refusal)
        return { value: null, trouble: error.message };
      throw error;
    }
  });
  const unknown = values.findIndex(({ trouble }) => trouble !== undefined);
  const shown = Array.from(
    { length: Math.max(parametersOf(call).length, call.given.length) },
    (_, i) => i,
  ).flatMap((i) => {
    const parameter = parameterAt(call, i);
    return parameter === undefined
      ? []
      : [{ parameter, text: call.given[i] ?? "", value: values[i]?.trouble ?? values[i]?.value ?? null }];
  });
  const outcome: Outcome =
    unknown >= 0
      ? {
          kind: "refusal",
          argument: parameterAt(call, unknown)?.id ?? "",
          sentence: `${call.given[unknown] ?? ""}: ${values[unknown]?.trouble ?? ""}.`,
        }
      : outcomeOf(
          definition,
          values.map(({ value }) => value),
        );
  const native = nativeReading(`=${call.text}`, surroundings);
  return [{ definition, call: call.text, arguments: shown, outcome, native }];
}

/** The selected cell, explained: every call of ours in its formula with its values, its working and its native form. */
export const explainSelectedCell = (): Promise<ExplainedCell> =>
  inWorkbook(async (context) => {
    const cell = context.workbook.getSelectedRange().getCell(0, 0);
    cell.load("address");
    cell.worksheet.load("name");
    await loadCalculated(context, [cell], "formulas,values,text");
    const sheet = cell.worksheet.name;
    const [[content = emptyCell] = []] = contentsOf(cell);
    const { formula } = content;
    const about = { sheet, address: localAddress(cell.address), formula, shown: cell.text[0]?.[0] ?? "" };
    if (!isFormula(content) || !mayHoldCalls(formula)) return { ...about, calls: [], native: null };

    const { values, computed } = await readReferences(context, formula, sheet);
    const lookup = (reference: string): Value => {
      const value = values.get(reference);
      if (value === undefined) throw new NotFollowed(`${reference} is worked out by the spreadsheet`);
      return value;
    };
    const surroundings: Surroundings = {
      isComputed: (reference) =>
        computed.has(reference) || (isReference(reference) && !values.has(reference)),
      spillOf: ({ definition, given }) => {
        if (definition === undefined) throw new NotFollowed("this edition does not know the function");
        return spillOf(
          definition,
          given.map((text) => evaluate(text, lookup)),
        );
      },
      valueOf: ({ definition, given }) => {
        if (definition === undefined) throw new NotFollowed("this edition does not know the function");
        return answerOf(
          definition,
          given.map((text) => evaluate(text, lookup)),
        );
      },
    };
    const calls = callsIn(formula).flatMap((call) => explainedCall(call, lookup, surroundings));
    return { ...about, calls, native: nativeReading(formula, surroundings) };
  });
