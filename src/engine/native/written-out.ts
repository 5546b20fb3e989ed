/** What is known of arguments that are written out in the formula, before any cell is looked at. */
import { checkArguments } from "../arguments";
import { flat, flatMap } from "../lists";
import type { Parameter } from "../parameters";
import { isRepeating } from "../parameters";
import { Refusal } from "../refusal";
import type { NativeArgument } from "./pieces";
import { isLiteral, leftOut } from "./pieces";
import { extentOfTable, table } from "./tables";

/** The value of an argument that is written out in the formula, a table of numbers included. */
function writtenOut(parameter: Parameter, argument: NativeArgument): unknown {
  if (isLiteral(argument)) return argument.literal ?? null;
  const from = parameter.takes === "range" ? table(argument) : undefined;
  return from?.sort === "written" ? from.rows.map((row) => row.map(Number)) : undefined;
}

/** Whether it is written in the formula itself that there is nothing to cover. */
export function leavesNothing(parameter: Parameter, argument: NativeArgument): boolean {
  if (parameter.blank !== "nothing to cover") return false;
  if (argument.text === "" || argument.literal === 0) return true;
  const written = writtenOut(parameter, argument);
  return Array.isArray(written) && flat(written as number[][]).every((cell) => cell === 0);
}

/** Whether a range of this shape can hold what is measured in order, or what is one value. */
export function mayFit(parameter: Parameter, argument: NativeArgument): boolean {
  if (parameter.takes === "number" || parameter.takes === "text") {
    const { rows, columns } = extentOfTable(table(argument)) ?? { rows: 1, columns: 1 };
    return rows === 1 && columns === 1;
  }
  if (parameter.takes !== "range") return true;
  const { columns, series, leastRows = 1, mostCells } = parameter;
  const extent = extentOfTable(table(argument));
  if (mostCells !== undefined && extent !== undefined && extent.rows * extent.columns > mostCells)
    return false;
  if (extent === undefined || (columns === undefined && series !== true)) return true;
  if (columns !== undefined) return extent.columns === columns && extent.rows >= leastRows;
  return Math.min(extent.rows, extent.columns) === 1 && Math.max(extent.rows, extent.columns) >= leastRows;
}

/** Arguments written out in the formula that the function refuses are refused for good: their native form is #N/A. */
export function refusedForGood(parameters: readonly Parameter[], given: readonly NativeArgument[]): boolean {
  const known = flatMap(parameters, (parameter, i) => {
    const value = isRepeating(parameter) ? undefined : writtenOut(parameter, given[i] ?? leftOut);
    return value === undefined ? [] : [{ parameter, value }];
  });
  try {
    checkArguments(
      known.map(({ parameter }) => parameter),
      known.map(({ value }) => value),
    );
    return false;
  } catch (refusal) {
    if (refusal instanceof Refusal) return true;
    throw refusal;
  }
}
