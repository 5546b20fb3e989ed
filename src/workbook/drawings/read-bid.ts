/** What the drawings need of a bid, read from its sheets by their labels: the only file here that knows the sheets. */
import type { UnitSystem } from "../../engine/units";
import { unitSystems, unitText } from "../../engine/units";
import { bidSheetNames } from "../bid/kit";
import type { BidSheet } from "../bid/kit";
import { bought, stepNames } from "../bid/sheets/steps";
import { outlineLayout } from "../bid/sheets/outlines";
import { loadCalculated } from "../calculated";
import { inWorkbook } from "../session";
import { WorkbookTrouble } from "../trouble";

export type Grid = readonly (readonly unknown[])[];

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
  readonly name: string;
  /** Blank where the hours stand with the step before. */
  readonly hours: number | undefined;
}

export interface LaterDay {
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
  /** As its sheets are named: "" or " 2". */
  readonly ending: string;
  readonly property: string;
  readonly system: UnitSystem;
  readonly currency: string;
  readonly site: SiteFigures;
  readonly money: MoneyFigures | undefined;
  readonly bags: BagFigures;
  readonly time: TimeFigures;
}

const number = (cell: unknown): number => (typeof cell === "number" && Number.isFinite(cell) ? cell : 0);
const text = (cell: unknown): string =>
  typeof cell === "string"
    ? cell.replaceAll("\u00a0", " ").trim()
    : typeof cell === "number"
      ? String(cell)
      : "";

type Heading = string | RegExp;
const matches = (cell: unknown, heading: Heading): boolean =>
  typeof heading === "string" ? text(cell) === heading : heading.test(text(cell));

/** The row that holds all of the headings, with the column of each. */
function headOf<K extends string>(
  grid: Grid,
  headings: Readonly<Record<K, Heading>>,
): { readonly row: number; readonly columns: Readonly<Record<K, number>> } | undefined {
  const wanted = Object.entries(headings) as [K, Heading][];
  for (const [row, cells] of grid.entries()) {
    const columns = wanted.map(([key, heading]) => [key, cells.findIndex((cell) => matches(cell, heading))]);
    if (columns.every(([, column]) => Number(column) >= 0)) {
      return { row, columns: Object.fromEntries(columns) as Record<K, number> };
    }
  }
  return undefined;
}

/** The rows below a head until one whose first cell is the end. */
function rowsBelow(grid: Grid, head: number, isEnd: (cells: readonly unknown[]) => boolean): Grid {
  const rest = grid.slice(head + 1);
  const end = rest.findIndex(isEnd);
  return end < 0 ? rest : rest.slice(0, end);
}

/** The cell so many columns right of a label. */
function beside(grid: Grid, label: string, labelColumn: number, column: number): unknown {
  return grid.find((cells) => matches(cells[labelColumn], label))?.[column];
}

const siteHeads = {
  name: "Zone",
  measured: "How measured",
  length: /^Length, base or diameter/,
  width: /^Width or height/,
  stripWidth: /^Strip width/,
  insideCorners: "Inside corners",
  leftOut: /^Left out/,
  area: /^Area, /,
} as const;

function readZones(site: Grid): readonly ZoneFigures[] {
  const head = headOf(site, siteHeads);
  if (head === undefined) return [];
  const { columns } = head;
  return rowsBelow(site, head.row, ([first]) => matches(first, "Insert zones above this line"))
    .map((cells) => ({
      name: text(cells[columns.name]),
      measured: text(cells[columns.measured]),
      length: number(cells[columns.length]),
      width: number(cells[columns.width]),
      stripWidth: number(cells[columns.stripWidth]),
      insideCorners: number(cells[columns.insideCorners]),
      leftOut: number(cells[columns.leftOut]),
      area: number(cells[columns.area]),
    }))
    .filter(({ name, area }) => name !== "" || area > 0);
}

const systemOf = (site: Grid): UnitSystem =>
  unitSystems.find((system) => headOf(site, { area: `Area, ${unitText("area", system)}` }) !== undefined) ??
  "us";

function readOutlineBlocks(outlines: Grid): readonly OutlineFigures[] {
  const rowAt = (label: Heading) => outlines.find(([first]) => matches(first, label)) ?? [];
  const [zones, methods] = [rowAt(outlineLayout.zoneLabel), rowAt("Method")];
  const [intervals, counts] = [rowAt(/^Distance between offsets/), rowAt("Counts as")];
  const head = outlines.findIndex(([first]) => matches(first, "Points in order round the outline"));
  const points = head < 0 ? [] : outlines.slice(head + 1);
  const blocks = Array.from({ length: Math.max(0, Math.floor((zones.length - 1) / 2)) }, (_, i) => 1 + 2 * i);
  return blocks
    .map((column) => {
      const method = text(methods[column]);
      const wide = method === "corners" || method === "coordinates" ? 2 : 1;
      return {
        zone: text(zones[column]),
        method,
        interval: number(intervals[column]),
        isLeftOut: text(counts[column]) === "left out",
        points: points
          .map((cells) => cells.slice(column, column + wide))
          .filter(
            (cells): cells is number[] =>
              cells.length === wide && cells.every((cell) => typeof cell === "number"),
          ),
      };
    })
    .filter(({ zone, points: given }) => zone !== "" && given.length > 0);
}

