/** Which sheets of the workbook a reader gets. */
import type { BidSheet } from "../bid";
import { findMarked, sheetOfBid } from "../bid";
import { inWorkbook, sheetsApart } from "../host";
import type { PageWanted } from "./reader/reader-options";
import type { ReaderId, ReaderWay } from "./ways";
import { ways } from "./ways";

export interface ReaderSheet {
  readonly name: string;
  /** Which sheet of a bid it is, whatever it is called now. */
  readonly which: BidSheet | undefined;
  /** Sheets of one bid have this in common. */
  readonly bid: string;
  readonly isHidden: boolean;
}

export interface ReaderSheets {
  readonly sheets: readonly ReaderSheet[];
  /** The bid that is open, or the last that was written. */
  readonly bid: string | undefined;
}

/** The sheets of the workbook, and which of them belong to a bid. */
export const readerSheets = (): Promise<ReaderSheets> =>
  inWorkbook(async (context) => {
    const active = context.workbook.worksheets.getActiveWorksheet();
    active.load("name");
    const { theirs } = await sheetsApart(context);
    const marked = new Map((await findMarked(context)).map((one) => [one.name, one]));
    const sheets = theirs.map(({ name, visibility }): ReaderSheet => {
      const mark = marked.get(name);
      return {
        name,
        which: mark?.which,
        bid: mark?.site ?? "",
        isHidden: String(visibility) !== "Visible",
      };
    });
    const bids = sheets.filter(({ which }) => which !== undefined);
    const open = bids.find(({ name }) => name === active.name) ?? bids[bids.length - 1];
    return { sheets, bid: open?.bid };
  });

/** The sheets that a reader gets unless the person chooses otherwise. */
export function sheetsFor(reader: ReaderId, { sheets, bid }: ReaderSheets): readonly string[] {
  const wanted: ReaderWay = ways[reader];
  return sheets
    .filter((sheet) => !sheet.isHidden && sheet.bid === bid)
    .filter(({ which }) => which !== undefined && wanted.sheets[which] !== undefined)
    .map(({ name }) => name);
}

/** Those of the ticked sheets on which a reader would see what something costs; a part that a reader gets tells none. */
export const costsSeen = (
  reader: ReaderId,
  names: readonly string[],
  { sheets }: ReaderSheets,
): readonly string[] =>
  names.filter((name) => {
    const which = sheets.find((sheet) => sheet.name === name)?.which;
    const wanted: ReaderWay = ways[reader];
    return which !== undefined && sheetOfBid(which).tellsCosts && wanted.sheets[which]?.columns === undefined;
  });

/** The pages of a reader's file. A part of a sheet is given only where the reader never gets the whole of it. */
export function pagesFor(
  reader: ReaderId,
  names: readonly string[],
  { sheets }: ReaderSheets,
): readonly PageWanted[] {
  const wanted: ReaderWay = ways[reader];
  return names.map((name) => {
    const which = sheets.find((sheet) => sheet.name === name)?.which;
    const columns = which === undefined ? undefined : wanted.sheets[which]?.columns;
    return columns === undefined ? { sheet: name } : { sheet: name, columns };
  });
}
