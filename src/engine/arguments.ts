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
  RawMatrix,
  RepeatingParameter,
  TextParameter,
} from "./parameters";
import { choiceText, isRepeating, limitText, parameterUnit } from "./parameters";
import { flat } from "./lists";
import type { RefusalKind } from "./refusal";
import { Refusal } from "./refusal";

/** A blank cell arrives as 0 in one host, as null or empty text in another, and a left-out argument as undefined. */
const isBlank = (raw: unknown): boolean => raw === null || raw === undefined || raw === "";

const oneCell = (raw: unknown): unknown =>
  Array.isArray(raw) && raw.length === 1 && Array.isArray(raw[0]) && raw[0].length === 1
    ? (raw[0][0] as unknown)
    : raw;

/** A value as a person would name it. */
function shown(raw: unknown): string {
  if (typeof raw === "string") return `the text "${raw}"`;
  if (typeof raw === "number") return Number.isFinite(raw) ? String(raw) : "no finite number";
  return typeof raw === "boolean" ? String(raw).toUpperCase() : "no number or text";
}

/** What to enter: "enter the seeding rate in lb per 1000 ft² (metric: g per m²), above 0". */
function wanted(parameter: Parameter, limits: Limits): string {
  if (parameter.takes === "text") {
    return parameter.choices === undefined
      ? `enter the ${parameter.about}, ${parameter.enter ?? "as text"}`
      : `enter ${choiceText(parameter.choices)}`;
  }
  const unit = parameterUnit(parameter);
  const within = limitText(limits);
  return `enter the ${parameter.about}${unit === "" ? "" : ` in ${unit}`}${within === "" ? "" : `, ${within}`}`;
}

const limitsOf = (parameter: Parameter): Limits => (parameter.takes === "text" ? {} : parameter);

interface Detail {
  readonly hint?: string;
  readonly limits?: Limits;
  readonly kind?: RefusalKind;
}

function refuse(parameter: Parameter, trouble: string, detail: Detail = {}): never {
  const { hint = "", limits = limitsOf(parameter), kind = "invalid" } = detail;
  throw new Refusal(parameter.id, `${parameter.id} ${trouble}: ${wanted(parameter, limits)}${hint}.`, kind);
}

const outside = (value: number, { above, least, below, most }: Limits): boolean =>
  (above !== undefined && value <= above) ||
  (least !== undefined && value < least) ||
  (below !== undefined && value >= below) ||
  (most !== undefined && value > most);

/** The common case of very many cells, for which no place need be named. */
const passes = (raw: unknown, limits: Limits): raw is number =>
  typeof raw === "number" &&
  Number.isFinite(raw) &&
  !outside(raw, limits) &&
  (limits.whole !== true || Number.isInteger(raw));

const percentHint = (parameter: Parameter, value: number): string =>
  parameter.kind === "share" && value > 1
    ? `; ${value} would mean ${Number((value * 100).toPrecision(12))} %`
    : "";

function checkedNumber(
  parameter: NumberParameter | RangeParameter | RepeatingParameter,
  raw: unknown,
  where = "",
  limits: Limits = parameter,
): number {
  if (typeof raw !== "number") return refuse(parameter, `${where}is ${shown(raw)}, not a number`);
  if (!Number.isFinite(raw)) return refuse(parameter, `${where}is not a finite number`);
  if (outside(raw, limits)) {
    return refuse(parameter, `${where}is ${raw}`, { hint: percentHint(parameter, raw), limits });
  }
  if (limits.whole === true && !Number.isInteger(raw)) return refuse(parameter, `${where}is ${raw}`);
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
  if (parameter.blank === "nothing to cover" || parameter.blank === "zero") {
    return blank ? 0 : checkedNumber(parameter, value);
  }
  if (parameter.blank === "default" && (blank || value === 0)) return parameter.default ?? 0;
  if (nothingToCover && (blank || value === 0)) return 0;
  if (blank) return refuse(parameter, "is blank");
  return checkedNumber(parameter, value);
}

