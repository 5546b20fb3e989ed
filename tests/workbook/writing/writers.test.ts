/** Every writer: texts stay what they are, formulas live in cells that were text, a refused request leaves all as it was. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { prices } from "../../../src/workbook/bid/sheets/client-page";
import { terms } from "../../../src/workbook/bid/sheets/costs";
import { outlines } from "../../../src/workbook/bid/sheets/outlines";
import { priceBook } from "../../../src/workbook/bid/sheets/price-book";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { putOnSheet } from "../../../src/workbook/checks/list-sheet";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { readSetAside, setAside } from "../../../src/workbook/checks/set-aside";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import type { Cell } from "../../support/bid-cells";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { recalculate, valueIn } from "../../support/libreoffice";
import { openBid } from "../../support/made-once";
import { addAll } from "../own-sheets/add-all";

let bench: Workbench;
let cells: BidCells;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { limits: true, calculatedColumns: true, payloads: true } });
  cells = new BidCells(bench);
});
beforeEach(() => {
  bench.clearFail();
  bench.reset();
});

const today = 46_251;

/** Names as nobody should choose them, and as somebody does. */
const names = {
  property: "=1+1",
  zones: ["10-18-22", "007", "=SWARD.PACKS(1,2)"],
  lot: "3E5",
  client: "'quoted",
  company: "1/2",
  supplier: "+1 555 0100",
  starter: "12-14",
  grade: "10-18-22",
  active: "TRUE",
} as const;

const sample = sampleProperty.us;

/** The sample job under these names. */
const hostileJob: JobInput = {
  ...sample,
  property: names.property,
  zones: sample.zones.map((zone, i) => ({ ...zone, name: names.zones[i] ?? zone.name })),
  outlines: sample.outlines.map((outline) => ({ ...outline, zone: names.zones[0] })),
  seedLots: sample.seedLots.map((lot) => ({ ...lot, lot: names.lot, supplier: names.supplier })),
  starters: sample.starters.map((one) => ({
    ...one,
    name: names.starter,
    grade: names.grade,
    active: names.active,
  })),
  chosen: { ...sample.chosen, starter: names.starter },
  client: { ...sample.client, name: names.client, company: names.company },
};

/** Where a bid that was written under these names has them. */
const named = (): readonly (readonly [Cell, string])[] => [
  [cells.property(), names.property],
  ...names.zones.map((name, zone) => [cells.at(zones, "name", zone), name] as const),
  [cells.at(outlines, "zone", 0), names.zones[0]],
  [cells.at(priceBook.seedLots, "lot", 0), names.lot],
  [cells.at(priceBook.seedLots, "supplier", 0), names.supplier],
  [cells.at(priceBook.starters, "name", 0), names.starter],
  [cells.at(priceBook.starters, "grade", 0), names.grade],
  [cells.at(priceBook.starters, "active", 0), names.active],
  [cells.at(terms, "client"), names.client],
  [cells.at(terms, "company"), names.company],
];

const bid = (job: JobInput | undefined) =>
  writeBid(
    { system: "us", currency: "$", property: "", sample: false, ...(job === undefined ? {} : { job }) },
    unwatched,
  );

/** What every cell of every sheet holds, and how it is formatted. */
const snapshot = (): Promise<unknown> =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name,items/visibility");
    await context.sync();
    const read = worksheets.items.map((sheet) => {
      const range = sheet.getUsedRangeOrNullObject(true);
      range.load("address,formulas,values,numberFormat");
      return { name: sheet.name, visibility: sheet.visibility, range };
    });
    await context.sync();
    return read.map(({ name, visibility, range }) =>
      range.isNullObject
        ? { name, visibility }
        : {
            name,
            visibility,
            address: range.address,
            cells: [range.formulas, range.values, range.numberFormat] as unknown,
          },
    );
  });

const format = (sheet: string, address: string, code: string) =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem(sheet).getRange(address);
    range.load("rowCount,columnCount");
    await context.sync();
    range.numberFormat = Array.from({ length: range.rowCount }, () =>
      Array<string>(range.columnCount).fill(code),
    );
    await context.sync();
  });

describe("a bid under hostile names", () => {
  test("holds them as they were given, and costs what the sample costs", async () => {
    await bid(hostileJob);
    for (const [{ sheet, address }, name] of named()) expect(bench.value(sheet, address), address).toBe(name);
    // By hand, in the test of the sample: 3,411.03 and 6 % tax.
    expect(cells.value(prices, "price", "beforeTax")).toBe(3411.03);
    expect(cells.value(prices, "price", "withTax")).toBe(3615.69);
  });

  test("holds them in another program too", async () => {
    await bid(hostileJob);
    const elsewhere = await recalculate(await bench.exportXlsx());
    for (const [cell, name] of named()) expect(valueIn(elsewhere, cell), cell.address).toBe(name);
  });
});

