/**
 * A native formula takes its inputs on trust where the function would refuse. So the input cells get the same limits
 * as data validation, with the function's own sentence.
 */
import type { Limits, Parameter } from "../engine/parameters";
import { limitText, parameterSentence } from "../engine/parameters";
import { limitConditions } from "../engine/native";
import type { LimitedInput, Surroundings } from "./calls";
import type { Pieces } from "./progress";
import { atOnce } from "./progress";
import { blockOf, cellAddress, placeOf } from "./reference";

export interface InputLimit {
  readonly sheet: string;
  readonly address: string;
  /** The sheets whose hand-over asked for it. */
  readonly forSheets: readonly string[];
}

export interface WantedLimit extends InputLimit {
  readonly parameter: Parameter;
}

const limited = (parameter: Parameter): boolean =>
  parameter.takes === "text" ? parameter.choices !== undefined : limitText(parameter) !== "";

const parameterOf = ({ call, position }: LimitedInput): Parameter | undefined => {
  const parameters = call.definition?.parameters ?? [];
  const last = parameters[parameters.length - 1];
  return parameters[position] ?? (last?.takes === "repeating" ? last : undefined);
};

interface Column {
  readonly sheet: string;
  readonly left: number;
  readonly right: number;
  readonly parameter: Parameter;
  readonly forSheets: Set<string>;
  readonly rows: { top: number; bottom: number }[];
}

/** Cells one under another with the same limits make one range: a sheet of a thousand rows gets a few, not thousands. */
function joinedRows(
  rows: readonly { top: number; bottom: number }[],
): readonly { top: number; bottom: number }[] {
  const joined: { top: number; bottom: number }[] = [];
  for (const row of [...rows].sort((a, b) => a.top - b.top)) {
    const last = joined[joined.length - 1];
    if (last !== undefined && row.top <= last.bottom + 1) last.bottom = Math.max(last.bottom, row.bottom);
    else joined.push({ ...row });
  }
  return joined;
}

type HomeInputs = readonly { readonly home: string; readonly input: LimitedInput }[];

/** Inputs that are looked up at a time, in a few milliseconds. */
const inputsAtATime = 500;

/** Where limits belong, from the inputs that native formulas take on trust. */
export const limitsOf = (inputs: HomeInputs, from: (home: string) => Surroundings): readonly WantedLimit[] =>
  atOnce(findingLimits(inputs, from));

export function* findingLimits(
  inputs: HomeInputs,
  from: (home: string) => Surroundings,
): Pieces<readonly WantedLimit[]> {
  const columns = new Map<string, Column>();
  for (const [i, { home, input }] of inputs.entries()) {
    if (i % inputsAtATime === 0) yield i / inputs.length;
    const parameter = parameterOf(input);
    const place = placeOf(input.reference, home);
    const block = place === undefined ? undefined : blockOf(place.address);
    if (parameter === undefined || place === undefined || block === undefined || !limited(parameter))
      continue;
    if (block.bottom === Number.MAX_SAFE_INTEGER || from(home).isComputed(input.reference)) continue;
    const key = JSON.stringify([
      place.sheet,
      block.left,
      block.right,
      parameter.about,
      limitText(parameter as Limits),
    ]);
    const column = columns.get(key) ?? {
      sheet: place.sheet,
      left: block.left,
      right: block.right,
      parameter,
      forSheets: new Set<string>(),
      rows: [],
    };
    column.rows.push({ top: block.top, bottom: block.bottom });
    column.forSheets.add(home);
    columns.set(key, column);
  }
  return [...columns.values()].flatMap(({ sheet, left, right, parameter, forSheets, rows }) =>
    joinedRows(rows).map(({ top, bottom }) => ({
      sheet,
      address: `${cellAddress(top, left)}:${cellAddress(bottom, right)}`,
      forSheets: [...forSheets],
      parameter,
    })),
  );
}

const rangeAt = (context: Excel.RequestContext, { sheet, address }: InputLimit): Excel.Range =>
  context.workbook.worksheets.getItem(sheet).getRange(address);

/** The wanted limits whose cells have no validation of the estimator's own. */
export async function readValidations(
  context: Excel.RequestContext,
  wanted: readonly WantedLimit[],
): Promise<readonly WantedLimit[]> {
  const found = wanted.map((limit) => {
    const { dataValidation } = rangeAt(context, limit);
    dataValidation.load("type");
    return { limit, dataValidation };
  });
  await context.sync();
  return found
    .filter(({ dataValidation }) => String(dataValidation.type) === "None")
    .map(({ limit }) => limit);
}

/** A zero that a function reads as "left out" is let through. */
const lenient = (parameter: Exclude<Parameter, { takes: "text" }>): Limits => {
  const { above, least, below, most } = parameter;
  const floor =
    above !== undefined && parameter.blank === "default"
      ? { least: above }
      : above !== undefined
        ? { above }
        : {};
  return {
    ...floor,
    ...(least === undefined ? {} : { least }),
    ...(below === undefined ? {} : { below }),
    ...(most === undefined ? {} : { most }),
  };
};

export function ruleOf(parameter: Parameter, firstCell: string): Excel.DataValidationRule {
  if (parameter.takes === "text") {
    return { list: { inCellDropDown: true, source: (parameter.choices ?? []).join(",") } };
  }
  return numberRule(firstCell, {
    ...lenient(parameter),
    ...(parameter.takes === "number" && parameter.whole === true ? { whole: true } : {}),
  });
}

/** A number within limits; a text is refused before it is compared, which would be an error and not an answer. */
export function numberRule(firstCell: string, limits: Limits): Excel.DataValidationRule {
  const conditions = limitConditions(firstCell, limits);
  const isNumber = `ISNUMBER(${firstCell})`;
  const formula = conditions.length === 0 ? isNumber : `IF(${isNumber},AND(${conditions.join(",")}),FALSE)`;
  return { custom: { formula: `=${formula}` } };
}

/** The longest text that the host shows in a validation's message. */
export const mostAlert = 225;

/** As many of the sentences as there is room for, none of them cut short. */
export function wholeSentences(sentences: readonly string[], most: number): string {
  return sentences.reduce((told, sentence) => {
    const longer = told === "" ? sentence : `${told} ${sentence}`;
    return longer.length > most ? told : longer;
  }, "");
}

export async function writeLimits(
  context: Excel.RequestContext,
  limits: readonly WantedLimit[],
): Promise<void> {
  for (const limit of limits) {
    const { dataValidation } = rangeAt(context, limit);
    const firstCell = limit.address.split(":")[0] ?? limit.address;
    dataValidation.rule = ruleOf(limit.parameter, firstCell);
    dataValidation.errorAlert = {
      showAlert: true,
      style: "Stop",
      title: "What belongs in this cell",
      message: wholeSentences([parameterSentence(limit.parameter)], mostAlert),
    };
  }
  await context.sync();
}

export async function removeLimits(
  context: Excel.RequestContext,
  limits: readonly InputLimit[],
): Promise<void> {
  for (const limit of limits) rangeAt(context, limit).dataValidation.clear();
  await context.sync();
}
