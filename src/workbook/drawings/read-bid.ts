/** What the drawings need of a bid, read through what its sheets are declared to hold. */
import type { UnitSystem } from "../../engine/units";
import type { BidSheet, CalendarDay, DayStepId, FoundBid, ReadBid, WorkStep } from "../bid";
import {
  bidSheets,
  bidWith,
  calendar,
  chosen,
  day,
  findBids,
  MissingPart,
  needs,
  outlines,
  pointsName,
  preEmergents,
  propertyName,
  purchases,
  readFound,
  record,
  steps,
  terms,
  textIn,
  workSteps,
  zones,
} from "../bid";
import type { Range, RequestContext } from "../host";
import { inWorkbook, WorkbookTrouble } from "../host";
import type { NotYet } from "./drawing";

export interface ZoneFigures {
  readonly name: string;
  readonly measured: string;
  readonly length: number;
  readonly width: number;
  readonly stripWidth: number;
  readonly insideCorners: number;
  readonly leftOut: number;
  readonly area: number;
}

export interface OutlineFigures {
  readonly zone: string;
  readonly method: string;
  readonly interval: number;
  readonly isLeftOut: boolean;
  readonly points: readonly (readonly number[])[];
}

export interface SiteFigures {
  readonly zones: readonly ZoneFigures[];
  readonly outlines: readonly OutlineFigures[];
  readonly dropWidth: number;
  readonly swath: number;
}

export interface StepCost {
  readonly step: WorkStep;
  readonly name: string;
  readonly labour: number;
  readonly materials: number;
  readonly equipment: number;
}

export interface MoneyFigures {
  readonly steps: readonly StepCost[];
  readonly cost: number;
  readonly withOverhead: number;
  readonly price: number;
  readonly withTax: number;
}

export interface BagFigures {
  readonly material: string;
  readonly area: number;
  readonly depth: number;
  readonly screenLoss: number;
  readonly swell: number;
  /** Sizes on sale with the packs that the order takes of each. */
  readonly packs: readonly { readonly size: number; readonly bought: number }[];
  readonly inStock: number;
}

export interface DayStep {
  readonly id: DayStepId;
  readonly name: string;
  /** Blank where the hours stand with the step before. */
  readonly hours: number | undefined;
}

export interface LaterDay {
  readonly id: CalendarDay;
  readonly name: string;
  /** Days after seeding. */
  readonly day: number;
}

export interface TimeFigures {
  readonly seedingDay: number;
  readonly crew: number;
  readonly steps: readonly DayStep[];
  readonly later: readonly LaterDay[];
  /** Days that the label asks for before a repeat. */
  readonly sprayRepeat: number;
  readonly conditionerRepeat: number;
  /** As the applicator wrote it on the record. */
  readonly reEntry: string;
}

export interface BidFigures {
  /** What its Site is called, and its other sheets. */
  readonly name: string;
  readonly sheets: Readonly<Partial<Record<BidSheet, string>>>;
  readonly property: string;
  readonly system: UnitSystem;
  readonly currency: string;
  readonly site: SiteFigures | NotYet;
  readonly money: MoneyFigures | NotYet;
  readonly bags: BagFigures | NotYet;
  readonly time: TimeFigures | NotYet;
}

/** What a blank cell of a measure or a rate stands for: it is not measured so, or the step is left out. */
const orNone = (figure: number | undefined): number => figure ?? 0;

/** The figures of one drawing; where a part of the sheets is gone, what is missing is said in their place. */
function orMissing<T>(read: () => T): T | NotYet {
  try {
    return read();
  } catch (error) {
    if (error instanceof MissingPart) return { missing: error.message };
    throw error;
  }
}

export const isMissing = <T extends object>(figures: T | NotYet): figures is NotYet => "missing" in figures;

const readZones = (bid: ReadBid): readonly ZoneFigures[] =>
  bid
    .rows(zones)
    .map((zone) => ({
      name: zone.get("name"),
      measured: zone.get("measured"),
      length: orNone(zone.get("length")),
      width: orNone(zone.get("width")),
      stripWidth: orNone(zone.get("stripWidth")),
      insideCorners: orNone(zone.get("insideCorners")),
      leftOut: orNone(zone.get("leftOut")),
      area: orNone(zone.get("area")),
    }))
    .filter(({ name, area }) => name !== "" || area > 0);

function readOutlines(bid: ReadBid): readonly OutlineFigures[] {
  const points = bid.block(outlines.sheet, pointsName, "Points in order round the outline");
  const pointRows = Array.from({ length: points.bottom - points.top }, (_, i) => points.top + 1 + i);
  return bid
    .rows(outlines)
    .map((outline, i) => {
      const method = outline.get("method");
      const wide = method === "corners" || method === "coordinates" ? 2 : 1;
      const column = points.left + 1 + i * (outlines.across ?? 1);
      return {
        zone: outline.get("zone"),
        method,
        interval: orNone(outline.get("interval")),
        isLeftOut: outline.get("counts") === "left out",
        points: pointRows
          .map((row) =>
            Array.from({ length: wide }, (_, across) => bid.value(outlines.sheet, row, column + across)),
          )
          .filter((cells): cells is number[] => cells.every((cell) => typeof cell === "number")),
      };
    })
    .filter(({ zone, points: given }) => zone !== "" && given.length > 0);
}

/** The ground. Without a sheet of outlines no zone has one, and without Quantities no spreader is walked. */
const readSite = (bid: ReadBid): SiteFigures => ({
  zones: readZones(bid),
  outlines: bid.has("outlines") ? readOutlines(bid) : [],
  dropWidth: bid.has("quantities") ? orNone(bid.figure(chosen, "dropWidth")) : 0,
  swath: bid.has("quantities") ? orNone(bid.figure(chosen, "swath")) : 0,
});

