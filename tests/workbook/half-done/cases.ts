/** Every work that the pane does in a workbook, each in small workbooks in which it has something to do. */
import type { Workbench } from "../../../src/workbench/node";
import type { SheetSetup } from "../../../src/workbench/host/session";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import type { Check, Finding } from "../../../src/workbook/checks/check";
import { putOnSheet as listOnSheet } from "../../../src/workbook/checks/list-sheet";
import { setAside, takeUp } from "../../../src/workbook/checks/set-aside";
import { putOnSheet as pictureOnSheet } from "../../../src/workbook/drawings/on-sheet";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { valuesBeside } from "../../../src/workbook/handover/values-beside";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import { unwatched } from "../../support/built-workbench";
import { addAll } from "../own-sheets/add-all";

export interface WorkCase {
  readonly name: string;
  /** The workbook that it is done in; it is made once. */
  readonly prepare: (bench: Workbench) => Promise<void>;
  readonly act: (bench: Workbench) => Promise<unknown>;
  /** Of ten runs so many are of this work. */
  readonly share: number;
  /** The work puts rows in itself, so that others do not meanwhile. */
  readonly movesRows?: true;
  /** By what it reads first it knows where and over what it writes: whoever types before that is no disturbance. */
  readonly isPlaced?: true;
  /** What it writes asks less of a cell that is typed than of one that is worked out. */
  readonly isGuarded?: true;
}

const today = 46_251;

/** A list of lawns: constants and references, one under another, and a sum. */
const lawns: SheetSetup = {
  name: "Lawns",
  cells: {
    ...{ A1: "Zone", B1: "Area (ft2)", C1: "Seeding rate (lb/1000 ft2)", D1: "Seed, lb", E1: "Bags" },
    ...{ A2: "North", B2: "1000", C2: "7", D2: "=SWARD.SEED_WEIGHT(B2,C2)", E2: "=SWARD.PACKS(D2,25)" },
    ...{ A3: "South", B3: "2000", C3: "7", D3: "=SWARD.SEED_WEIGHT(B3,C3)", E3: "=SWARD.PACKS(D3,25)" },
    ...{ A4: "West", B4: "500", C4: "4", D4: "=SWARD.SEED_WEIGHT(B4,C4)", E4: "=SWARD.PACKS(D4,25)" },
    ...{ A5: "All", D5: "=SUM(D2:D4)", E5: "=SWARD.PACKS(D5,50)" },
  },
};

const ledger: SheetSetup = { name: "Ledger", cells: { A1: "Paid", B1: "1250", A2: "Owed", B2: "=B1*2" } };

/** Calls of another sheet, several in a cell, a text and a cell that fills others. */
const beds: SheetSetup = {
  name: "Rose beds",
  cells: {
    ...{ A1: "Bed", B1: "=Lawns!B2/4", C1: '=SWARD.PACKS(SWARD.SEED_WEIGHT(B1,5),3)&" bags"' },
    ...{ A2: "Rose", B2: "90", C2: "=SWARD.SEED_WEIGHT(Lawns!B3,4)+SWARD.PACKS(B2,8)" },
    ...{ A4: '=SWARD.EACH_ROW("SEED_WEIGHT",Lawns!B2:B4,Lawns!C2:C4)' },
    ...{
      C4: "'=SWARD.PACKS(1,2)",
      C5: "=SWARD.PACKS(7,2)",
      C6: "=SWARD.PACKS(7,2)",
      C7: "=SWARD.PACKS(7,2)",
    },
  },
};

const opened =
  (...sheets: readonly SheetSetup[]) =>
  (bench: Workbench): Promise<void> => {
    bench.reset(sheets);
    return bench.calculated();
  };

const handed =
  (...sheets: readonly SheetSetup[]) =>
  async (bench: Workbench): Promise<void> => {
    await opened(...sheets)(bench);
    await handOver(
      sheets.map(({ name }) => name),
      unwatched,
    );
  };

const bid = (sample = false) => writeBid({ system: "us", currency: "$", property: "", sample }, unwatched);

/** One sheet of a bid alone. */
export const only =
  (sheet: string) =>
  async (bench: Workbench): Promise<void> => {
    bench.reset([ledger]);
    await bid();
    await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      worksheets.load("items/name");
      await context.sync();
      for (const one of worksheets.items) if (![sheet, "Ledger"].includes(one.name)) one.delete();
      await context.sync();
    });
  };

