/** Which bids are in a workbook, and where on their sheets each part of them stands now. */
import type { UnitSystem } from "../../engine/units";
import type { Block, RequestContext } from "../host";
import { blockOf, placeOf, WorkbookTrouble } from "../host";
import type { BidSheet } from "./bid-sheets";
import { markIn } from "./parts-by-name";

export interface FoundSheet {
  readonly name: string;
  readonly which: BidSheet;
  /** By their names in small letters, rows and columns counted from 0; nothing where the cells of a name are gone. */
  readonly parts: ReadonlyMap<string, Block | undefined>;
}

export interface FoundBid {
  /** What its Site is called now. */
  readonly site: string;
  readonly system: UnitSystem;
  /** In the order of the workbook; of a sheet that was copied there are several. */
  readonly sheets: readonly FoundSheet[];
}

/** A sheet that says of itself which one of a bid it is; what its Site is called, where that is still there. */
export interface MarkedSheet extends FoundSheet {
  readonly system: UnitSystem;
  readonly site: string | undefined;
}

interface SheetName {
  readonly name: string;
  readonly formula: string;
}

/** The cells of a name, where they are on its own sheet. */
function partOf(formula: string, sheet: string): Block | undefined {
  const place = placeOf(formula.replace(/^=/, ""), sheet);
  return place === undefined || place.sheet !== sheet ? undefined : blockOf(place.address);
}

function markedSheet(sheet: string, names: readonly SheetName[]): MarkedSheet | undefined {
  for (const { name, formula } of names) {
    const mark = markIn(name);
    if (mark === undefined) continue;
    const site = placeOf(formula.replace(/^=/, ""), sheet)?.sheet;
    const parts = new Map(names.map((one) => [one.name.toLowerCase(), partOf(one.formula, sheet)]));
    return { name: sheet, ...mark, site, parts };
  }
  return undefined;
}

/** The sheets of bids in the order of the workbook, those too that have lost their bid. */
export async function findMarked(context: RequestContext): Promise<readonly MarkedSheet[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name");
  await context.sync();
  const named = worksheets.items.map((sheet) => {
    const { names } = sheet;
    names.load("items/name,items/formula");
    return { sheet: sheet.name, names };
  });
  await context.sync();
  return named.flatMap(({ sheet, names }) => {
    const all = names.items.map(({ name, formula }) => ({ name, formula: String(formula) }));
    return markedSheet(sheet, all) ?? [];
  });
}

/** The bids of the workbook in the order of their sheets. */
export const findBids = async (context: RequestContext): Promise<readonly FoundBid[]> =>
  bidsOf(await findMarked(context));

export function bidsOf(marked: readonly MarkedSheet[]): readonly FoundBid[] {
  const sites = [...new Set(marked.flatMap(({ site }) => site ?? []))];
  return sites.flatMap((site) => {
    const sheets = marked.filter((one) => one.site === site);
    const own = sheets.find(({ name }) => name === site) ?? sheets[0];
    return own === undefined ? [] : [{ site, system: own.system, sheets }];
  });
}

/** A sheet of a bid; of copies the one that is open, or else the first. */
export function sheetOf({ sheets }: FoundBid, which: BidSheet, active?: string): FoundSheet | undefined {
  const all = sheets.filter((one) => one.which === which);
  return all.find(({ name }) => name === active) ?? all[0];
}

/** The bid that a sheet belongs to. */
export const bidWith = (bids: readonly FoundBid[], sheet: string): FoundBid | undefined =>
  bids.find(({ sheets }) => sheets.some(({ name }) => name === sheet));

/** So often it is read anew before it is given up. */
const mostTries = 3;

/** Where each part stands, to be held against where it stands a moment later. */
const placesIn = (sheets: readonly FoundSheet[]): string =>
  JSON.stringify(sheets.map(({ name, parts }) => [name, [...parts]]));

/** Reads what stands at the places of parts, anew where somebody moved them between the two. */
export async function readSteadily<T>(
  context: RequestContext,
  read: (marked: readonly MarkedSheet[]) => Promise<T>,
): Promise<T> {
  let found = await findMarked(context);
  for (let tries = 0; tries < mostTries; tries++) {
    const told = await read(found);
    const now = await findMarked(context);
    if (placesIn(now) === placesIn(found)) return told;
    found = now;
  }
  throw new WorkbookTrouble("Somebody is moving cells of the bid: wait until that is done, then try again.");
}
