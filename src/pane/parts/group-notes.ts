/** Cells that share a note are told once, sheet by sheet: a bid has the same note on every row. */
import type { CellNote } from "../../workbook/host";
import { qualified } from "../../workbook/host";

export interface NotedCells {
  readonly note: string;
  readonly sheets: readonly { readonly name: string; readonly cells: readonly CellNote[] }[];
}

function grouped<T>(all: readonly T[], key: (one: T) => string): readonly [string, readonly T[]][] {
  const groups = new Map<string, T[]>();
  for (const one of all) groups.set(key(one), [...(groups.get(key(one)) ?? []), one]);
  return [...groups];
}

export const groupNotes = (notes: readonly CellNote[]): readonly NotedCells[] =>
  grouped(notes, ({ note }) => note).map(([note, noted]) => ({
    note,
    sheets: grouped(noted, ({ sheet }) => sheet).map(([name, cells]) => ({ name, cells: eachOnce(cells) })),
  }));

/** A cell that calls two functions has one note of both, and is one cell. */
export const eachOnce = (cells: readonly CellNote[]): readonly CellNote[] =>
  grouped(cells, qualified).flatMap(([, [first]]) => (first === undefined ? [] : [first]));
