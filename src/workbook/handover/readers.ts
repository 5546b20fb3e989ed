/** Who a bid is handed to, and which of its sheets each of them gets: said once, for the pane, the file and its tests. */
import type { BidSheet } from "../bid";
import { findMarked, partName, purchases } from "../bid";
import type { DrawingId } from "../drawings";
import { inWorkbook, sheetsApart } from "../host";
import type { PageWanted } from "./reader/one-reader";

export interface Reader {
  readonly label: string;
  readonly sheets: Readonly<Partial<Record<BidSheet, { readonly columns?: readonly string[] }>>>;
  readonly drawings: readonly DrawingId[];
  /** What such a file tells, in a sentence. */
  readonly gets: string;
}

const drawings = ["plan", "timeline"] as const;

/** What a supplier is told of the order. */
const delivered = [
  "material",
  "step",
  "unit",
  "size1",
  "size2",
  "size3",
  "packs1",
  "packs2",
  "packs3",
  "bought",
  "supplier",
] as const;

export const readers = {
  client: {
    label: "The client",
    sheets: { bid: {}, watering: {} },
    drawings,
    gets: "The bid and the watering schedule: what is done, the client's prices and dates; no cost, wage or margin.",
  },
  crew: {
    label: "The crew",
    sheets: { crew: {}, record: {}, watering: {} },
    drawings,
    gets: "The day in order, the record of application and the watering schedule; no price, cost, wage or margin.",
  },
  supplier: {
    label: "A supplier",
    sheets: {
      order: {
        columns: delivered.map((id) => partName(purchases.id, id)),
      },
    },
    drawings: [],
    gets: "What to deliver, in packs; no price, no cost, not what is needed or in stock.",
  },
  own: {
    label: "My own choice of sheets",
    sheets: {},
    drawings,
    gets: "The sheets that you tick, each as it prints.",
  },
} as const satisfies Record<string, Reader>;

export type ReaderId = keyof typeof readers;

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
  const wanted: Reader = readers[reader];
  return sheets
    .filter((sheet) => !sheet.isHidden && sheet.bid === bid)
    .filter(({ which }) => which !== undefined && wanted.sheets[which] !== undefined)
    .map(({ name }) => name);
}

/** Sheets of a bid that tell costs even as they print; a part of one that a reader gets does not. */
const tellCosts: ReadonlySet<BidSheet> = new Set<BidSheet>(["materials", "order", "review"]);

/** Those of the ticked sheets on which a reader would see what something costs. */
export const costsSeen = (
  reader: ReaderId,
  names: readonly string[],
  { sheets }: ReaderSheets,
): readonly string[] =>
  names.filter((name) => {
    const which = sheets.find((sheet) => sheet.name === name)?.which;
    const wanted: Reader = readers[reader];
    return which !== undefined && tellCosts.has(which) && wanted.sheets[which]?.columns === undefined;
  });

/** The pages of a reader's file. A part of a sheet is given only where the reader never gets the whole of it. */
export function pagesFor(
  reader: ReaderId,
  names: readonly string[],
  { sheets }: ReaderSheets,
): readonly PageWanted[] {
  const wanted: Reader = readers[reader];
  return names.map((name) => {
    const which = sheets.find((sheet) => sheet.name === name)?.which;
    const columns = which === undefined ? undefined : wanted.sheets[which]?.columns;
    return columns === undefined ? { sheet: name } : { sheet: name, columns };
  });
}
