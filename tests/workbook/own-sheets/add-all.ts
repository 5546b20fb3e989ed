import type { Workbench } from "../../../src/workbench/node";
import { propose } from "../../../src/workbook/own-sheets/propose";
import { understand } from "../../../src/workbook/own-sheets/understand";
import type { WrittenColumns } from "../../../src/workbook/own-sheets/write-proposals";
import { unwatched } from "../../support/built-workbench";
import { readOwnTable, writeProposals } from "../../../src/workbook/own-sheets/write-proposals";

/** Adds to the table round a cell every function that it allows. */
export async function addAll(
  bench: Workbench,
  sheet: string,
  at: string,
  progress = unwatched,
): Promise<WrittenColumns & { functions: readonly string[] }> {
  bench.select(sheet, at);
  const table = await readOwnTable(progress);
  const understanding = understand(table);
  const { system } = understanding;
  const functions = propose(understanding, system).proposals.map(({ definition }) => definition.id);
  const written = await writeProposals({ table, choices: new Map(), system, functions }, progress);
  return { ...written, functions };
}
