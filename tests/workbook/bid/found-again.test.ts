/**
 * What a bid holds is found again wherever it was moved to and whatever it is called by then: drawings show the same
 * figures, the review carries over, files for readers hold the same. What is gone is named, and never taken for 0.
 */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { findBids } from "../../../src/workbook/bid/find-bids";
import { readFound } from "../../../src/workbook/bid/read";
import { chosen } from "../../../src/workbook/bid/sheets/chosen";
import { steps } from "../../../src/workbook/bid/sheets/costs";
import { topdressings } from "../../../src/workbook/bid/sheets/price-book";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import type { BidFigures } from "../../../src/workbook/drawings/read-bid";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { pagesFor, readerSheets, sheetsFor } from "../../../src/workbook/handover/readers";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { edited } from "../../support/libreoffice";
import { openBid } from "../../support/made-once";
import { held } from "../drawings/figures";
import { figuresOf } from "./bid-figures";
import { otherNames, rename, reword } from "./disguise";

let bench: Workbench;
let cells: BidCells;
let before: BidFigures;

beforeAll(async () => {
  bench = await openWorkbench();
  cells = new BidCells(bench);
  await openBid(bench, sample);
  before = await seen();
});
beforeEach(async () => {
  await openBid(bench, sample);
});

const sample = { system: "us", currency: "$", property: "", sample: true } as const;

const seen = async (): Promise<BidFigures> => (await readBid(undefined)).bid;

const expectSame = async () => expect(figuresOf(await seen())).toEqual(figuresOf(before));

const edit = (work: (sheet: (name: string) => Excel.Worksheet) => void): Promise<void> =>
  Excel.run(async (context) => {
    work((name) => context.workbook.worksheets.getItem(name));
    await context.sync();
  });

const square = JSON.stringify({
  type: "Feature",
  properties: { name: "Back lawn" },
  geometry: {
    type: "Polygon",
    coordinates: [
      [
        [10, 50],
        [10.0003, 50],
        [10.0003, 50.0002],
        [10, 50],
      ],
    ],
  },
});

test("the sample's figures are read as its sheets show them", async () => {
  // The zones of the sample property, worked out by hand in the sample's own test.
  expect(held(before.site).zones.map(({ name, area }) => [name, Math.round(area)])).toEqual([
    ["Front lawn", 3160],
    ["Drive edge", 522],
    ["Back lawn", 4200],
  ]);
  expect(held(before.money).withTax).toBeCloseTo(3615.69, 2);
  expect(held(before.bags)).toMatchObject({ depth: 0.25, screenLoss: 0.2, packs: [{ size: 3, bought: 69 }] });
  await Excel.run(async (context) => {
    const [found] = await findBids(context);
    if (found === undefined) throw new Error("No bid was found.");
    const bid = await readFound(context, found, ["site"]);
    const [front] = bid.rows(zones);
    expect([front?.get("area"), front?.get("grass"), front?.place("area")]).toEqual([
      3160,
      cells.value(zones, "grass", 0),
      cells.at(zones, "area", 0),
    ]);
  });
});

describe("in other words and by other names", () => {
  beforeEach(async () => {
    reword(bench, "us");
    await rename(otherNames);
  });

  test("the drawings show the same figures", expectSame);

  test("the review is carried to the same cells", async () => {
    cells.fill(screened, "topdress", { opened: "200", screenedOut: "50" });
    cells.fill(taken, "topdress", { taken: "3" });
    const carried = await carryReview();
    expect(carried.map(({ sheet, address, now }) => [sheet, address, Number(now.toFixed(4))])).toEqual([
      [otherNames.materials, cells.at(topdressings, "screenLoss", 0).address, 0.25],
      [otherNames.order, cells.at(steps, "pace", "topdress").address, Number((7882 / 6).toFixed(4))],
    ]);
  });

  test("outlines of a map file are brought in", async () => {
    const { sheet, outlines } = await bringOutlines("back.geojson", square);
    expect([sheet, outlines]).toEqual([otherNames.outlines, 1]);
  });

  test("each reader gets the same sheets", async () => {
    const all = await readerSheets();
    expect(sheetsFor("client", all)).toEqual([otherNames.bid, otherNames.watering]);
    expect(sheetsFor("crew", all)).toEqual([otherNames.crew, otherNames.record, otherNames.watering]);
    expect(sheetsFor("supplier", all)).toEqual([otherNames.order]);
    expect(pagesFor("supplier", sheetsFor("supplier", all), all)[0]?.columns).toContain("Purchases_Material");
  });
});

