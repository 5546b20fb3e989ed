/** The native form of one cell of a spill. */
import { commonHeight, innerFunction } from "../columns";
import type { EachRow, SpillPlace, SpilledValue, WorksheetFunction } from "../formula";
import { ownForms } from "../native-forms";
import type { WrittenRange } from "../own-form";
import type { Parameter } from "../parameters";
import { Refusal } from "../refusal";
import { formulaText, nativeForm } from "./form";
import type { NativeArgument, NativeText } from "./pieces";
import { NoNativeForm, binding, call, leftOut, piece, within } from "./pieces";
import { block, cellText, extentOfTable, table } from "./tables";

/**
 * The native form of one cell of a spill, which has so many rows and columns as it stands in the sheet now. Throws
 * NoNativeForm where there is none.
 */
export function nativeCell(
  definition: WorksheetFunction,
  given: readonly NativeArgument[],
  at: SpillPlace,
): NativeText {
  switch (definition.form) {
    case "spilled formula":
      return formulaText(definition, given, (m, factors, terms) => definition.body(m, factors, at, ...terms));
    case "spilled value":
      return cellByCellText(definition, given, at);
    case "each row":
      return rowText(definition, given, at.row);
    default:
      return nativeForm(definition, given);
  }
}

function cellByCellText(
  definition: SpilledValue,
  given: readonly NativeArgument[],
  at: SpillPlace,
): NativeText {
  const own = ownForms[definition.id];
  if (own?.form !== "cell by cell") throw new NoNativeForm(`${definition.id} has no worksheet formula.`);
  const { parameters } = definition;
  let known: Pick<NativeText, "told" | "isPlainer"> = {};
  const native = formulaText({ parameters, conversions: {} }, given, (_m, _factors, _terms, notes) => {
    notes.dividesByBlank = true;
    const { text, ...others } = own.write(
      parameters.map((parameter, i) => writtenArgument(parameter, given[i] ?? leftOut, at)),
      at,
    );
    known = others;
    // The whole of it is one call of a function.
    return piece(text, binding.whole);
  });
  return { ...native, ...known };
}

/** An argument as it can be repeated anywhere in a formula. */
function writtenArgument(
  parameter: Parameter,
  argument: NativeArgument,
  { rows, columns }: SpillPlace,
): string | WrittenRange | undefined {
  if (argument.text === "") return undefined;
  if (parameter.takes !== "range") return within(argument, binding.whole);
  const from = table(argument);
  const extent = extentOfTable(from) ?? { rows, columns };
  const line = (row: number) => Array.from({ length: extent.columns }, (_cell, i) => cellText(from, row, i));
  return { text: from.text, cells: Array.from({ length: extent.rows }, (_row, i) => line(i)) };
}

/** One row of EACH_ROW; a call that is refused as a whole is refused for good. */
function rowText(definition: EachRow, given: readonly NativeArgument[], row: number): NativeText {
  try {
    return nativeForm(...rowCall(definition, given, row));
  } catch (refusal) {
    if (refusal instanceof Refusal) return call("NA");
    throw refusal;
  }
}

/** The function and the arguments that one row of EACH_ROW stands for. */
function rowCall(
  definition: EachRow,
  [name = leftOut, ...columns]: readonly NativeArgument[],
  row: number,
): [WorksheetFunction, readonly NativeArgument[]] {
  if (typeof name.literal !== "string") {
    throw new NoNativeForm(
      "The name of the function stands in a cell, so no one formula can take its place.",
    );
  }
  const inner = innerFunction(definition, name.literal);
  const tables = columns.map(table);
  const extents = tables.map((from) => extentOfTable(from) ?? { rows: 1, columns: 1 });
  if (tables.some((from) => from.sort === "expression")) {
    throw new NoNativeForm(
      "A column that is a name or is worked out has no rows that a formula could point to.",
    );
  }
  commonHeight(inner, extents);
  const cells = tables.map((from, i): NativeArgument => {
    const { rows, columns: wide } = extents[i] ?? { rows: 1, columns: 1 };
    const argument = columns[i] ?? leftOut;
    if (argument.text === "" || argument.literal !== undefined) return argument;
    const line = rows === 1 ? 0 : row;
    if (from.sort === "reference") {
      const text = block(from, { row: line, column: 0 }, { row: line, column: wide - 1 });
      return { ...argument, text };
    }
    const text = cellText(from, line, 0);
    return { text, binding: binding.whole, literal: text.startsWith('"') ? text.slice(1, -1) : Number(text) };
  });
  return [inner, cells];
}
