/**
 * A native formula takes its inputs on trust where the function would refuse. So the input cells get the same limits
 * as data validation, with the function's own sentence.
 */
import type { Limits, Parameter } from "../../engine/parameters";
import { limitText, parameterSentence } from "../../engine/parameters";
import type {
  Block,
  DataValidation,
  DataValidationErrorAlert,
  DataValidationRule,
  Pieces,
  Place,
  RequestContext,
} from "../host";
import { blockAddress, blockOf, forNow, inPortions, placeOf } from "../host";
import { limitConditions } from "../../engine/native/guards";
import type { LimitedInput, Surroundings } from "../formulas";
import { parameterAt } from "../formulas";
import type { WantedLimit } from "../marks";
import { isSpeltAlike } from "./content";

/** The title of the message is the mark by which a limit of a hand-over is known again, whoever moved the cell. */
export const limitTitle = "What belongs here (handed over)";

const limited = (parameter: Parameter): boolean =>
  parameter.takes === "text" ? parameter.choices !== undefined : limitText(parameter) !== "";

interface Column {
  readonly sheet: string;
  readonly left: number;
  readonly right: number;
  readonly parameter: Parameter;
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
export function* findingLimits(
  inputs: HomeInputs,
  from: (home: string) => Surroundings,
): Pieces<readonly WantedLimit[]> {
  const columns = new Map<string, Column>();
  for (const [i, { home, input }] of inputs.entries()) {
    if (i % inputsAtATime === 0) yield i / inputs.length;
    const parameter = parameterAt(input.call, input.position);
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
      rows: [],
    };
    column.rows.push({ top: block.top, bottom: block.bottom });
    columns.set(key, column);
  }
  return [...columns.values()].flatMap(({ sheet, left, right, parameter, rows }) =>
    joinedRows(rows).map(({ top, bottom }) => ({
      sheet,
      address: blockAddress({ top, left, bottom, right }),
      parameter,
    })),
  );
}

/** The validation of a range, for one request. */
const validationAt = (context: RequestContext, { sheet, address }: Place): DataValidation =>
  forNow(context.workbook.worksheets.getItem(sheet).getRange(address)).dataValidation;

/** The validations of places, with so much of them as is asked for. */
const validationsAt = <P extends Place>(context: RequestContext, places: readonly P[], asked: string) =>
  inPortions(context, places, (place) => {
    const validation = validationAt(context, place);
    validation.load(asked);
    return { place, validation };
  });

/** The wanted limits whose cells have no validation of the estimator's own. */
export async function readValidations(
  context: RequestContext,
  wanted: readonly WantedLimit[],
): Promise<readonly WantedLimit[]> {
  const found = await validationsAt(context, wanted, "type");
  return found.filter(({ validation }) => String(validation.type) === noRule).map(({ place }) => place);
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

export function ruleOf(parameter: Parameter, firstCell: string): DataValidationRule {
  if (parameter.takes === "text") {
    return { list: { inCellDropDown: true, source: (parameter.choices ?? []).join(",") } };
  }
  return numberRule(firstCell, {
    ...lenient(parameter),
    ...(parameter.takes === "number" && parameter.whole === true ? { whole: true } : {}),
  });
}

/** A number within limits; a text is refused before it is compared, which would be an error and not an answer. */
export function numberRule(firstCell: string, limits: Limits): DataValidationRule {
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

const ruleFor = ({ parameter, address }: WantedLimit): DataValidationRule =>
  ruleOf(parameter, address.split(":")[0] ?? address);

export async function writeLimits(context: RequestContext, limits: readonly WantedLimit[]): Promise<void> {
  await inPortions(context, limits, (limit) => {
    const dataValidation = validationAt(context, limit);
    dataValidation.rule = ruleFor(limit);
    dataValidation.errorAlert = {
      showAlert: true,
      style: "Stop",
      title: limitTitle,
      message: wholeSentences([parameterSentence(limit.parameter)], mostAlert),
    };
  });
}

/** The two halves of a block, or none of one cell; columns are parted first, since it is those that differ as a rule. */
export function halved({ sheet, address }: Place): readonly Place[] {
  const block = blockOf(address) ?? { top: 0, left: 0, bottom: 0, right: 0 };
  const { top, left, bottom, right } = block;
  const part = (cut: Partial<Block>): Place => ({ sheet, address: blockAddress({ ...block, ...cut }) });
  const [row, column] = [(top + bottom) >> 1, (left + right) >> 1];
  if (left < right) return [part({ right: column }), part({ left: column + 1 })];
  if (top < bottom) return [part({ bottom: row }), part({ top: row + 1 })];
  return [];
}

/** What a host says of a range without a rule, and of one whose cells differ. */
export const noRule = "None";
export const mixed: ReadonlySet<string> = new Set(["Inconsistent", "MixedCriteria"]);

/** The places among these whose limit a hand-over of ours set, by its mark; cells that differ are asked one by one. */
export async function ourLimits(
  context: RequestContext,
  places: readonly Place[],
  title = limitTitle,
): Promise<readonly Place[]> {
  const found: Place[] = [];
  for (let asked = places; asked.length > 0;) {
    const rules = await validationsAt(context, asked, "type,errorAlert");
    asked = rules.flatMap(({ place, validation: { type, errorAlert } }) => {
      if (mixed.has(String(type))) return halved(place);
      if (String(type) !== noRule && (errorAlert as DataValidationErrorAlert | null)?.title === title)
        found.push(place);
      return [];
    });
  }
  return found;
}

const isSameRule = (one: DataValidationRule, other: DataValidationRule): boolean =>
  isSpeltAlike(String(one.custom?.formula ?? ""), String(other.custom?.formula ?? "")) &&
  one.list?.source === other.list?.source;

/** Those of our limits whose message the host did not come to set: by then they have nothing but their rule. */
async function withoutMessage(
  context: RequestContext,
  limits: readonly WantedLimit[],
): Promise<readonly Place[]> {
  const asked = await validationsAt(context, limits, "type,rule,errorAlert");
  return asked.flatMap(({ place: limit, validation: { type, rule, errorAlert } }) => {
    if (String(type) === noRule || mixed.has(String(type))) return [];
    const title = (errorAlert as DataValidationErrorAlert | null)?.title ?? "";
    return title === "" && isSameRule(rule, ruleFor(limit)) ? [limit] : [];
  });
}

/** Takes limits off that were written where there were none, as far as the host came with each. */
export async function takeBackLimits(context: RequestContext, limits: readonly WantedLimit[]): Promise<void> {
  const ours = [...(await ourLimits(context, limits)), ...(await withoutMessage(context, limits))];
  await removeLimits(context, ours);
}

export async function removeLimits(context: RequestContext, places: readonly Place[]): Promise<void> {
  await inPortions(context, places, (place) => validationAt(context, place).clear());
}
