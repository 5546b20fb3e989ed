import { readBlocks, valuesOf } from "./blocks";
import { asCalculated, loadCalculated } from "./calculated";
import type { Place } from "./reference";
import { blockOf } from "./reference";
import { WorkbookTrouble } from "./trouble";
import { inWorkbook } from "./session";

export interface Selection {
  readonly sheet: string;
  /** Without the sheet's name. */
  readonly address: string;
  readonly values: readonly (readonly unknown[])[];
  readonly formulas: readonly (readonly unknown[])[];
}

/** More cells than this are not read: a person who selects whole columns means the reference, not the values. */
const mostCells = 1000;

export const localAddress = (address: string): string => address.slice(address.lastIndexOf("!") + 1);

/** The selected range with what it holds. */
export const readSelection = (): Promise<Selection> =>
  inWorkbook(async (context) => {
    const range = context.workbook.getSelectedRange();
    range.load("address,rowCount,columnCount");
    range.worksheet.load("name");
    await context.sync();
    const rows = Math.min(range.rowCount, Math.max(1, Math.floor(mostCells / range.columnCount)));
    const columns = Math.min(range.columnCount, mostCells);
    const read = range.getCell(0, 0).getResizedRange(rows - 1, columns - 1);
    await loadCalculated(context, [read], "values,formulas");
    return {
      sheet: range.worksheet.name,
      address: localAddress(range.address),
      values: read.values as unknown[][],
      formulas: read.formulas as unknown[][],
    };
  });

/** Opens a sheet and selects a cell of it. */
export const showCell = ({ sheet, address }: Place): Promise<void> =>
  inWorkbook(async (context) => {
    const worksheet = context.workbook.worksheets.getItem(sheet);
    worksheet.activate();
    worksheet.getRange(address).select();
    await context.sync();
  });

/** Calls the listener at each new selection; answers with how to stop. */
export const watchSelection = (listener: () => void): Promise<() => Promise<void>> =>
  inWorkbook(async (context) => {
    const handler = context.workbook.onSelectionChanged.add(() => {
      listener();
      return Promise.resolve();
    });
    await context.sync();
    return async () => {
      await Excel.run(handler.context, async (registered) => {
        handler.remove();
        await registered.sync();
      });
    };
  });

/** The values behind a typed reference; refuses, in a sentence, what is not one. */
export const valuesAt = async (
  context: Excel.RequestContext,
  sheet: string,
  address: string,
): Promise<unknown[][]> => {
  const range = context.workbook.worksheets.getItem(sheet).getRange(address);
  const used = range.getUsedRangeOrNullObject(true);
  range.load("rowCount,columnCount");
  used.load("address");
  await context.sync();
  if (used.isNullObject) return [[null]];
  const wanted = range.rowCount * range.columnCount > mostWanted ? used.address : address;
  const block = blockOf(localAddress(wanted));
  if (block === undefined) return refuseReference(address);
  const worksheet = context.workbook.worksheets.getItem(sheet);
  const [read] = await asCalculated(
    context,
    () => readBlocks(context, [{ sheet: worksheet, block }]),
    valuesOf,
  );
  return read?.values.map((row) => [...row]) ?? [[null]];
};

const mostWanted = 200_000;

export const refuseReference = (text: string): never => {
  throw new WorkbookTrouble(
    `${text} is not a reference: type an address such as B2 or Site!B2:B9, or use the selection.`,
  );
};