function textArgument(parameter: TextParameter, raw: unknown, nothingToCover: boolean): string {
  const value = oneCell(raw);
  if (isBlank(value) || value === 0) {
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
  const kind = parameter.tabulated === true ? "no such row" : "invalid";
  return choice ?? refuse(parameter, `is ${shown(value)}`, { kind });
}

/** Whether a list is rows of cells, all of one width: what a host hands over as a rule. */
function isRectangle(list: readonly unknown[]): boolean {
  const [first] = list;
  const width = Array.isArray(first) ? first.length : 0;
  for (let i = 0; i < list.length; i++) {
    const row: unknown = list[i];
    if (!Array.isArray(row) || row.length !== width) return false;
  }
  return width > 0;
}

/** A range as rows of cells, always a rectangle of at least one cell; one value is a range of one cell. */
function asRows(raw: unknown): RawMatrix {
  if (!Array.isArray(raw)) return [[raw]];
  if (isRectangle(raw)) return raw as RawMatrix;
  const rows = raw.map((row: unknown) => (Array.isArray(row) ? (row as unknown[]) : [row]));
  const width = rows.reduce((widest, row) => Math.max(widest, row.length), 0);
  if (width === 0) return [[null]];
  return rows.map((row) => Array.from({ length: width }, (_cell, i) => row[i] ?? null));
}

const cellOf = (
  parameter: RangeParameter | RepeatingParameter,
  raw: unknown,
  row: number,
  column: number,
): Cell => {
  if (isBlank(raw)) return null;
  const limits = parameter.takes === "range" ? (parameter.columnLimits?.[column] ?? parameter) : parameter;
  return passes(raw, limits)
    ? raw
    : checkedNumber(parameter, raw, `row ${row + 1}, column ${column + 1} `, limits);
};

const checkedMatrix = (parameter: RangeParameter | RepeatingParameter, raw: unknown): Matrix =>
  asRows(raw).map((row, i) => row.map((cell, j) => cellOf(parameter, cell, i, j)));

const isZero = (raw: unknown): boolean => raw === 0;
const isNothing = (raw: unknown): boolean => isBlank(raw) || isZero(raw);

/** A list without those at its end that are nothing. */
function withoutEnd<T>(list: readonly T[], nothing: (one: T) => boolean): readonly T[] {
  const end = list.reduce((last, one, i) => (nothing(one) ? last : i + 1), 0);
  return list.slice(0, end);
}

/** Zeros at the end may be cells that nobody filled. */
function refuseEndZeros(parameter: RangeParameter, zeros: number, one: string, several: string): void {
  const { endZeros } = parameter;
  if (endZeros === undefined || zeros <= endZeros.most) return;
  const many = zeros === 1 ? one : `${zeros} ${several}`;
  const hint = `; end the range at the last of them, ${endZeros.otherwise}`;
  refuse(parameter, `ends in ${many}, as blank cells may arrive`, { hint });
}

/** Zeros at the end of an outline that begins with zeros only close it; elsewhere nobody can tell what they are. */
function outlineWithoutEnd(parameter: RangeParameter, rows: RawMatrix): RawMatrix {
  const all = (row: readonly unknown[], each: (raw: unknown) => boolean) => row.every(each);
  const filled = withoutEnd(rows, (row) => all(row, isBlank));
  const kept = withoutEnd(filled, (row) => all(row, isBlank) || all(row, isZero));
  const [first] = filled;
  if (first !== undefined && !all(first, isZero)) {
    refuseEndZeros(parameter, filled.length - kept.length, "a row of zeros", "rows of zeros");
    return filled;
  }
  return kept;
}

/** The corners of an outline, those at 0, 0 as one. */
const cornersOf = (rows: RawMatrix): number =>
  rows.filter((row) => !row.every(isZero)).length + (rows.some((row) => row.every(isZero)) ? 1 : 0);

/** The rows of an outline: blank rows at the end are left out, a gap inside is refused. */
function tableArgument(parameter: RangeParameter & { columns: number }, raw: unknown): Matrix {
  const rows = asRows(raw);
  if (rows.every((row) => row.every(isNothing))) {
    return parameter.blank === "nothing to cover" ? [] : refuse(parameter, "is blank");
  }
  const filled = outlineWithoutEnd(parameter, rows);
  const { columns, leastRows = 1, mostRows = Number.POSITIVE_INFINITY } = parameter;
  if (filled.length > mostRows) {
    return refuse(parameter, `has more than ${mostRows} filled rows`, {
      hint: "; leave out those that hardly matter",
    });
  }
  const ragged = filled.find((row) => row.length !== columns);
  if (ragged !== undefined)
    return refuse(parameter, `has ${counted(ragged.length, "column")} where ${columns} belong`);
  const gap = filled.findIndex((row) => row.some(isBlank));
  if (gap >= 0) return refuse(parameter, `has a blank in row ${gap + 1}, before its last row`);
  const corners = cornersOf(filled);
  if (corners < leastRows) {
    return refuse(parameter, `has ${counted(corners, "filled row")} where at least ${leastRows} belong`);
  }
  return checkedMatrix(parameter, filled);
}

const counted = (count: number, thing: string): string => `${count} ${thing}${count === 1 ? "" : "s"}`;

/** Figures in order, as one column: blanks at the end are left out, a gap inside is refused. */
function seriesArgument(parameter: RangeParameter, raw: unknown): Matrix {
  const rows = asRows(raw);
  const columns = rows[0]?.length ?? 0;
  if (rows.length > 1 && columns > 1) {
    return refuse(
      parameter,
      `is a block of ${rows.length} by ${columns} cells where one column or row belongs`,
    );
  }
  const cells = flat(rows);
  const filled = withoutEnd(cells, isBlank);
  const measured = withoutEnd(filled, isNothing);
  if (filled.length === 0 || (measured.length === 0 && parameter.blank === "nothing to cover")) {
    return parameter.blank === "nothing to cover" ? [] : refuse(parameter, "is blank");
  }
  const gap = filled.findIndex(isBlank);
  if (gap >= 0) return refuse(parameter, `has a blank in place ${gap + 1}, before its last figure`);
  const { leastRows = 1 } = parameter;
  if (filled.length < leastRows) {
    return refuse(parameter, `has ${counted(filled.length, "figure")} where at least ${leastRows} belong`);
  }
  if (measured.length > 0) refuseEndZeros(parameter, filled.length - measured.length, "a 0", "zeros");
  return filled.map((cell, i) => [
    passes(cell, parameter) ? cell : checkedNumber(parameter, cell, `place ${i + 1} `),
  ]);
}

function rangeArgument(parameter: RangeParameter, raw: unknown, nothingToCover: boolean): Matrix {
  const { columns, mostCells } = parameter;
  if (columns !== undefined) return tableArgument({ ...parameter, columns }, raw);
  if (parameter.series === true) return seriesArgument(parameter, raw);
  const rows = asRows(raw);
  if (mostCells !== undefined && rows.length * (rows[0]?.length ?? 0) > mostCells) {
    return refuse(parameter, `has more than ${mostCells} cells`);
  }
  const standIn = parameter.default;
  // Zero stands for blank here as well, where a blank has a meaning of its own or 0 is nothing that can be meant.
  const given =
    parameter.blank === "default" || nothingToCover || parameter.above === 0
      ? rows.map((row) => row.map((cell) => (cell === 0 ? null : cell)))
      : rows;
  const matrix = checkedMatrix(parameter, given);
  if (standIn !== undefined) return matrix.map((row) => row.map((cell) => cell ?? standIn));
  if (parameter.blank === "refused" && !nothingToCover && matrix.every((row) => row.every(isBlank))) {
    return refuse(parameter, "is blank");
  }
  return matrix;
}

/** What the host hands over for a repeating parameter: a list of values and ranges. */
const listed = (raw: unknown): readonly unknown[] => (Array.isArray(raw) ? (raw as unknown[]) : [raw]);

function checkedValue(parameter: Parameter, raw: unknown, nothingToCover: boolean): ParameterValue {
  switch (parameter.takes) {
    case "number":
      return numberArgument(parameter, raw, nothingToCover);
    case "text":
      return textArgument(parameter, raw, nothingToCover);
    case "range":
      return rangeArgument(parameter, raw, nothingToCover);
    case "repeating":
      return listed(raw).map((one) => checkedMatrix(parameter, one));
    case "columns":
      return listed(raw).map(asRows);
  }
}

/** Whether the function has an amount to cover and it is blank or zero, so that the answer is 0. */
export function coversNothing(parameters: readonly Parameter[], raw: readonly unknown[]): boolean {
  return parameters.some((parameter, i) => {
    if (parameter.blank !== "nothing to cover") return false;
    if (parameter.takes === "range") return asRows(raw[i]).every((row) => row.every(isNothing));
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

/** Arguments as they stand in a formula, as the host hands them over: a repeating parameter gets the rest as one. */
export function asHandedOver(
  parameters: readonly Parameter[],
  given: readonly unknown[],
): readonly unknown[] {
  const last = parameters[parameters.length - 1];
  return last !== undefined && isRepeating(last)
    ? [...given.slice(0, parameters.length - 1), given.slice(parameters.length - 1)]
    : given;
}
