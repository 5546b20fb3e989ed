/** Where columns stand on the sheets of a bid as they are written, for tests that type and look as a person does. */
import { cellName } from "../../src/workbench/host/area";
import type { ColumnId, Table } from "../../src/workbook/bid/declare/table";
import { partName } from "../../src/workbook/bid/declare/table";
import { planBid } from "../../src/workbook/bid/plan-bid";

const plans = planBid({ system: "us", property: "", job: undefined });

/** Counted from 1. */
export function columnNumber<T extends Table>(table: T, id: ColumnId<T>): number {
  const block = plans[table.sheet].names.get(partName(table.id, id));
  if (block === undefined) throw new Error(`${table.id} has no column ${id}.`);
  return block.left;
}

/** Its letter, such as P. */
export const columnOf = <T extends Table>(table: T, id: ColumnId<T>): string =>
  cellName(columnNumber(table, id) - 1, 0).replace(/\d+$/, "");