const costHeads = {
  step: "Step",
  labour: "Labor",
  materials: "Materials",
  equipment: "Equipment",
  cost: "Cost",
  loaded: "With overhead",
  price: "Price",
} as const;

function readMoney(order: Grid): MoneyFigures | undefined {
  const head = headOf(order, costHeads);
  if (head === undefined) return undefined;
  const { columns } = head;
  const known = new Set<string>(Object.values(stepNames));
  const steps = rowsBelow(order, head.row, ([first]) => matches(first, "Before tax"));
  const below = order.slice(head.row);
  const sum = (label: string, column: number) => number(beside(below, label, 0, column));
  return {
    // A step that is not in the job costs nothing, whatever its equipment would cost.
    steps: steps
      .filter((cells) => known.has(text(cells[columns.step])) && number(cells[columns.cost]) !== 0)
      .map((cells) => ({
        name: text(cells[columns.step]),
        labour: number(cells[columns.labour]),
        materials: number(cells[columns.materials]),
        equipment: number(cells[columns.equipment]),
      })),
    cost: sum("Before tax", columns.cost),
    withOverhead: sum("Before tax", columns.loaded),
    price: sum("Before tax", columns.price),
    withTax: sum("With tax", columns.price),
  };
}

const packHeads = {
  material: "Material",
  step: "For",
  stock: "In stock",
  size1: "Size of pack 1",
  size2: "Size of pack 2",
  size3: "Size of pack 3",
  packs1: "Packs 1",
  packs2: "Packs 2",
  packs3: "Packs 3",
} as const;

function readBags(quantities: Grid, order: Grid): BagFigures {
  const chosen = (label: string) => beside(quantities, label, 1, 2);
  const areas = headOf(quantities, { zone: "Zone", area: /^Area, / })?.columns.area ?? -1;
  const head = headOf(order, packHeads);
  const row = head && order.find((cells) => matches(cells[head.columns.step], stepNames.topdress));
  const cell = (key: keyof typeof packHeads): number => (head && row ? number(row[head.columns[key]]) : 0);
  return {
    material: text(chosen("Topdressing")),
    area: number(beside(quantities, "All zones", 1, areas)),
    depth: number(chosen("Depth")),
    screenLoss: number(chosen("Screen loss")),
    swell: number(chosen("Swell")),
    packs: ([1, 2, 3] as const)
      .map((n) => ({ size: cell(`size${n}`), bought: cell(`packs${n}`) }))
      .filter(({ size }) => size > 0),
    inStock: cell("stock"),
  };
}

const crewTick = "☐";

function readDaySteps(crew: Grid): readonly DayStep[] {
  const head = headOf(crew, { step: "Step", hours: "Crew hours" });
  if (head === undefined) return [];
  const { step, hours } = head.columns;
  return rowsBelow(crew, head.row, (cells) => matches(cells[step], "What each zone takes"))
    .filter(([first]) => text(first) === crewTick)
    .map((cells) => ({
      name: text(cells[step]),
      hours: typeof cells[hours] === "number" ? cells[hours] : undefined,
    }));
}

function readLater(watering: Grid): readonly LaterDay[] {
  const head = headOf(watering, { what: "What", date: "Date", todo: "What to do" });
  if (head === undefined) return [];
  return rowsBelow(watering, head.row, ([first]) => text(first) === "").flatMap((cells) => {
    const day = /^day (-?\d+)$/.exec(text(cells[head.columns.date + 1]))?.[1];
    return day === undefined ? [] : [{ name: text(cells[head.columns.what]), day: Number(day) }];
  });
}

/** The label interval of the pre-emergent that is chosen, where one is sprayed at all. */
function repeatOf(quantities: Grid, materials: Grid): number {
  const name = text(beside(quantities, "Pre-emergent", 1, 2));
  if (name === "" || number(beside(quantities, "Label rate used", 1, 2)) === 0) return 0;
  const head = headOf(materials, { name: "Name", active: "Active", days: "Days before a repeat" });
  if (head === undefined) return 0;
  return number(beside(materials.slice(head.row), name, head.columns.name, head.columns.days));
}

