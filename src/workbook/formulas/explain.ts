/** What stands behind a cell that holds our functions: values, working, native formula. */
import { attempt } from "./attempt";
import type { Block, Place, RequestContext } from "../host";
import {
  asCalculated,
  blockOf,
  cellsIn,
  contentOf,
  contentsOf,
  emptyCell,
  inWorkbook,
  isFormula,
  loadCalculated,
  localAddress,
  placeOf,
  readBlocks,
  valuesOf,
} from "../host";
import { callsIn, mayHoldCalls } from "./calls";
import { isReference } from "./tokens";
import { parameterAt, parametersOf } from "./call-parameters";
import { rewriteNatively } from "./rewrite-calls";
import type { Call } from "./calls";
import type { Surroundings } from "./rewrite-calls";
import type { Value } from "./evaluate";
import { answerOf, arrangedFor, evaluate, NotFollowed, referencesIn, spillOf } from "./evaluate";
import type { WorksheetFunction } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { Refusal } from "../../engine/refusal";
import type { Working } from "../../engine/working/working";
import { workingOf } from "../../engine/working/working";
import { beyondLimits, tooMuch } from "./formula-limits";

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

/** Cells that are read to show what stands behind one cell, and those that are read without a look at the sheet. */
const mostCells = 200_000;
const fewCells = 1000;

interface Referred {
  readonly reference: string;
  readonly sheet: string;
  readonly block: Block;
}

const referred = (reference: string, place: Place | undefined): readonly Referred[] => {
  const block = place === undefined ? undefined : blockOf(place.address);
  return place === undefined || block === undefined ? [] : [{ reference, sheet: place.sheet, block }];
};

/** Where the references of a formula lead, names included; what leads into another workbook is left out. */
async function followed(
  context: RequestContext,
  formula: string,
  sheet: string,
): Promise<readonly Referred[]> {
  const references = referencesIn(formula).filter((reference) => !reference.includes("["));
  const names = references
    .filter((reference) => placeOf(reference, sheet) === undefined)
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
  return [
    ...references.flatMap((reference) => referred(reference, placeOf(reference, sheet))),
    ...named
      .filter(({ range }) => !range.isNullObject)
      .flatMap(({ reference, range }) => referred(reference, placeOf(range.address, sheet))),
  ];
}

/** Large blocks cut to what their sheet uses: a whole column is a million cells, most of them blank. */
async function cutToUse(context: RequestContext, found: readonly Referred[]): Promise<readonly Referred[]> {
  const large = found.filter(({ block }) => cellsIn(block) > fewCells).map(({ sheet }) => sheet);
  const used = new Map(
    [...new Set(large)].map((sheet) => {
      const range = context.workbook.worksheets.getItem(sheet).getUsedRangeOrNullObject(true);
      range.load("address");
      return [sheet, range] as const;
    }),
  );
  if (used.size > 0) await context.sync();
  return found.map((one) => {
    const range = cellsIn(one.block) > fewCells ? used.get(one.sheet) : undefined;
    if (range === undefined) return one;
    const { bottom, right } =
      (range.isNullObject ? undefined : blockOf(localAddress(range.address))) ?? one.block;
    const { block } = one;
    const cut = {
      ...block,
      bottom: Math.max(block.top, Math.min(block.bottom, bottom)),
      right: Math.max(block.left, Math.min(block.right, right)),
    };
    return { ...one, block: range.isNullObject ? { ...block, bottom: block.top, right: block.left } : cut };
  });
}

interface Behind {
  readonly values: ReadonlyMap<string, Value>;
  readonly computed: ReadonlySet<string>;
  /** References to more cells than are read. */
  readonly tooLarge: ReadonlySet<string>;
}

/** The values of every reference of a formula, read in one go; what cannot be read is left out. */
async function readReferences(context: RequestContext, formula: string, sheet: string): Promise<Behind> {
  const found = await cutToUse(context, await followed(context, formula, sheet));
  const tooLarge = new Set<string>();
  let room = mostCells;
  const wanted = found.filter(({ reference, block }) => {
    const fits = cellsIn(block) <= room;
    if (fits) room -= cellsIn(block);
    else tooLarge.add(reference);
    return fits;
  });
  const blocks = wanted.map(({ sheet: name, block }) => ({
    sheet: context.workbook.worksheets.getItem(name),
    block,
  }));
  const read =
    blocks.length === 0 ? [] : await asCalculated(context, () => readBlocks(context, blocks), valuesOf);
  const values = new Map<string, Value>();
  const computed = new Set<string>();
  wanted.forEach(({ reference }, i) => {
    const { values: cells = [], formulas = [] } = read[i] ?? {};
    const [[only] = []] = cells;
    values.set(reference, cells.length === 1 && cells[0]?.length === 1 ? (only as Value) : (cells as Value));
    const holdsFormula = formulas.some((row, at) =>
      row.some((typed, column) => isFormula(contentOf(typed, cells[at]?.[column]))),
    );
    if (holdsFormula) computed.add(reference);
  });
  return { values, computed, tooLarge };
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
    const why = tooMuch(formula);
    if (why !== undefined) return { why };
    const { text, told } = rewriteNatively(formula, surroundings);
    return { text, told: [...new Set(told.map(({ sentence }) => sentence))] };
  });

function explainedCall(call: Call, lookup: (reference: string) => Value): ExplainedCall[] {
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
  return [{ definition, call: call.text, arguments: shown, outcome }];
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

    const beyond = beyondLimits(formula);
    if (beyond !== undefined) return { ...about, calls: [], native: { why: beyond } };

    const { values, computed, tooLarge } = await readReferences(context, formula, sheet);
    const lookup = (reference: string): Value => {
      if (tooLarge.has(reference))
        throw new NotFollowed(
          `${reference} holds more than the ${mostCells.toLocaleString("en-US")} cells that are read here`,
        );
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
    const calls = callsIn(formula).flatMap((call) => explainedCall(call, lookup));
    return { ...about, calls, native: nativeReading(formula, surroundings) };
  });