const ownTable = {
  ...{ A1: "Zone", B1: "Area (ft2)", C1: "Seeding rate (lb/1000 ft2)" },
  ...{ A2: "North", B2: "1000", C2: "7", A3: "South", B3: "2000", C3: "7", A4: "West", B4: "500", C4: "4" },
};

describe("columns added to somebody's table", () => {
  test("live where the cells beside it were formatted as text", async () => {
    bench.setCells("Sheet1", ownTable);
    await format("Sheet1", "D1:H6", "@");
    const { address } = await addAll(bench, "Sheet1", "B1");
    expect(address).toMatch(/^D1/);
    expect(bench.formula("Sheet1", "D2")).toMatch(/^=SWARD\./);
    expect(typeof bench.value("Sheet1", "D2")).toBe("number");
  });

  test("are not written under a heading that would pass for something else", async () => {
    bench.setCells("Sheet1", ownTable);
    await addAll(bench, "Sheet1", "B1");
    expect(bench.formula("Sheet1", "D1")).toBeNull();
    expect(typeof bench.value("Sheet1", "D1")).toBe("string");
  });
});

describe("a formula put into a cell", () => {
  test("lives where the cell was formatted as text", async () => {
    await format("Sheet1", "B2", "@");
    bench.select("Sheet1", "B2");
    await putInSelectedCell("=SWARD.PACKS(7,2)", unwatched);
    expect(bench.value("Sheet1", "B2")).toBe(4);
  });

  test("is refused before it is written where no cell can hold it", async () => {
    bench.select("Sheet1", "B2");
    const long = `=SWARD.PACKS(7,1${"+1".repeat(4100)})`;
    await expect(putInSelectedCell(long, unwatched)).rejects.toThrow(/8,2\d\d characters/);
    const deep = `=SWARD.PACKS(${"ABS(".repeat(64)}7${")".repeat(64)},2)`;
    await expect(putInSelectedCell(deep, unwatched)).rejects.toThrow(/65 functions/);
    expect(bench.value("Sheet1", "B2")).toBe("");
  });

  test("is taken back where a table fills its column with it", async () => {
    bench.setCells("Sheet1", { ...ownTable, D1: "Bags" });
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").tables.add("A1:D4", true).name = "Lawns";
      await context.sync();
    });
    const before = await snapshot();
    bench.select("Sheet1", "D3");
    await expect(putInSelectedCell("=SWARD.PACKS(B3,500)", unwatched)).rejects.toThrow(
      /^The table Lawns filled/,
    );
    expect(await snapshot()).toEqual(before);
  });
});

test("a repair mends a formula that is dead in no cell, and leaves typed text and text cells alone", async () => {
  bench.setCells("Sheet1", {
    A1: "=_xldudf_SWARD_PACKS(7,2)",
    A2: "'=_xldudf_SWARD_PACKS(7,2)",
    A3: "=_xldudf_SWARD_PACKS(9,2)",
  });
  const repaired = await repairCalls(unwatched);
  expect(repaired.map(({ address }) => address)).toEqual(["A1", "A3"]);
  expect(bench.value("Sheet1", "A1")).toBe(4);
  expect(bench.value("Sheet1", "A2")).toBe("=_xldudf_SWARD_PACKS(7,2)");
  expect(bench.value("Sheet1", "A3")).toBe(5);
});

/** A square lawn of that name. */
const lawn = (name: string): string =>
  JSON.stringify({
    type: "Feature",
    properties: { name },
    geometry: {
      type: "Polygon",
      coordinates: [
        [
          [-75, 40],
          [-74.9998, 40],
          [-74.9998, 40.0002],
          [-75, 40.0002],
          [-75, 40],
        ],
      ],
    },
  });

test.each(["10-18-22", "1/2", "007", "TRUE", "Lawn 2"])(
  "an outline brought in as %s keeps its name",
  async (name) => {
    await openBid(bench, { system: "us", currency: "$", property: "", sample: false });
    await bringOutlines("lawn.geojson", lawn(name));
    expect(cells.value(outlines, "zone", 0)).toBe(name);
  },
);