const square = (name: string, west: number) => ({
  type: "Feature",
  properties: { name },
  geometry: {
    type: "Polygon",
    coordinates: [
      [
        [west, 40],
        [west + 0.0002, 40],
        [west + 0.0002, 40.0002],
        [west, 40.0002],
        [west, 40],
      ],
    ],
  },
});
export const twoSquares = JSON.stringify({
  type: "FeatureCollection",
  features: [square("Lawn 2", -75), square("10-18-22", -75.1)],
});
const round = JSON.stringify({
  type: "Feature",
  properties: { name: "Round bed" },
  geometry: {
    type: "Polygon",
    coordinates: [
      Array.from({ length: 49 }, (_, i) => [
        -75 + 0.0002 * Math.cos((i * Math.PI) / 24),
        40 + 0.0002 * Math.sin((i * Math.PI) / 24),
      ]),
    ],
  },
});

const check: Check = { id: "tried", title: "A check that is tried", weight: "wrong", source: "Nobody" };
const finding = (address: string): Finding => ({
  check,
  sheet: "Lawns",
  address,
  sentence: `${address} is 007.`,
  todo: "=1+1",
});
const three = ["B2", "B3", "B4"].map(finding);
const aside = async (some: readonly Finding[]): Promise<void> => {
  // By the time that a finding is set aside, another one may stand at its address.
  for (const one of some) await setAside(one, "10-18-22", today);
};

const pixel =
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";
const picture = () =>
  pictureOnSheet(
    { drawing: "timeline", sheet: "Crew" },
    { png: pixel, width: 200, height: 100, title: "Work", description: "Hours of the crew." },
  );
const crew: SheetSetup = { name: "Crew", cells: { A1: "Crew", A2: "Day", B2: "1", B3: "=B2+1" } };

const review: readonly SheetSetup[] = [
  {
    name: "Review",
    cells: {
      ...{ A1: "Screening", B1: "Unit", C1: "Opened", D1: "Screened out", A2: "Peat", E2: "0.25" },
      ...{ A5: "Step", B5: "Crew hours planned", C5: "Crew hours taken" },
      ...{ A6: "Mowing", E6: "800", A7: "Seeding", E7: "1200", A8: "Rolling", E8: "2500" },
    },
  },
  {
    name: "Materials",
    cells: {
      ...{ A1: "Name", B1: "In stock, bags", C1: "Supplier", D1: "Screen loss, from past jobs" },
      ...{ A2: "Peat", D2: "0.2" },
    },
  },
  {
    name: "Order",
    cells: {
      ...{ A1: "Step", B1: "Further hours", C1: "Crew hours", D1: "Pace, ft2/h" },
      ...{ A2: "Mowing", D2: "=400*2", A3: "Seeding", D3: "1000", A4: "Rolling", D4: "2000" },
    },
  },
];

/** The names by which the sheets of the review, the price book and the order are known, as a bid has them. */
const reviewNames: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  Review: {
    ...{ Screened_Topdress: "A2:E2", Screened_Material: "A1:A2", Screened_RealLoss: "E1:E2" },
    ...{ Taken_Prepare: "A6:E6", Taken_Seed: "A7:E7", Taken_Finish: "A8:E8", Taken_Pace: "E5:E8" },
  },
  Materials: { Topdressings_Name: "A1:A3", Topdressings_ScreenLoss: "D1:D3" },
  Order: {
    ...{ Steps_Prepare: "A2:D2", Steps_Seed: "A3:D3", Steps_Finish: "A4:D4" },
    ...{ Steps_Step: "A1:A4", Steps_Pace: "D1:D4" },
  },
};

const knowReview = (): Promise<void> =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    for (const [name, parts] of Object.entries(reviewNames)) {
      const sheet = worksheets.getItem(name);
      for (const [part, address] of Object.entries(parts)) sheet.names.add(part, sheet.getRange(address));
      sheet.names.add(`Swardsheet_${name}_Us`, worksheets.getItem("Order").getRange("A1:D4"));
    }
    await context.sync();
  });

