/** The sheets of a bid in their order. All else that is known of them follows from their records. */
import type { Figures } from "./declare/figures";
import type { Sheet } from "./declare/sheet";
import type { Table } from "./declare/table";
import { bidSheet } from "./sheets/bid";
import { crewSheet } from "./sheets/crew";
import { materialsSheet } from "./sheets/materials";
import { orderSheet } from "./sheets/order";
import { outlinesSheet } from "./sheets/outlines";
import { quantitiesSheet } from "./sheets/quantities";
import { recordSheet } from "./sheets/record";
import { reviewSheet } from "./sheets/review";
import { siteSheet } from "./sheets/site";
import { wateringSheet } from "./sheets/watering";

const sheets = {
  site: siteSheet,
  outlines: outlinesSheet,
  materials: materialsSheet,
  quantities: quantitiesSheet,
  order: orderSheet,
  bid: bidSheet,
  crew: crewSheet,
  record: recordSheet,
  watering: wateringSheet,
  review: reviewSheet,
} as const;
export type BidSheet = keyof typeof sheets;

/** What sheets answered when they were laid out. */
export type PlannedSheets = {
  readonly [Which in BidSheet]: ReturnType<(typeof sheets)[Which]["plan"]>;
};

export const sheetOfBid = (which: BidSheet): Sheet<unknown> => sheets[which];

export const bidSheets = Object.keys(sheets) as readonly BidSheet[];

/** Something for each of the sheets. */
export const forEachSheet = <T>(of: (which: BidSheet) => T): Readonly<Record<BidSheet, T>> =>
  Object.fromEntries(bidSheets.map((which) => [which, of(which)])) as Record<BidSheet, T>;

export type SheetNames = Readonly<Record<BidSheet, string>>;

/** The names that the sheets have where those are free. */
export const bidSheetNames: SheetNames = forEachSheet((which) => sheets[which].name);

export const bidTables: readonly Table[] = bidSheets.flatMap((which) => sheets[which].tables);
export const bidFigures: readonly Figures[] = bidSheets.flatMap((which) => sheets[which].figures);
