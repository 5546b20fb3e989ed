/**
 * From what a cell holds to what a formula may be given: blanks, defaults, limits, ranges. Every refusal is one
 * sentence that names the argument and says what to enter. The same checks serve the worksheet functions, the
 * pane's forms and the checks over the workbook.
 */
import type {
  Cell,
  Limits,
  Matrix,
  NumberParameter,
  Parameter,
  ParameterValue,
  RangeParameter,
  RepeatingParameter,
  TextParameter,
} from "./parameters";
import { limitText, parameterUnit } from "./parameters";
import { Refusal } from "./refusal";

/** A blank cell arrives as 0 in one host, as null or empty text in another, and a left-out argument as undefined. */
export const isBlank = (raw: unknown): boolean => raw === null || raw === undefined || raw === "";

const oneCell = (raw: unknown): unknown =>
  Array.isArray(raw) && raw.length === 1 && Array.isArray(raw[0]) && raw[0].length === 1
    ? (raw[0][0] as unknown)
    : raw;

const shown = (raw: unknown): string => (typeof raw === "string" ? `the text "${raw}"` : String(raw));

/** What to enter: "enter the seeding rate in lb per 1000 ft2 (metric: g per m2), above 0". */
function wanted(parameter: Parameter): string {
  if (parameter.takes === "text") {
    const choices = parameter.choices?.map((choice) => `"${choice}"`).join(" or ");
    return `enter ${choices ?? `${parameter.about}, ${parameter.enter ?? "as text"}`}`;
  }
  const unit = parameterUnit(parameter);
  const limits = limitText(parameter);
  return `enter ${parameter.about}${unit === "" ? "" : ` in ${unit}`}${limits === "" ? "" : `, ${limits}`}`;
}

const refuse = (parameter: Parameter, trouble: string, hint = ""): never => {
  throw new Refusal(parameter.id, `${parameter.id} ${trouble}: ${wanted(parameter)}${hint}.`);
};

const outside = (value: number, { above, least, below, most }: Limits): boolean =>
  (above !== undefined && value <= above) ||
  (least !== undefined && value < least) ||
  (below !== undefined && value >= below) ||
  (most !== undefined && value > most);

const percentHint = (parameter: Parameter, value: number): string =>
  parameter.kind === "share" && value > 1 ? `; ${value} would mean ${value * 100} %` : "";

function checkedNumber(
  parameter: NumberParameter | RangeParameter | RepeatingParameter,
  raw: unknown,
  where = "",
): number {
  if (typeof raw !== "number") return refuse(parameter, `${where}is ${shown(raw)}, not a number`);
  if (!Number.isFinite(raw)) return refuse(parameter, `${where}is not a finite number`);
  if (outside(raw, parameter)) return refuse(parameter, `${where}is ${raw}`, percentHint(parameter, raw));
  if (parameter.whole === true && !Number.isInteger(raw)) return refuse(parameter, `${where}is ${raw}`);
  return raw;
}

/**
 * A number argument. Zero is read as blank wherever a blank has a meaning of its own, since a host may send a
 * blank cell as 0 and both must get the same answer.
 */
function numberArgument(parameter: NumberParameter, raw: unknown, nothingToCover: boolean): number {
  const value = oneCell(raw);
  if (Array.isArray(value)) return refuse(parameter, "is a range where one number belongs");
  const blank = isBlank(value);
  if (parameter.blank === "nothing to cover") return blank ? 0 : checkedNumber(parameter, value);
  if (parameter.blank === "default" && (blank || value === 0)) return parameter.default ?? 0;
  if (nothingToCover && (blank || value === 0)) return 0;
  if (blank) return refuse(parameter, "is blank");
  return checkedNumber(parameter, value);
}

