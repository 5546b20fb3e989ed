/** Tables as a formula refers to them: as a reference, as figures written out, or as what an expression gives. */
import type { Extent } from "../columns";
import { flat } from "../lists";
import type { NativeArgument } from "./pieces";
import type { RangeA1, ReferenceA1 } from "@borgar/fx";
import { parseA1Ref, stringifyA1Ref } from "@borgar/fx";

export type Table =
  | { readonly sort: "reference"; readonly at: ReferenceA1; readonly text: string }
  | { readonly sort: "written"; readonly rows: readonly (readonly string[])[]; readonly text: string }
  | { readonly sort: "expression"; readonly text: string };

const writtenTable = /^\{([^]*)\}$/;

export function table(argument: NativeArgument): Table {
  const { text } = argument;
  const rows = writtenTable.exec(text)?.[1];
  if (rows !== undefined)
    return { sort: "written", text, rows: rows.split(";").map((row) => row.split(",")) };
  const reference = parseA1Ref(text, { allowNamed: false });
  if (reference !== undefined && "range" in reference && reference.range.top !== null) {
    return { sort: "reference", at: reference, text };
  }
  if (argument.literal !== undefined) return { sort: "written", text, rows: [[text]] };
  return { sort: "expression", text };
}

const rowsOf = (from: Table): number | undefined => extentOfTable(from)?.rows;

/** How many rows and columns a table has, where its text says so. */
export function extentOfTable(from: Table): Extent | undefined {
  if (from.sort === "written") return { rows: from.rows.length, columns: from.rows[0]?.length ?? 0 };
  if (from.sort === "expression") return undefined;
  const { top, bottom, left, right } = from.at.range;
  return {
    rows: (bottom ?? top ?? 0) - (top ?? 0) + 1,
    columns: (right ?? left ?? 0) - (left ?? 0) + 1,
  };
}

/** A block of a table as a reference; rows and columns count from 0, the last ones included. */
export function block(from: Table & { sort: "reference" }, first: Spot, last: Spot): string {
  const { range } = from.at;
  const [top, left] = [range.top ?? 0, range.left ?? 0];
  const part: RangeA1 = {
    ...range,
    top: top + first.row,
    bottom: top + last.row,
    left: left + first.column,
    right: left + last.column,
    ...(range.$top === undefined ? {} : { $bottom: range.$top }),
    ...(range.$left === undefined ? {} : { $right: range.$left }),
  };
  return stringifyA1Ref({ ...from.at, range: part });
}

interface Spot {
  readonly row: number;
  readonly column: number;
}

/** One column of some rows of a table, as a reference. Rows and columns count from 0; the last `dropLast` are left out. */
export function slice(from: Table, column: number, start: number, dropLast: number): string {
  if (from.sort === "written") {
    const rows = from.rows.slice(start, from.rows.length - dropLast);
    return `{${rows.map((row) => row[column] ?? "0").join(";")}}`;
  }
  if (from.sort === "reference") {
    const rows = rowsOf(from) ?? 1;
    return block(from, { row: start, column }, { row: rows - 1 - dropLast, column });
  }
  const cell = (row: string) => `INDEX(${from.text},${row},${column + 1})`;
  return `${cell(String(start + 1))}:${cell(`ROWS(${from.text})${dropLast === 0 ? "" : `-${dropLast}`}`)}`;
}

/** A series without its first or its last cell, whichever way it lies. */
export function sliceOfSeries(from: Table, start: number, dropLast: number): string {
  const extent = extentOfTable(from);
  if (from.sort === "reference" && extent !== undefined && extent.rows === 1) {
    return block(from, { row: 0, column: start }, { row: 0, column: extent.columns - 1 - dropLast });
  }
  if (from.sort !== "expression") return slice(from, 0, start, dropLast);
  const cell = (place: string) => `INDEX(${from.text},${place})`;
  const size = `ROWS(${from.text})*COLUMNS(${from.text})`;
  return `${cell(String(start + 1))}:${cell(dropLast === 0 ? size : `${size}-${dropLast}`)}`;
}

/** One cell of a table as text. */
export function cellText(from: Table, row: number, column: number): string {
  if (from.sort === "written") return from.rows[row]?.[column] ?? "0";
  if (from.sort === "reference") return block(from, { row, column }, { row, column });
  return `INDEX(${from.text},${row + 1},${column + 1})`;
}

export const firstCell = (from: Table, column: number): string => cellText(from, 0, column);

/** The last filled cell of a column: trailing blank rows of an outline are left out. */
export function lastCell(from: Table, column: number): string {
  if (from.sort === "written") return from.rows[from.rows.length - 1]?.[column] ?? "0";
  const counted = slice(from, 0, 0, 0);
  return `INDEX(${slice(from, column, 0, 0)},COUNT(${counted}))`;
}

/** The place of each cell of a series, from 0 on, whichever way it lies. */
export function places(from: Table): string {
  const extent = extentOfTable(from);
  const first = firstCell(from, 0);
  const along = (name: string) => `${name}(${from.text})-${name}(${first})`;
  if (extent === undefined) return `${along("ROW")}+${along("COLUMN")}`;
  return along(extent.columns > 1 ? "COLUMN" : "ROW");
}

/** Two numbers in turn, in the shape of a series that is written out. */
export const alternately = (rows: readonly (readonly string[])[], odd: number, even: number): string =>
  `{${flat(rows)
    .map((_cell, i) => (i % 2 === 0 ? odd : even))
    .join(rows.length > 1 ? ";" : ",")}}`;

export const literalCell = ({ sort }: Table, text: string): { literal?: number } =>
  sort === "written" && text !== "" && Number.isFinite(Number(text)) ? { literal: Number(text) } : {};