const stored: SheetSetup = {
  name: "Lawns",
  cells: {
    ...{ A1: "=_xldudf_SWARD_PACKS(7,2)", A2: "=_xldudf_SWARD_PACKS(8,2)", C4: "=_xldudf_SWARD_PACKS(B4,2)" },
    ...{ B4: "12", A3: "'=_xldudf_SWARD_PACKS(7,2)" },
  },
};

export const cases: readonly WorkCase[] = [
  { name: "a bid", prepare: opened(ledger), act: () => bid(), share: 0.3 },
  {
    name: "two outlines",
    prepare: only("Outlines"),
    act: () => bringOutlines("two.geojson", twoSquares),
    share: 0.7,
    isPlaced: true,
  },
  {
    name: "an outline that needs more rows",
    prepare: only("Outlines"),
    act: () => bringOutlines("round.geojson", round),
    share: 0.5,
    movesRows: true,
    isPlaced: true,
  },
  {
    name: "a hand-over",
    prepare: opened(lawns, beds, ledger),
    act: () => handOver(["Lawns", "Rose beds"], unwatched),
    share: 1.5,
  },
  {
    name: "a hand-over in short formulas",
    prepare: opened(lawns, beds, ledger),
    act: () => handOver(["Lawns", "Rose beds"], unwatched, "short native formulas"),
    share: 1,
    isGuarded: true,
  },
  {
    name: "a return",
    prepare: handed(lawns, beds),
    act: () => bringBack(["Lawns", "Rose beds"], unwatched),
    share: 1,
  },
  {
    name: "a return of edited cells too",
    prepare: async (bench) => {
      await handed(lawns)(bench);
      const now = bench.formula("Lawns", "D3") ?? "";
      bench.setCell("Lawns", "D3", now.replace(/^=CHOOSE\(1,/, "=CHOOSE(1,1+"));
    },
    act: () => bringBack(["Lawns"], unwatched, { editedToo: true }),
    share: 0.5,
  },
  {
    name: "values beside, with their working",
    prepare: opened(lawns, ledger),
    act: () => valuesBeside(["Lawns", "Ledger"], true, unwatched),
    share: 0.7,
  },
  {
    name: "a list of findings",
    prepare: opened(lawns),
    act: () => listOnSheet(three, [], today),
    share: 0.5,
  },
  {
    name: "a first finding set aside",
    prepare: opened(lawns),
    act: () => aside(three.slice(0, 1)),
    share: 0.4,
  },
  {
    name: "a third finding set aside",
    prepare: async (bench) => {
      await opened(lawns)(bench);
      await aside(three.slice(0, 2));
    },
    act: () => aside(three.slice(2)),
    share: 0.4,
    isPlaced: true,
  },
  {
    name: "a finding taken up again",
    prepare: async (bench) => {
      await opened(lawns)(bench);
      await aside(three);
    },
    act: () => takeUp({ check: "tried", sheet: "Lawns", address: "B3" }),
    share: 0.3,
    isPlaced: true,
  },
  {
    name: "columns beside a table",
    prepare: opened({
      name: "Lawns",
      cells: Object.fromEntries(
        Object.entries(lawns.cells ?? {}).filter(([address]) => /^[ABC][1-4]$/.test(address)),
      ),
    }),
    act: (bench) => addAll(bench, "Lawns", "B1"),
    share: 0.6,
  },
  {
    name: "a formula put into a cell",
    prepare: opened(lawns),
    act: async (bench) => {
      bench.select("Lawns", "B4");
      await putInSelectedCell("=SWARD.PACKS(7,2)", unwatched, { overwrite: true });
    },
    share: 0.4,
  },
  { name: "a repair", prepare: opened(stored, ledger), act: () => repairCalls(unwatched), share: 0.4 },
  { name: "a drawing", prepare: opened(crew), act: picture, share: 0.3 },
  {
    name: "a drawing in place of another",
    prepare: async (bench) => {
      await opened(crew)(bench);
      await picture();
    },
    act: picture,
    share: 0.2,
  },
  {
    name: "a review carried over",
    prepare: async (bench) => {
      await opened(...review, ledger)(bench);
      await knowReview();
    },
    act: () => carryReview(),
    share: 0.4,
    isPlaced: true,
  },
];
