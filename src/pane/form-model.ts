/**
 * What the texts of a form mean: numbers, texts or references to cells, the formula they make and the result they
 * would give. Knows nothing of the page or the workbook: values behind references are handed in.
 */
import { checkArguments } from "../engine/arguments";
import type { WorksheetFunction } from "../engine/formula";
import type { Parameter } from "../engine/parameters";
import { isOptional, isRepeating, unitsParameter } from "../engine/parameters";
import { Refusal } from "../engine/refusal";
import type { UnitSystem } from "../engine/units";
import type { Working } from "../engine/working/working";
import { workingOf } from "../engine/working/working";
import { formulaText } from "../workbook/own-sheets";
import type { Place } from "../workbook/host";
import { blockOf, placeOf } from "../workbook/host";
import { inPlainWords, labelOf } from "./words";

export interface Form {
  readonly system: UnitSystem;
  /** What was typed, by the parameter's id. */
  readonly texts: Readonly<Record<string, string>>;
}

/** One part of a field: a figure as it stands, or a reference whose values are read from the workbook. */
export type Part = { readonly value: number | string } | { readonly reference: string };

export type Reading =
  | { readonly kind: "empty" }
  /** `argument` is the text that goes into the formula. */
  | { readonly kind: "given"; readonly parts: readonly Part[]; readonly argument: string }
  | { readonly kind: "trouble"; readonly sentence: string };

const empty: Reading = { kind: "empty" };
const trouble = (sentence: string): Reading => ({ kind: "trouble", sentence });

const plainNumber = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?$/i;
const groupedNumber = /^[+-]?[1-9]\d{0,2}(,\d{3})+(\.\d+)?$/;
const fraction = /^(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)$/;

/** A number as an estimator writes it: 2500, 2,500, 1/4, 1 1/2, and 85 % where a share belongs. */
export function numberIn(text: string, isShare = false): number | undefined {
  if (plainNumber.test(text)) return Number(text);
  if (groupedNumber.test(text)) return Number(text.replaceAll(",", ""));
  const [, whole = "0", top, bottom] = fraction.exec(text) ?? [];
  if (top !== undefined && bottom !== undefined && Number(bottom) !== 0)
    return Number(whole) + Number(top) / Number(bottom);
  const share = isShare && text.length > 1 && text.endsWith("%") ? text.slice(0, -1).trimEnd() : undefined;
  const figure = share === undefined ? undefined : numberIn(share);
  return figure === undefined ? undefined : figure / 100;
}

/** Any sheet will do: whether a text is a reference does not depend on where it stands. */
const isReference = (text: string): boolean => placeOf(text, "Sheet1") !== undefined;

const withoutEquals = (text: string): string => text.replace(/^=\s*/, "");
const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;
const argumentOf = (part: Part): string =>
  "reference" in part
    ? part.reference
    : typeof part.value === "number"
      ? String(part.value)
      : quoted(part.value);
const given = (...parts: Part[]): Reading => ({
  kind: "given",
  parts,
  argument: parts.map(argumentOf).join(","),
});

function notANumber(text: string): string {
  if (/^\d+,\d+$/.test(text))
    return `${text} is not a number here: write decimals with a point, as ${text.replace(",", ".")}.`;
  return `${quoted(text)} is not a number: type the number alone, or a cell such as B2.`;
}

const bareText = (text: string): string => text.replace(/^"(.*)"$/, "$1");

function textPart(parameter: Parameter & { takes: "text" }, text: string): Part {
  const bare = bareText(text);
  const choice = parameter.choices?.find((known) => known.toLowerCase() === bare.toLowerCase());
  if (choice !== undefined) return { value: choice };
  const reference = withoutEquals(text);
  return isReference(reference) ? { reference } : { value: bare };
}

/** Figures and cells in a row: a semicolon or comma parts them, but not inside a sheet's name or a thousand. */
const listParts = (text: string): readonly string[] =>
  (text.match(/(?:'(?:[^']|'')*'|[^;,']|,(?=\d{3}(?!\d)))+/g) ?? [])
    .map((part) => part.trim())
    .filter((part) => part !== "");

