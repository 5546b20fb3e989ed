/** Tables as an estimator would type them, without a workbook round them. */
import type { Scalar } from "../../../src/workbook/host/cell-values";
import { blockOf } from "../../../src/workbook/host/reference";
import type { SheetCells } from "../../../src/workbook/host/sheets";
import type { OwnTable } from "../../../src/workbook/tables/find-table";
import { atOnce } from "../../../src/workbook/host/progress";
import { findingTable } from "../../../src/workbook/tables/find-table";
import type { Proposal, Proposals } from "../../../src/workbook/own-sheets/propose";
import { propose } from "../../../src/workbook/own-sheets/propose";
import type { Choices } from "../../../src/workbook/own-sheets/understand";
import { understand } from "../../../src/workbook/own-sheets/understand";

/** A sheet from A1 on; a text that begins with "=" is a formula without a value. */
export const sheetOf = (rows: readonly (readonly Scalar[])[], name = "Sheet1"): SheetCells => {
  const width = Math.max(...rows.map((row) => row.length));
  return {
    name,
    top: 0,
    left: 0,
    width,
    rows: rows.map((row) =>
      Array.from({ length: width }, (_, i) => {
        const value = row[i] ?? null;
        const isFormula = typeof value === "string" && value.startsWith("=");
        return { formula: value === null ? "" : String(value), value: isFormula ? 0 : value };
      }),
    ),
  };
};

export function foundAt(cells: SheetCells, address: string): OwnTable {
  const block = blockOf(address);
  if (block === undefined) throw new Error(`${address} is no address.`);
  const found = atOnce(findingTable(cells, block));
  if ("trouble" in found) throw new Error(found.trouble);
  return found.table;
}

export const tableOf = (...rows: readonly (readonly Scalar[])[]): OwnTable => foundAt(sheetOf(rows), "A1");

export function proposedFor(
  table: OwnTable,
  choices: Choices = new Map(),
  system = understand(table, choices).system,
): Proposals {
  return propose(understand(table, choices), system);
}

export const idsOf = ({ proposals }: Proposals): readonly string[] =>
  proposals.map(({ definition }) => definition.id);

export function proposalFor(proposals: Proposals, id: string): Proposal {
  const found = proposals.proposals.find(({ definition }) => definition.id === id);
  if (found === undefined) throw new Error(`${id} is not among ${idsOf(proposals).join(", ")}`);
  return found;
}