describe("what is said of findings", () => {
  const said = ["=1+1", "10-18-22", "'so", "007", "x".repeat(400)];
  beforeEach(() => {
    bench.setCells("Sheet1", { A1: "=1+1", B1: "Area, ft²", C1: "Seed, lb" });
    bench.setCells("Sheet1", { A2: "North", B2: "1000", C2: "=SWARD.SEED_WEIGHT(B2,7)" });
    bench.setCells("Sheet1", { A3: "'=South", C3: "=SWARD.SEED_WEIGHT(B3,7)" });
  });

  test.each(said)("is kept and listed as it was said: %.20s", async (reason) => {
    const { findings } = await WorkbookChecks.start(unwatched, today);
    const [finding] = findings;
    if (finding === undefined) throw new Error("nothing was found");
    await setAside(finding, reason, today);
    const kept = await readSetAside();
    expect(kept.map((one) => one.reason)).toEqual([reason]);
    const sheet = await putOnSheet(findings, kept, today);
    const cells = Array.from({ length: 30 }, (_, row) => bench.value(sheet, `E${row + 1}`));
    expect(cells).toContain(reason);
  });

  test("is shortened on the list where a cell cannot hold it", async () => {
    const { findings } = await WorkbookChecks.start(unwatched, today);
    const told = findings.map((finding) => ({ ...finding, sentence: "a long story ".repeat(4000) }));
    const sheet = await putOnSheet(told, [], today);
    const cells = Array.from({ length: 30 }, (_, row) => String(bench.value(sheet, `D${row + 1}`)));
    expect(Math.max(...cells.map(({ length }) => length))).toBe(32_767);
  });
});

describe("whatever request is refused, the workbook is as before", () => {
  const emptyBid = () => openBid(bench, { system: "us", currency: "$", property: "", sample: false });
  const reviewed = async () => {
    await bid(hostileJob);
    cells.fill(screened, "topdress", { opened: "207", screenedOut: "46" });
    cells.fill(taken, "prepare", { taken: "3" });
    cells.fill(taken, "seed", { taken: "2" });
  };
  const checked = async () => {
    bench.setCells("Sheet1", { A1: "Zone", B1: "Area, ft²", C1: "Seed, lb", A2: "South" });
    bench.setCell("Sheet1", "C2", "=SWARD.SEED_WEIGHT(B2,7)");
    const { findings } = await WorkbookChecks.start(unwatched, today);
    return findings;
  };
  const selected = () => {
    bench.setCells("Sheet1", ownTable);
    bench.select("Sheet1", "E2");
    return Promise.resolve();
  };
  let findings: Awaited<ReturnType<typeof checked>> = [];
  const writers: readonly (readonly [string, () => Promise<unknown>, () => Promise<unknown>])[] = [
    ["a bid", () => Promise.resolve(), () => bid(undefined)],
    ["columns beside a table", selected, () => addAll(bench, "Sheet1", "B1")],
    ["a formula in a cell", selected, () => putInSelectedCell("=SWARD.PACKS(7,2)", unwatched)],
    ["the review carried over", reviewed, carryReview],
    ["the list of findings", async () => (findings = await checked()), () => putOnSheet(findings, [], today)],
    ["outlines of a file", emptyBid, () => bringOutlines("lawn.geojson", lawn("Lawn 2"))],
    [
      "a repair",
      () => {
        bench.setCells("Sheet1", { A1: "=_xldudf_SWARD_PACKS(7,2)", C4: "=_xldudf_SWARD_PACKS(9,2)" });
        return Promise.resolve();
      },
      () => repairCalls(unwatched),
    ],
    [
      "a finding set aside",
      async () => (findings = await checked()),
      () => (findings[0] === undefined ? Promise.reject(new Error()) : setAside(findings[0], "so", today)),
    ],
  ];

  test.each(writers)("%s", async (_, prepare, write) => {
    await prepare();
    const before = await snapshot();
    let batch = 1;
    for (; batch < 60; batch++) {
      bench.failAt(batch);
      const outcome = await write().then(
        () => "written",
        () => "refused",
      );
      bench.clearFail();
      if (outcome === "written") break;
      expect(await snapshot(), `batch ${batch}`).toEqual(before);
    }
    expect(batch).toBeGreaterThan(1);
    expect(batch).toBeLessThan(60);
    expect(await snapshot()).not.toEqual(before);
  });
});

test("a sheet of the same name that somebody makes in the meantime is not taken away with ours", async () => {
  const stop = {
    report: (_done: number, _total: number, what: string) => {
      if (what !== "Writing Order") return;
      // Ours is renamed, and theirs takes its name.
      const { model } = bench;
      const ours = model.getters.getSheetIdByName("Site") ?? "";
      model.dispatch("RENAME_SHEET", { sheetId: ours, oldName: "Site", newName: "Ours" });
      model.dispatch("CREATE_SHEET", { sheetId: "theirs", position: 1, name: "Site" });
      stop.stopped = true;
    },
    stopped: false,
  };
  await expect(writeBid({ system: "us", currency: "$", property: "", sample: false }, stop)).rejects.toThrow(
    /as it was/,
  );
  expect(bench.sheetNames()).toEqual(["Sheet1", "Site"]);
});
