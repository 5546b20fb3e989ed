/** Reads the table round the selection and writes the columns that were agreed to. */
import type { UnitSystem } from "../../engine/units";
import type { Pause, Pieces, Progress, SheetCells, Worksheet } from "../host";
import {
  blockAddress,
  blockOf,
  inSlices,
  inWorkbook,
  localAddress,
  readCalculatedSheets,
  readSheets,
  slices,
  WorkbookTrouble,
} from "../host";
import { asWork } from "../work";
import type { Guard } from "../writing";
import { isFormula, writeAndLook } from "../writing";
import type { OwnTable } from "../tables";
import { cellIn, findingTable } from "../tables";
import type { Proposal } from "./propose";
import { columnsToWrite, freeColumns, propose } from "./propose";
import type { Choices } from "./understand";
import { understand } from "./understand";

/** What is told of the work while the table is found. */
const readingTable = "Reading the table";

/** The table round the selected cells; refuses, in a sentence, where there is none. */
export const readOwnTable = (progress: Progress): Promise<OwnTable> =>
  inWorkbook(async (context) => {
    const range = context.workbook.getSelectedRange();
    range.load("address");
    range.worksheet.load("name");
    await context.sync();
    const chosen = blockOf(localAddress(range.address));
    const sheets = await readCalculatedSheets(context, progress);
    const sheet = sheets.find(({ name }) => name === range.worksheet.name);
    if (chosen === undefined || sheet === undefined) {
      throw new WorkbookTrouble("Select a heading of your table, then read it.");
    }
    const found = await inSlices(findingTable(sheet, chosen), slices(progress, readingTable));
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
async function asShown(shown: OwnTable, sheets: readonly SheetCells[], pause: Pause): Promise<OwnTable> {
  const now = sheets.find(({ name }) => name === shown.cells.name);
  const found = now === undefined ? undefined : await inSlices(findingTable(now, shown.chosen), pause);
  const outline = ({ headingRow, rows, columns }: OwnTable) => JSON.stringify([headingRow, rows, columns]);
  if (found !== undefined && "table" in found && outline(found.table) === outline(shown)) return found.table;
  throw new WorkbookTrouble(changed);
}

const changed = "The table has changed since it was read: read it again, then write.";

/** Cells that are gone through between two pauses. */
const cellsAtATime = 200;

/** The table as it was read: what is written beside it belongs to its rows. */
function* asRead(sheet: Worksheet, { cells, headingRow, bottom, left, right }: OwnTable): Pieces<Guard> {
  const formulas: string[][] = [];
  const width = right - left + 1;
  for (let row = headingRow; row <= bottom; row++) {
    formulas.push(Array.from({ length: width }, (_, at) => cellIn(cells, row, left + at).formula));
    if ((row * width) % cellsAtATime < width) yield (row - headingRow) / (bottom - headingRow + 1);
  }
  return { sheet, block: { top: headingRow, bottom, left, right }, formulas };
}

/** Writes the columns beside the table in one step, over nothing that is there. */
export const writeProposals = (agreed: Agreed, progress: Progress): Promise<WrittenColumns> =>
  asWork({ work: "columns" }, async (context, mark) => {
    const pause = slices(progress, readingTable);
    const table = await asShown(agreed.table, await readSheets(context, progress), pause);
    const proposals = agreedProposals({ ...agreed, table });
    if (proposals.length === 0 || proposals.length !== agreed.functions.length) {
      throw new WorkbookTrouble(changed);
    }
    const content = await inSlices(columnsToWrite(proposals, table), slices(progress, "Writing the columns"));
    const left = freeColumns(table, proposals.length);
    const bottom = table.headingRow + content.length - 1;
    const right = left + proposals.length - 1;
    const address = blockAddress({ top: table.headingRow, left, bottom, right });
    const sheet = context.workbook.worksheets.getItem(table.cells.name);
    const cells = { sheet, top: table.headingRow, left, rows: content, held: "" };
    const guards = [await inSlices(asRead(sheet, table), pause)];
    await writeAndLook(context, mark, [cells], { progress, guards });
    return {
      sheet: table.cells.name,
      address,
      headings: proposals.map(({ heading }) => heading),
      formulas: content.flat().filter(isFormula).length,
    };
  });
