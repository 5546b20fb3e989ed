import type { FunctionMetadata, ParameterMetadata } from "./metadata";
import { CustomFunctionsError, ErrorCode } from "./script";
import type { CustomFunction } from "./script";

/** What a blank cell is passed as: the host's own answer differs between its platforms. */
export type BlankAs = 0 | null | "";

export const blankAs = { null: null, zero: 0, text: "" } as const;

/** A value in the spreadsheet's own terms. Matrices there are lists of columns. */
export interface Cell {
  value: string | number | boolean | null;
  message?: string;
}

export type Argument = Cell | Cell[][] | undefined;

export interface Invocation {
  address: string;
  functionName: string;
}

export interface MarshalOptions {
  blankAs: () => BlankAs;
  isError: (value: unknown) => boolean;
}

const rowsFirst = <From, To>(columns: readonly (readonly From[])[], read: (item: From) => To): To[][] =>
  Array.from({ length: columns[0]?.length ?? 0 }, (_, row) =>
    columns.map((column) => read(column[row] as From)),
  );

const isMatrix = (argument: Argument): argument is Cell[][] => Array.isArray(argument);

/** Calls a custom function as the host does: converts its arguments, and its result or error. */
export function invoke(
  compute: CustomFunction,
  { parameters }: FunctionMetadata,
  given: readonly Argument[],
  invocation: Invocation,
  options: MarshalOptions,
): Cell | Cell[][] {
  const failed = firstError(given, options);
  if (failed) return failed;
  try {
    const passed = passedParameters(parameters, given, options);
    return outcome(compute(...passed, invocation));
  } catch (reason) {
    return failure(reason);
  }
}

function firstError(given: readonly Argument[], { isError }: MarshalOptions): Cell | undefined {
  for (const argument of given) {
    const cells = isMatrix(argument) ? argument.flat() : [argument];
    const error = cells.find((cell) => cell && isError(cell.value));
    if (error)
      return error.message === undefined
        ? { value: error.value }
        : { value: error.value, message: error.message };
  }
  return undefined;
}

function passedParameters(
  parameters: readonly ParameterMetadata[],
  given: readonly Argument[],
  options: MarshalOptions,
): unknown[] {
  const scalar = (cell: Cell | undefined): unknown => {
    if (!cell) return null;
    return cell.value === null ? options.blankAs() : cell.value;
  };
  const one = (parameter: ParameterMetadata, argument: Argument): unknown => {
    if (isMatrix(argument)) return rowsFirst(argument, scalar);
    if (argument === undefined) return null;
    return parameter.dimensionality === "matrix" ? [[scalar(argument)]] : scalar(argument);
  };
  return parameters.map((parameter, index) => {
    if (!parameter.repeating) return one(parameter, given[index]);
    const rest = given.slice(index);
    return rest.length ? rest.map((argument) => one(parameter, argument)) : null;
  });
}

function outcome(result: unknown): Cell | Cell[][] {
  if (!Array.isArray(result)) return cell(result);
  const rows = result as unknown[];
  const width = Array.isArray(rows[0]) ? rows[0].length : 0;
  const rectangular = rows.every((row) => Array.isArray(row) && row.length === width);
  if (!width || !rectangular) {
    return { value: ErrorCode.invalidValue, message: "The function gave rows of unequal length." };
  }
  return rowsFirst(rows as unknown[][], cell);
}

function cell(value: unknown): Cell {
  if (value instanceof CustomFunctionsError) return failure(value);
  if (value instanceof Promise) {
    return {
      value: ErrorCode.invalidValue,
      message: "The function gave a promise; only plain results show.",
    };
  }
  if (typeof value === "number") {
    return Number.isFinite(value) ? { value } : { value: ErrorCode.invalidNumber };
  }
  if (value === null || value === undefined) return { value: "" };
  if (typeof value === "string" || typeof value === "boolean") return { value };
  return { value: ErrorCode.invalidValue };
}

function failure(reason: unknown): Cell {
  if (!(reason instanceof CustomFunctionsError)) return { value: ErrorCode.invalidValue };
  return reason.message ? { value: reason.code, message: reason.message } : { value: reason.code };
}
