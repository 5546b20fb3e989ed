/** A function down the rows of a sheet: which function, how many rows, what each row is given. */
import { asHandedOver } from "./arguments";
import type { Computed, EachRow, Formula } from "./formula";
import type { Parameter, RawMatrix } from "./parameters";
import { isRepeating } from "./parameters";
import { greatest } from "./lists";
import { Refusal } from "./refusal";

/** The function of that name among those that give one value, with or without the namespace, in any letter case. */
export function innerFunction({ functions }: EachRow, name: string): Formula | Computed {
  const wanted = name.toUpperCase().split(".").pop();
  const found = functions.find(({ id }) => id === wanted);
  if (found !== undefined) return found;
  throw new Refusal(
    "function",
    `function is the text "${name}", which names no function that gives one value: enter the name of one as text, such as "SEED_WEIGHT".`,
  );
}

const parameterAt = (parameters: readonly Parameter[], i: number): Parameter | undefined => {
  const last = parameters[parameters.length - 1];
  return parameters[i] ?? (last !== undefined && isRepeating(last) ? last : undefined);
};

const takesRange = (parameter: Parameter | undefined): boolean =>
  parameter?.takes === "range" || parameter?.takes === "repeating";

/** The shape of an argument: rows and columns. */
export interface Extent {
  readonly rows: number;
  readonly columns: number;
}

const extentOf = (column: RawMatrix): Extent => ({
  rows: column.length,
  columns: column[0]?.length ?? 0,
});

/** How many rows the arguments go down; refused where they do not agree. */
export function commonHeight({ id, parameters }: Formula | Computed, extents: readonly Extent[]): number {
  if (extents.length > parameters.length && !parameters.some(isRepeating)) {
    throw new Refusal(
      "arguments",
      `arguments are ${extents.length} where ${id} takes at most ${parameters.length}: enter them in the order of ${id}.`,
    );
  }
  const height = greatest([1, ...extents.map(({ rows }) => rows)]);
  extents.forEach(({ rows, columns }, i) => {
    const parameter = parameterAt(parameters, i);
    const named = `${parameter?.id ?? "an argument"} of ${id}`;
    if (rows !== 1 && rows !== height) {
      throw new Refusal(
        "arguments",
        `${named} has ${rows} rows where another argument has ${height}: enter one value or a column of the same height.`,
      );
    }
    if (columns !== 1 && !takesRange(parameter)) {
      throw new Refusal(
        "arguments",
        `${named} has ${columns} columns: enter one value or a single column of the same height.`,
      );
    }
  });
  return height;
}

export const heightOf = (inner: Formula | Computed, columns: readonly RawMatrix[]): number =>
  commonHeight(inner, columns.map(extentOf));

/** What one row is given: its own cell of a column, the same value in every row, or its own row of a block. */
export const rowArguments = (
  { parameters }: Formula | Computed,
  columns: readonly RawMatrix[],
  row: number,
): readonly unknown[] =>
  columns.map((column, i) => {
    const cells = column.length === 1 ? column[0] : column[row];
    return takesRange(parameterAt(parameters, i)) ? [cells ?? []] : cells?.[0];
  });

/**
 * What each row is given, as the host hands it over, for going down very many rows: the list is used again for the next
 * row, and what is the same in every row is put into it once.
 */
export function rowByRow(
  inner: Formula | Computed,
  columns: readonly RawMatrix[],
): (row: number) => readonly unknown[] {
  const { parameters } = inner;
  if (parameters.some(isRepeating) || columns.some((_column, i) => takesRange(parameterAt(parameters, i))))
    return (row) => asHandedOver(parameters, rowArguments(inner, columns, row));
  const given = columns.map((column) => column[0]?.[0]);
  const changing = columns.map((_column, i) => i).filter((i) => columns[i]?.length !== 1);
  return (row) => {
    for (let i = 0; i < changing.length; i++) {
      const place = changing[i] ?? 0;
      given[place] = columns[place]?.[row]?.[0];
    }
    return given;
  };
}