function figurePart(parameter: Parameter, text: string): Part | undefined {
  const reference = withoutEquals(text);
  if (isReference(reference)) return { reference };
  const value = numberIn(text, parameter.kind === "share");
  return value === undefined ? undefined : { value };
}

/** Where any argument of another function may stand, a word is as good as a figure. */
function listedPart(parameter: Parameter, text: string): Part | undefined {
  const part = figurePart(parameter, text);
  return part ?? (parameter.takes === "columns" ? { value: bareText(text) } : undefined);
}

function listReading(parameter: Parameter, text: string): Reading {
  const whole = figurePart(parameter, text);
  if (whole !== undefined) return given(whole);
  const texts = listParts(text);
  const parts = texts.map((part) => listedPart(parameter, part));
  const bad = parts.indexOf(undefined);
  if (bad >= 0) return trouble(notANumber(texts[bad] ?? text));
  return given(...parts.filter((part) => part !== undefined));
}

function readField(parameter: Parameter, typed: string): Reading {
  const text = typed.trim();
  if (text === "") return empty;
  if (parameter.takes === "text") return given(textPart(parameter, text));
  if (isRepeating(parameter)) return listReading(parameter, text);
  const part = figurePart(parameter, text);
  if (parameter.takes === "range" && (part === undefined || !("reference" in part))) {
    return trouble(
      `${quoted(text)} is not an address: type one such as Site!B2:B9, or mark the cells and use the selection.`,
    );
  }
  return part === undefined ? trouble(notANumber(text)) : given(part);
}

/** Every parameter's reading, in order; the unit system is a choice and no text. */
export const readForm = ({ parameters }: WorksheetFunction, form: Form): readonly Reading[] =>
  parameters.map((parameter) =>
    parameter === unitsParameter
      ? form.system === "us"
        ? empty
        : given({ value: form.system })
      : readField(parameter, form.texts[parameter.id] ?? ""),
  );

export const referencesOf = (reading: Reading): readonly string[] =>
  reading.kind === "given"
    ? reading.parts.flatMap((part) => ("reference" in part ? [part.reference] : []))
    : [];

/** What the workbook answered for a reference. */
export type Behind = { readonly values: readonly (readonly unknown[])[] } | { readonly trouble: string };

export type Outcome =
  | { readonly kind: "waiting"; readonly needed: readonly string[] }
  | { readonly kind: "reading" }
  | { readonly kind: "answer"; readonly working: Working }
  /** The sentence stands here only where no field is to blame; else it stands beside the field. */
  | { readonly kind: "refusal"; readonly sentence: string };

export interface Preview {
  /** Sentences to show beside fields, by the parameter's id. */
  readonly troubles: ReadonlyMap<string, string>;
  readonly outcome: Outcome;
}

type Raw = { readonly value: unknown } | { readonly trouble: string } | "unread";

function rawOf(parameter: Parameter, reading: Reading, behind: ReadonlyMap<string, Behind>): Raw {
  if (reading.kind === "trouble") return { trouble: reading.sentence };
  if (reading.kind === "empty") return { value: undefined };
  const values: unknown[] = [];
  for (const part of reading.parts) {
    if ("value" in part) values.push(part.value);
    else {
      const found = behind.get(part.reference);
      if (found === undefined) return "unread";
      if ("trouble" in found) return found;
      values.push(found.values);
    }
  }
  return { value: isRepeating(parameter) ? values : values[0] };
}

const isNeeded = (parameter: Parameter, reading: Reading): boolean =>
  reading.kind === "empty" && !isOptional(parameter);

/** The refusal of one argument by itself, so that each field can be put right before all are filled. */
function refusalOf(parameter: Parameter, value: unknown): string | undefined {
  try {
    checkArguments([parameter], [value]);
    return undefined;
  } catch (error) {
    if (error instanceof Refusal) return error.sentence;
    throw error;
  }
}

