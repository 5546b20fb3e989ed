/** Reads the table round the selection and writes the columns that were agreed to. */
import type { UnitSystem } from "../../engine/units";
import { giveWay } from "../progress";
import { blockOf, cellAddress } from "../reference";
import { localAddress } from "../selection";
import { inWorkbook } from "../session";
import type { SheetCells } from "../sheets";
import { readCalculatedSheets, readSheets } from "../sheets";
import { WorkbookTrouble } from "../trouble";
import { asWork } from "../work/as-work";
import type { Guard } from "../write-cells";
import { isFormula, writeAndLook } from "../write-cells";
import type { OwnTable } from "./find-table";
import { cellIn, findTable } from "./find-table";
import type { Proposal } from "./propose";
import { columnsToWrite, freeColumns, propose } from "./propose";
import type { Choices } from "./understand";
import { understand } from "./understand";

/** The table round the selected cells; refuses, in a sentence, where there is none. */
export const readOwnTable = (): Promise<OwnTable> =>
  inWorkbook(async (context) => {
    const range = context.workbook.getSelectedRange();
    range.load("address");
    range.worksheet.load("name");
    await context.sync();
    const chosen = blockOf(localAddress(range.address));
    const sheet = (await readCalculatedSheets(context)).find(({ name }) => name === range.worksheet.name);
    if (chosen === undefined || sheet === undefined) {
      throw new WorkbookTrouble("Select a heading of your table, then read it.");
    }
    const found = findTable(sheet, chosen);
    if ("trouble" in found) throw new WorkbookTrouble(found.trouble);
    return found.table;
  });

/** What is to be written: the functions by id, as they were shown. */
export interface Agreed {
  readonly table: OwnTable;
  readonly choices: Choices;
  readonly system: UnitSystem;
  readonly functions: readonly string[];
}

export interface WrittenColumns {
  readonly sheet: string;
  /** Such as F4:G9. */
  readonly address: string;
  readonly headings: readonly string[];
  readonly formulas: number;
}

const agreedProposals = ({ table, choices, system, functions }: Agreed): readonly Proposal[] =>
  propose(understand(table, choices), system).proposals.filter(({ definition }) =>
    functions.includes(definition.id),
  );

/** The table as it is now; refused where it is no longer the one that was shown. */
function asShown(shown: OwnTable, sheets: readonly SheetCells[]): OwnTable {
  const now = sheets.find(({ name }) => name === shown.cells.name);
  const found = now === undefined ? undefined : findTable(now, shown.chosen);
  const outline = ({ headingRow, rows, columns }: OwnTable) => JSON.stringify([headingRow, rows, columns]);
  if (found !== undefined && "table" in found && outline(found.table) === outline(shown)) return found.table;
  throw new WorkbookTrouble(changed);
}

const changed = "The table has changed since it was read: read it again, then write.";

/** The table as it was read: what is written beside it belongs to its rows. */
const asRead = (sheet: Excel.Worksheet, { cells, headingRow, bottom, left, right }: OwnTable): Guard => ({
  sheet,
  block: { top: headingRow, bottom, left, right },
  formulas: Array.from({ length: bottom - headingRow + 1 }, (_, row) =>
    Array.from(
      { length: right - left + 1 },
      (_unused, at) => cellIn(cells, headingRow + row, left + at).formula,
    ),
  ),
});

/** Writes the columns beside the table in one step, over nothing that is there. */
export const writeProposals = (agreed: Agreed): Promise<WrittenColumns> =>
  asWork({ work: "columns" }, async (context, mark) => {
    const table = asShown(agreed.table, await readSheets(context));
    await giveWay();
    const proposals = agreedProposals({ ...agreed, table });
    await giveWay();
    if (proposals.length === 0 || proposals.length !== agreed.functions.length) {
      throw new WorkbookTrouble(changed);
    }
    const content = columnsToWrite(proposals, table);
    await giveWay();
    const left = freeColumns(table, proposals.length);
    const bottom = table.headingRow + content.length - 1;
    const address = `${cellAddress(table.headingRow, left)}:${cellAddress(bottom, left + proposals.length - 1)}`;
    const sheet = context.workbook.worksheets.getItem(table.cells.name);
    const cells = { sheet, top: table.headingRow, left, rows: content, held: "" };
    await writeAndLook(context, mark, [cells], [asRead(sheet, table)]);
    return {
      sheet: table.cells.name,
      address,
      headings: proposals.map(({ heading }) => heading),
      formulas: content.flat().filter(isFormula).length,
    };
  });