function readTime(grids: Readonly<Record<BidSheet, Grid>>): TimeFigures {
  const { quantities, order, crew, record, watering, materials } = grids;
  return {
    seedingDay: number(beside(order, "Seeding day", 0, 3)),
    crew: Math.max(1, number(beside(order, "Crew", 0, 3))),
    steps: readDaySteps(crew),
    later: readLater(watering),
    sprayRepeat: repeatOf(quantities, materials),
    conditionerRepeat: number(beside(quantities, "Days before it is repeated", 1, 2)),
    reEntry: text(beside(record, "Re-entry interval on the label", 0, 1)),
  };
}

/** The currency's sign in a number format of the bid, such as `"$"#,##0.00`. */
const signIn = (format: unknown): string => /^"([^"]*)"/.exec(text(format))?.[1] ?? "";

/** Everything the drawings show of one bid, from what its sheets hold. */
function figuresOf(
  ending: string,
  grids: Readonly<Record<BidSheet, Grid>>,
  priceFormat: unknown,
): BidFigures {
  const { site, outlines, quantities, order } = grids;
  return {
    ending,
    property: text(site[0]?.[0]),
    system: systemOf(site),
    currency: signIn(priceFormat),
    site: {
      zones: readZones(site),
      outlines: readOutlineBlocks(outlines),
      dropWidth: number(beside(quantities, "Drop spreader, width", 1, 2)),
      swath: number(beside(quantities, "Broadcast spreader, swath", 1, 2)),
    },
    money: readMoney(order),
    bags: readBags(quantities, order),
    time: readTime(grids),
  };
}

const siteName = new RegExp(`^${bidSheetNames.site}( \\d+)?$`);

/** The endings of the bids in a workbook, by its sheets' names. */
const bidEndings = (names: readonly string[]): readonly string[] =>
  names.flatMap((name) => (siteName.test(name) ? [name.slice(bidSheetNames.site.length)] : []));

export interface BidsFound {
  readonly endings: readonly string[];
  /** The bid asked for, the one whose sheet is open, or the last that was written. */
  readonly bid: BidFigures;
}

const noBid =
  "There is no bid to draw yet: write the bid sheets in the room Bid, fill in Site, then come back here.";

/** The cell of the price with tax, whose format says the currency. */
const priceCell = (order: Grid): { readonly row: number; readonly column: number } | undefined => {
  const head = headOf(order, costHeads);
  const row = order.findIndex((cells) => matches(cells[0], "With tax"));
  return head === undefined || row < 0 ? undefined : { row, column: head.columns.price };
};

/** Reads a bid of the workbook; a sheet of it that was deleted reads as empty. */
export const readBid = (wanted: string | undefined): Promise<BidsFound> =>
  inWorkbook(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    const active = worksheets.getActiveWorksheet();
    active.load("name");
    await context.sync();
    const names = worksheets.items.map(({ name }) => name);
    const endings = bidEndings(names);
    const ofActive = endings.find((ending) =>
      Object.values(bidSheetNames).some((name) => `${name}${ending}` === active.name),
    );
    const ending = endings.find((one) => one === wanted) ?? ofActive ?? endings[endings.length - 1];
    if (ending === undefined) throw new WorkbookTrouble(noBid);
    const asked = (Object.entries(bidSheetNames) as [BidSheet, string][]).map(([which, name]) => {
      if (!names.includes(`${name}${ending}`)) return { which, range: undefined };
      const sheet = worksheets.getItem(`${name}${ending}`);
      const range = sheet.getRange("A1").getBoundingRect(sheet.getUsedRange(true));
      return { which, range };
    });
    await loadCalculated(
      context,
      asked.flatMap(({ range }) => range ?? []),
    );
    const read = (which: BidSheet): Grid =>
      (asked.find((one) => one.which === which)?.range?.values as unknown[][] | undefined) ?? [];
    const grids: Record<BidSheet, Grid> = {
      site: read("site"),
      outlines: read("outlines"),
      materials: read("materials"),
      quantities: read("quantities"),
      order: read("order"),
      bid: read("bid"),
      crew: read("crew"),
      record: read("record"),
      watering: read("watering"),
      review: read("review"),
    };
    const price = priceCell(grids.order);
    const priced =
      price && worksheets.getItem(`${bidSheetNames.order}${ending}`).getCell(price.row, price.column);
    priced?.load("numberFormat");
    await context.sync();
    return { endings, bid: figuresOf(ending, grids, priced?.numberFormat[0]?.[0] as unknown) };
  });

/** The materials' steps in the order of the job, as the order calls them. */
export const materialSteps: readonly string[] = bought.map((which) => stepNames[which]);