function readMoney(bid: ReadBid): MoneyFigures {
  const before = bid.row(steps, "beforeTax");
  return {
    // A step that is not in the job costs nothing, whatever its equipment would cost.
    steps: workSteps
      .map((step) => ({ step, row: bid.row(steps, step) }))
      .filter(({ row }) => orNone(row.get("direct")) !== 0)
      .map(({ step, row }) => ({
        step,
        name: row.get("step"),
        labour: orNone(row.get("labour")),
        materials: orNone(row.get("materials")),
        equipment: orNone(row.get("equipment")),
      })),
    cost: orNone(before.get("direct")),
    withOverhead: orNone(before.get("loaded")),
    price: orNone(before.get("price")),
    withTax: orNone(bid.row(steps, "withTax").get("price")),
  };
}

function readBags(bid: ReadBid): BagFigures {
  const bags = bid.row(purchases, "topdress");
  return {
    material: bid.figure(chosen, "topdressing"),
    area: bid.rows(needs).reduce((sum, zone) => sum + orNone(zone.get("area")), 0),
    depth: orNone(bid.figure(chosen, "depth")),
    screenLoss: orNone(bid.figure(chosen, "screenLoss")),
    swell: orNone(bid.figure(chosen, "swell")),
    packs: ([1, 2, 3] as const)
      .map((n) => ({ size: orNone(bags.get(`size${n}`)), bought: orNone(bags.get(`packs${n}`)) }))
      .filter(({ size }) => size > 0),
    inStock: orNone(bags.get("stock")),
  };
}

/** The label interval of the pre-emergent that is chosen, where one is sprayed at all. */
function readSprayRepeat(bid: ReadBid): number {
  const name = bid.figure(chosen, "preEmergent");
  if (name === "" || orNone(bid.figure(chosen, "labelRate")) === 0) return 0;
  const found = bid.rows(preEmergents).find((one) => one.get("name").toLowerCase() === name.toLowerCase());
  return orNone(found?.get("repeatDays"));
}

const readTime = (bid: ReadBid): TimeFigures => ({
  seedingDay: orNone(bid.figure(terms, "seedingDay")),
  crew: Math.max(1, orNone(bid.figure(terms, "crew"))),
  steps: day.rows.map((id) => {
    const row = bid.row(day, id);
    return { id, name: row.get("step"), hours: row.get("hours") };
  }),
  later: calendar.rows.flatMap((id) => {
    const row = bid.row(calendar, id);
    const days = row.get("day");
    return days === undefined ? [] : [{ id, name: row.get("what"), day: days }];
  }),
  sprayRepeat: readSprayRepeat(bid),
  conditionerRepeat: orNone(bid.figure(chosen, "conditionerDays")),
  // Nothing was written where the bid has no record.
  reEntry: bid.has("record") ? bid.figure(record, "reEntry") : "",
});

/** The currency's sign in a number format of the bid, such as `"$"#,##0.00`. */
const signIn = (format: unknown): string => /^"([^"]*)"/.exec(String(format))?.[1] ?? "";

const read: readonly BidSheet[] = [
  "site",
  "outlines",
  "materials",
  "quantities",
  "order",
  "crew",
  "record",
  "watering",
];

export interface BidsFound {
  /** What the Sites of the bids are called. */
  readonly names: readonly string[];
  /** The bid asked for, the one whose sheet is open, or the last that was written. */
  readonly bid: BidFigures;
}

const noBid =
  "There is no bid to draw yet: write the bid sheets in the room Bid, fill in Site, then come back here.";

/** The cell of the price with tax, whose format says the currency. */
function priceCell(context: RequestContext, bid: ReadBid): Range | undefined {
  const place = orMissing(() => bid.row(steps, "withTax").place("price"));
  if (isMissing(place)) return undefined;
  const cell = context.workbook.worksheets.getItem(place.sheet).getRange(place.address);
  cell.load("numberFormat");
  return cell;
}

/** What the property is called; a drawing has a title without it. */
function readProperty(bid: ReadBid): string {
  const place = orMissing(() => bid.block("site", propertyName, "the property"));
  return isMissing(place) ? "" : textIn(bid.value("site", place.top, place.left));
}

function figuresOf(bid: ReadBid, priceFormat: unknown): BidFigures {
  const { found } = bid;
  return {
    name: found.site,
    sheets: Object.fromEntries(
      bidSheets.filter((which) => bid.has(which)).map((which) => [which, bid.sheet(which).name]),
    ),
    property: readProperty(bid),
    system: bid.system,
    currency: signIn(priceFormat),
    site: orMissing(() => readSite(bid)),
    money: orMissing(() => readMoney(bid)),
    bags: orMissing(() => readBags(bid)),
    time: orMissing(() => readTime(bid)),
  };
}

/** Reads a bid of the workbook; where part of it is gone, what hangs on that says so. */
export const readBid = (wanted: string | undefined): Promise<BidsFound> =>
  inWorkbook(async (context) => {
    const active = context.workbook.worksheets.getActiveWorksheet();
    active.load("name");
    const bids = await findBids(context);
    const chosenBid: FoundBid | undefined =
      bids.find(({ site }) => site === wanted) ?? bidWith(bids, active.name) ?? bids[bids.length - 1];
    if (chosenBid === undefined) throw new WorkbookTrouble(noBid);
    const bid = await readFound(context, chosenBid, read, active.name);
    const price = priceCell(context, bid);
    await context.sync();
    const names = bids.map(({ site }) => site);
    return { names, bid: figuresOf(bid, price?.numberFormat[0]?.[0] as unknown) };
  });