function textArgument(parameter: TextParameter, raw: unknown, nothingToCover: boolean): string {
  const value = oneCell(raw);
  if (isBlank(value) || (value === 0 && parameter.default !== undefined)) {
    if (parameter.default !== undefined) return parameter.default;
    if (nothingToCover) return "";
    return refuse(parameter, "is blank");
  }
  if (Array.isArray(value)) return refuse(parameter, "is a range where one text belongs");
  if (typeof value !== "string") return refuse(parameter, `is ${shown(value)}, not text`);
  const text = value.trim();
  if (parameter.choices === undefined) {
    return parameter.pattern === undefined || parameter.pattern.test(text)
      ? text
      : refuse(parameter, `is ${shown(value)}`);
  }
  const choice = parameter.choices.find((known) => known.toLowerCase() === text.toLowerCase());
  return choice ?? refuse(parameter, `is ${shown(value)}`);
}

const asRows = (raw: unknown): readonly (readonly unknown[])[] =>
  Array.isArray(raw) ? raw.map((row: unknown) => (Array.isArray(row) ? (row as unknown[]) : [row])) : [[raw]];

const cellOf = (
  parameter: RangeParameter | RepeatingParameter,
  raw: unknown,
  row: number,
  column: number,
): Cell => (isBlank(raw) ? null : checkedNumber(parameter, raw, `row ${row + 1}, column ${column + 1} `));

const checkedMatrix = (parameter: RangeParameter | RepeatingParameter, raw: unknown): Matrix =>
  asRows(raw).map((row, i) => row.map((cell, j) => cellOf(parameter, cell, i, j)));

/** The rows of an outline: blank rows at the end are left out, a gap inside is refused. */
function tableArgument(parameter: RangeParameter & { columns: number }, raw: unknown): Matrix {
  const rows = asRows(raw);
  const last = rows.reduce((end, row, i) => (row.every(isBlank) ? end : i + 1), 0);
  const filled = rows.slice(0, last);
  if (filled.length === 0) {
    return parameter.blank === "nothing to cover" ? [] : refuse(parameter, "is blank");
  }
  const { columns, leastRows = 1 } = parameter;
  if (filled.some((row) => row.length !== columns)) {
    return refuse(parameter, `has ${filled[0]?.length ?? 0} columns where ${columns} belong`);
  }
  const gap = filled.findIndex((row) => row.some(isBlank));
  if (gap >= 0) return refuse(parameter, `has a blank in row ${gap + 1}, before its last row`);
  if (filled.length < leastRows) {
    return refuse(parameter, `has ${filled.length} filled rows where at least ${leastRows} belong`);
  }
  return checkedMatrix(parameter, filled);
}

function rangeArgument(parameter: RangeParameter, raw: unknown): Matrix {
  const { columns } = parameter;
  if (columns !== undefined) return tableArgument({ ...parameter, columns }, raw);
  const matrix = checkedMatrix(parameter, raw);
  if (parameter.blank === "refused" && matrix.every((row) => row.every((cell) => cell === null))) {
    return refuse(parameter, "is blank");
  }
  return matrix;
}

function checkedValue(parameter: Parameter, raw: unknown, nothingToCover: boolean): ParameterValue {
  switch (parameter.takes) {
    case "number":
      return numberArgument(parameter, raw, nothingToCover);
    case "text":
      return textArgument(parameter, raw, nothingToCover);
    case "range":
      return rangeArgument(parameter, raw);
    case "repeating":
      return (Array.isArray(raw) ? (raw as unknown[]) : [raw]).map((one) => checkedMatrix(parameter, one));
  }
}

/** Whether the function has an amount to cover and it is blank or zero, so that the answer is 0. */
export function coversNothing(parameters: readonly Parameter[], raw: readonly unknown[]): boolean {
  return parameters.some((parameter, i) => {
    if (parameter.blank !== "nothing to cover") return false;
    if (parameter.takes === "range") return asRows(raw[i]).every((row) => row.every(isBlank));
    const value = oneCell(raw[i]);
    return isBlank(value) || value === 0;
  });
}

/** Every argument checked and blanks filled in; throws the Refusal of the first that does not pass. */
export function checkArguments(
  parameters: readonly Parameter[],
  raw: readonly unknown[],
): readonly ParameterValue[] {
  const nothing = coversNothing(parameters, raw);
  return parameters.map((parameter, i) => checkedValue(parameter, raw[i], nothing));
}
