/** Another person's rows and columns: put in and taken out as the spreadsheet itself does it. */
import type { Workbench } from "../../src/workbench/node";

export interface RowsOrColumns {
  readonly dimension: "ROW" | "COL";
  /** The first of them, counted from 0. */
  readonly at: number;
  readonly count: number;
  readonly isIn: boolean;
}

export function putInOrTakeOut(
  bench: Workbench,
  sheetName: string,
  { dimension, at, count, isIn }: RowsOrColumns,
): void {
  const sheetId = bench.model.getters.getSheetIdByName(sheetName) ?? "";
  const { model } = bench as unknown as { model: { dispatch(type: string, payload: object): void } };
  model.dispatch(isIn ? "ADD_COLUMNS_ROWS" : "REMOVE_COLUMNS_ROWS", {
    ...{ sheetId, sheetName, dimension },
    ...(isIn
      ? { base: at, quantity: count, position: "before" }
      : { elements: Array.from({ length: count }, (_, i) => at + i) }),
  });
}