export function previewOf(
  definition: WorksheetFunction,
  readings: readonly Reading[],
  behind: ReadonlyMap<string, Behind>,
): Preview {
  const { parameters } = definition;
  const fields = parameters.map((parameter, i) => {
    const reading = readings[i] ?? empty;
    return { parameter, reading, raw: rawOf(parameter, reading, behind) };
  });
  const troubles = new Map<string, string>();
  for (const { parameter, reading, raw } of fields) {
    if (raw === "unread" || reading.kind === "empty") continue;
    const sentence = "trouble" in raw ? raw.trouble : refusalOf(parameter, raw.value);
    if (sentence !== undefined) troubles.set(parameter.id, inPlainWords(sentence, parameters));
  }
  const needed = fields
    .filter(({ parameter, reading }) => isNeeded(parameter, reading))
    .map(({ parameter }) => labelOf(parameter));
  if (troubles.size > 0) return { troubles, outcome: { kind: "refusal", sentence: "" } };
  if (needed.length > 0) return { troubles, outcome: { kind: "waiting", needed } };
  if (fields.some(({ raw }) => raw === "unread")) return { troubles, outcome: { kind: "reading" } };
  return worked(
    definition,
    fields.map(({ raw }) => (raw !== "unread" && "value" in raw ? raw.value : undefined)),
  );
}

function worked(definition: WorksheetFunction, raw: readonly unknown[]): Preview {
  try {
    return {
      troubles: new Map(),
      outcome: { kind: "answer", working: workingOf(definition, raw) },
    };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const sentence = inPlainWords(error.sentence, definition.parameters);
    const blamed = definition.parameters.some(({ id }) => id === error.argument);
    return {
      troubles: new Map(blamed ? [[error.argument, sentence]] : []),
      outcome: { kind: "refusal", sentence: blamed ? "" : sentence },
    };
  }
}

export type Written =
  { readonly formula: string } | { readonly troubles: readonly { id: string; sentence: string }[] };

/**
 * The formula of the form. A cell that is still blank may be filled later, so what stands behind references does not
 * keep the formula out of the sheet; a field that is needed, or a typed figure that will be refused, does.
 */
export function formulaOf(definition: WorksheetFunction, readings: readonly Reading[]): Written {
  const troubles = definition.parameters.flatMap((parameter, i) => {
    const reading = readings[i] ?? empty;
    const { id } = parameter;
    if (reading.kind === "trouble") return [{ id, sentence: reading.sentence }];
    if (isNeeded(parameter, reading))
      return [{ id, sentence: `${labelOf(parameter)} is needed: type a figure or a cell.` }];
    if (reading.kind === "empty" || referencesOf(reading).length > 0) return [];
    const raw = rawOf(parameter, reading, new Map());
    const sentence = raw !== "unread" && "value" in raw ? refusalOf(parameter, raw.value) : undefined;
    return sentence === undefined ? [] : [{ id, sentence: inPlainWords(sentence, definition.parameters) }];
  });
  if (troubles.length > 0) return { troubles };
  return {
    formula: formulaText(
      definition,
      readings.map((reading) => (reading.kind === "given" ? reading.argument : "")),
    ),
  };
}

/** The reference, if any, that the cell for the result lies in: a cell cannot be worked out from itself. */
export function referenceToItself(readings: readonly Reading[], target: Place): string | undefined {
  const cell = blockOf(target.address);
  return readings.flatMap(referencesOf).find((reference) => {
    const place = placeOf(reference, target.sheet);
    const block = place === undefined ? undefined : blockOf(place.address);
    return (
      cell !== undefined &&
      block !== undefined &&
      place?.sheet.toLowerCase() === target.sheet.toLowerCase() &&
      block.top <= cell.top &&
      cell.top <= block.bottom &&
      block.left <= cell.left &&
      cell.left <= block.right
    );
  });
}