test("rows and columns are put in, zones are sorted, a material's line moves down", async () => {
  await edit((sheet) => {
    sheet("Site").getRange("1:3").insert("Down");
    sheet("Site").getRange("C:D").insert("Right");
    sheet("Quantities").getRange("20:20").insert("Down");
    sheet("Quantities").getRange("A:A").insert("Right");
    sheet("Order").getRange("8:9").insert("Down");
    sheet("Order").getRange("30:31").insert("Down");
    sheet("Materials").getRange("20:24").insert("Down");
    sheet("Outlines").getRange("2:2").insert("Down");
    sheet("Crew").getRange("10:11").insert("Down");
    sheet("Watering").getRange("5:6").insert("Down");
  });
  await expectSame();
});

test("a copied sheet takes nothing from the bid, and is not the bid's while its own is there", async () => {
  await edit((sheet) => {
    sheet("Quantities").copy("End");
    sheet("Site").copy("End");
  });
  bench.setCell("Quantities (2)", cells.at(chosen, "depth").address, "1");
  expect((await readBid("Site")).bid.name).toBe("Site");
  expect(figuresOf((await readBid("Site")).bid)).toEqual(figuresOf(before));
  // A Site by itself is a bid of its own, of which all else is missing.
  const { bid } = await readBid("Site (2)");
  expect(held(bid.site).zones).toHaveLength(3);
  expect(bid.money).toEqual({ missing: expect.stringMatching(/has no sheet Order any more/) as string });
});

test("another spreadsheet keeps the names through opening and saving", async () => {
  await bench.importXlsx(await edited(await bench.exportXlsx(), []));
  await expectSame();
});

test("a bid of two is read by its own names", async () => {
  await writeBid({ system: "metric", currency: "€", property: "", sample: true }, unwatched);
  expect(figuresOf((await readBid("Site")).bid)).toEqual(figuresOf(before));
  expect((await readBid("Site 2")).bid.system).toBe("metric");
  // A formula of somebody's means the names of the sheet that it stands on, or that it says.
  bench.setCell("Site 2", "Z1", "=SUM(Zones_Area)");
  bench.setCell("Site", "Z1", "=SUM('Site 2'!Zones_Area)");
  bench.setCell("Site", "Z2", "=SUM(Zones_Area)");
  // Front lawn, drive edge and back lawn, worked out by hand in the sample's own test.
  const metric = 19.5 * 15.8 - (7.3 * 4.2) / 2 + (55 * 0.9 - 2 * 0.81) + 390;
  expect(bench.value("Site 2", "Z1")).toBeCloseTo(metric, 9);
  expect(bench.value("Site", "Z1")).toBeCloseTo(metric, 9);
  expect(bench.value("Site", "Z2")).toBeCloseTo(3160 + 522 + 4200, 9);
});

test("a row that is gone is named where its figure is missing, and all else is drawn", async () => {
  const loss = await Excel.run(async (context) => {
    const name = context.workbook.worksheets.getItem("Quantities").names.getItem("Chosen_ScreenLoss");
    const range = name.getRange();
    range.load("rowIndex");
    await context.sync();
    return range.rowIndex + 1;
  });
  await edit((sheet) => sheet("Quantities").getRange(`${loss}:${loss}`).delete("Up"));
  const bid = await seen();
  expect(bid.bags).toEqual({
    missing:
      "Quantities no longer has its cells for “Screen loss”, by the name Chosen_ScreenLoss: undo what took them away, or write a new bid.",
  });
  expect(held(bid.site).zones).toHaveLength(3);
});
