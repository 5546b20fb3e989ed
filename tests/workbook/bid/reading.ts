/** Finds cells by what stands beside them, so that a check reads as a person would and not by row numbers. */
import type { Workbench } from "../../../src/workbench/node";

export const letters = (column: number): string =>
  column > 26
    ? letters(Math.floor((column - 1) / 26)) + letters(((column - 1) % 26) + 1)
    : String.fromCharCode(64 + column);

/** The cell in a column of the last row whose first or second cell holds the label. */
export function cellOf(bench: Workbench, sheet: string, label: string, column: number): string {
  for (let row = 90; row >= 1; row--) {
    if (["A", "B"].some((first) => bench.value(sheet, `${first}${row}`) === label)) {
      return `${letters(column)}${row}`;
    }
  }
  throw new Error(`${sheet} has no line "${label}"`);
}

export const besideLabel = (bench: Workbench, sheet: string, label: string, column: number) =>
  bench.value(sheet, cellOf(bench, sheet, label, column));

export const numberAt = (bench: Workbench, sheet: string, address: string): number =>
  Number(bench.value(sheet, address));
