import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bidSheetNames } from "../../../src/workbook/bid/bid-sheets";
import type { FigureId } from "../../../src/workbook/bid/declare/figures";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { chosen } from "../../../src/workbook/bid/sheets/chosen";
import { instead, prices } from "../../../src/workbook/bid/sheets/client-page";
import { steps, terms } from "../../../src/workbook/bid/sheets/costs";
import { priceBook } from "../../../src/workbook/bid/sheets/price-book";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { needs } from "../../../src/workbook/bid/sheets/quantities";
import { screened, taken, used } from "../../../src/workbook/bid/sheets/review";
import { calendar, runTimes } from "../../../src/workbook/bid/sheets/water-plan";
import { loads } from "../../../src/workbook/bid/sheets/work-day";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { freeNames, writeBid } from "../../../src/workbook/bid/write-bid";
import { Stopped } from "../../../src/workbook/host/progress";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { printedPages } from "../../support/libreoffice";
import { openBid } from "../../support/made-once";
import { cellOf } from "./reading";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});
beforeEach(() => bench.reset());

const options = {
  system: "us",
  currency: "$",
  property: "Larkfield House, 14 Quarry Lane",
  sample: true,
} as const;

/** The way of the job, which further sheets keep. */
const inOrder = [
  "Site",
  "Outlines",
  "Materials",
  "Quantities",
  "Order",
  "Bid",
  "Crew",
  "Record",
  "Watering",
  "Review",
];
const sheetNames = Object.values(bidSheetNames);

/** The zones of the sample, from the top. */
const [front, edge, back] = [0, 1, 2];
const materials = ["seed", "starter", "preEmergent", "topdress"];
/** What stands beside a figure of Quantities. */
const noteOf = (figure: FigureId<typeof chosen>) => {
  const { sheet, address } = bid.note(chosen, figure);
  return bench.value(sheet, address);
};
const cents = (amount: number): number => Math.round(amount * 100) / 100;

describe("the bid with the sample property", () => {
  test("its total agrees with the sum done by hand, to the cent", async () => {
    await openBid(bench, options);
    // By hand. Front lawn: 64 x 52 less the cut corner, 24 x 14 / 2. Drive edge: 180 x 3 less 2 squares of 3 ft.
    const areas = [64 * 52 - (24 * 14) / 2, 180 * 3 - 2 * 3 * 3, 4200];
    expect(areas).toEqual([3160, 522, 4200]);
    expect([front, edge, back].map((zone) => bid.number(zones, "area", zone))).toEqual(areas);
    // Seed: (3,160 + 522) at 7 and 4,200 at 4 lb per 1000 ft2 is 42.574 lb alive; 97 % x 88 % = 85.36 %; 49.876 lb.
    expect(bid.number(purchases, "need", "seed")).toBeCloseTo(42.574 / 0.8536, 9);
    // Two 25 lb bags. Starter: 7,882 ft2 at 1 lb P2O5 per 1000 ft2 from 18 %: 43.79 lb, two 40 lb bags.
    // Spray: 7,882 / 43,560 acre at 4 fl oz: 0.72 fl oz, one bottle. Topdressing: 164.2 ft3 at 2.4 ft3 a bag: 68.4, 69 bags.
    expect(materials.map((one) => bid.number(purchases, "packs1", one))).toEqual([2, 2, 1, 69]);
    // 172 + 108 + 61 + 793.50.
    expect(bid.number(purchases, "cost", "all")).toBeCloseTo(1134.5, 9);
    // Labour: a crew of two at 38 an hour each; area / pace is person-hours.
    // Prepare 7,882 / 1,500 = 5.254667 h: 199.6773 + 85 equipment. Seed 7,882 / 4,000 = 1.9705 h: 74.879 + 172 + 20.
    // Starter 7,882 / 8,000 = 0.98525 h: 37.4395 + 108. Pre-emergent the same and twice half an hour: 75.4395 + 61 + 15.
    // Topdress as prepare: 199.6773 + 793.50 + 60. Clean up: twice 1.5 h: 114.
    const costs = [284.677333, 266.879, 145.4395, 151.4395, 1053.177333, 114];
    // 10 % overhead; a margin of 35 % of the price: x 1.1 / 0.65, each step to the cent.
    const priced = costs.map((cost) => cents((cost * 1.1) / 0.65));
    expect(priced).toEqual([481.76, 451.64, 246.13, 256.28, 1782.3, 192.92]);
    const shown = ["prepare", ...materials].map((step) => bid.value(prices, "price", step));
    expect(shown).toEqual(priced.slice(0, 5));
    // 481.76 + 451.64 + 246.13 + 256.28 + 1,782.30 + 192.92 = 3,411.03; 6 % tax 204.66.
    expect(bid.value(prices, "price", "beforeTax")).toBe(3411.03);
    expect(bid.value(prices, "price", "withTax")).toBe(3615.69);
    expect(bid.text(prices, "price", "withTax")).toBe("$3,615.69");
    // Deposit 30 %.
    expect(bid.value(prices, "price", "deposit")).toBe(1084.71);
    expect(bid.value(prices, "price", "balance")).toBeCloseTo(2530.98, 9);
  });

  test("the margin is a share of the price, and the markup is shown beside it", async () => {
    await openBid(bench, options);
    expect(bid.value(steps, "price", "earned")).toBeCloseTo(0.35, 5);
    expect(bid.value(steps, "price", "markedUp")).toBeCloseTo(0.35 / 0.65, 5);
  });

  test("the strip is not seeded twice: strip and two halves of the remainder make the whole", async () => {
    await openBid(bench, options);
    // Back lawn: an edge of 266 ft and a drop spreader of 22 in, four inside corners.
    const strip = 266 * (22 / 12) - 4 * (22 / 12) ** 2;
    expect(bid.number(needs, "strip", back)).toBeCloseTo(strip, 9);
    expect(bid.number(needs, "seedStrip", back)).toBeCloseTo((strip * 4) / 1000 / 0.8536, 9);
    expect(bid.number(needs, "seedFirst", back)).toBeCloseTo(((4200 - strip) * 4) / 1000 / 0.8536 / 2, 9);
    expect(bid.number(needs, "seed", back)).toBeCloseTo((4200 * 4) / 1000 / 0.8536, 9);
  });

  test("the season limit counts starter and spray together", async () => {
    await openBid(bench, options);
    // Starter: 1 / 0.18 lb per 1000 ft2 x 43.56 x 0.0008 = 0.1936; spray: 4 fl oz / 128 x 4 lb = 0.125; limit 0.35.
    expect(bid.number(chosen, "room")).toBeCloseTo(0.35 - 0.1936 - 0.125, 9);
    expect(bid.value(chosen, "verdict")).toBe("kept");
    bid.set(chosen, "applied", "0.03");
    expect(bid.number(chosen, "room")).toBeCloseTo(0.35 - 0.1936 - 0.125 - 0.03, 9);
    bid.set(chosen, "labelRate", "5");
    expect(bid.value(chosen, "verdict")).toBe("OVERSPENT");
    bid.set(chosen, "labelRate", "6");
    expect(noteOf("labelRate")).toBe("ABOVE the highest rate on the label");
  });

  test("the crew's tanks: full loads and a remainder that add up to the job", async () => {
    await openBid(bench, options);
    // 7,882 ft2 at 43.56 gal per acre, a gallon per 1000 ft2, is 7.882 gal: one tank of 4 gal and 3.882 gal.
    expect(bid.value(loads, "tanks")).toBe(2);
    expect(bid.value(loads, "full")).toBeCloseTo(4, 9);
    expect(bid.value(loads, "last")).toBeCloseTo(3.882, 9);
    const full = (4000 / 43_560) * 4;
    expect(bid.value(loads, "fullProduct")).toBeCloseTo(full, 9);
    expect(bid.value(loads, "lastProduct")).toBeCloseTo((7882 / 43_560) * 4 - full, 9);
  });

  test("the watering schedule counts its days from the seeding day and runs each zone by its own test", async () => {
    await openBid(bench, options);
    expect(bid.text(calendar, "date", "seeding")).toBe("09/08/2026");
    // Perennial ryegrass: 5 to 10 days.
    expect(bid.text(calendar, "date", "firstSeedlings")).toBe("09/13/2026");
    expect(bid.text(calendar, "date", "lastSeedlings")).toBe("09/18/2026");
    // 0.1 in at 0.6 in an hour and an evenness of 75 %.
    expect(bid.number(runTimes, "light", front)).toBeCloseTo(((0.1 / 0.6) * 60) / 0.75, 9);
    bid.fill(zones, front, { sprinklerRate: "" });
    expect(bid.value(runTimes, "light", front)).toBe("test first");
  });

  test("the other ways to do the job are packed anew, not added up", async () => {
    await openBid(bench, options);
    // Twice the topdressing: 136.8 bags, 137 and not 138. Materials 172 + 108 + 61 + 137 x 11.50 = 1,916.50.
    const labour = 199.677333 * 3 + 74.879 + 37.4395 + 75.4395 + 114;
    const cost = (1916.5 + labour + 85 + 20 + 15 + 120) * 1.1;
    expect(bid.value(instead, "price", "Renovation with a second topdressing")).toBe(
      cents(cents(cost / 0.65) * 1.06),
    );
  });

  test("what the job really took gives rates, loss and pace", async () => {
    await openBid(bench, options);
    bid.fill(used, "seed", { back: "5" });
    bid.fill(screened, "topdress", { opened: "207", screenedOut: "46" });
    bid.fill(taken, "prepare", { taken: "3" });
    expect(bid.number(used, "realRate", "seed")).toBeCloseTo(45 / 7.882, 9);
    expect(bid.number(screened, "realLoss", "topdress")).toBeCloseTo(46 / 207, 9);
    expect(bid.number(taken, "pace", "prepare")).toBeCloseTo(7882 / 6, 9);
    const heading = { sheet: "Review", address: cellOf(bench, "Review", "For the next bid", 1) };
    const { sheet, address } = offset(heading, { down: 1 });
    expect(String(bench.value(sheet, address))).toContain("22.2%");
  });

  test("one sum or a price by step, as chosen", async () => {
    await openBid(bench, options);
    bid.set(terms, "shown", "as one sum");
    expect(bid.value(prices, "price", "seed")).toBe("included");
    expect(bid.value(prices, "price", "withTax")).toBe(3615.69);
  });

  test("in metric it is the same job in square metres and litres", async () => {
    await openBid(bench, { ...options, system: "metric", currency: "€" });
    // Front: 19.5 x 15.8 less 7.3 x 4.2 / 2; drive edge: 55 x 0.9 less 2 x 0.81; back 390 m2.
    const areas = [19.5 * 15.8 - (7.3 * 4.2) / 2, 55 * 0.9 - 2 * 0.81, 390] as const;
    areas.forEach((area, i) => expect(bid.number(zones, "area", i)).toBeCloseTo(area, 9));
    const [ofFront, ofEdge, ofBack] = areas;
    expect(bid.number(purchases, "need", "seed")).toBeCloseTo(
      ((ofFront + ofEdge) * 34 + ofBack * 20) / 1000 / 0.8536,
      9,
    );
    // 6 mm over the whole, 80 L bags of which a fifth stays on the screen.
    expect(bid.number(purchases, "packs1", "topdress")).toBe(
      Math.ceil(((ofFront + ofEdge + ofBack) * 6) / 64),
    );
    expect(bid.text(prices, "price", "beforeTax")).toMatch(/^€/);
  });
});

describe("the bid, empty", () => {
  test.each(["us", "metric"] as const)("in %s costs nothing and shows no error anywhere", async (system) => {
    const { sheets } = await openBid(bench, { ...options, system, sample: false });
    expect(sheets).toEqual(sheetNames);
    expect(sheets.filter((name) => inOrder.includes(name))).toEqual(inOrder);
    for (const sheet of sheets) {
      for (let row = 1; row <= 80; row++) {
        for (const column of "ABCDEFGHIJKLMNOPQRST") {
          const address = `${column}${row}`;
          expect(bench.text(sheet, address), `${sheet}!${address}`).not.toMatch(/^#/);
        }
      }
    }
    expect(bid.value(prices, "price", "withTax")).toBe(0);
  });

  test("herbicide cells are empty and say where their figures come from", async () => {
    await openBid(bench, { ...options, sample: false });
    const { preEmergents } = priceBook;
    // It is said once, over the head of the first of them.
    const whence = (of: BidCells) => {
      const { sheet, address } = offset(of.at(preEmergents, "active", 0), { down: -2 });
      return bench.value(sheet, address);
    };
    expect(whence(bid)).toBe("from your label");
    const ids = Object.keys(preEmergents.columns) as (keyof typeof preEmergents.columns)[];
    const labelled = ids.filter((id) => "isFromLabel" in preEmergents.columns[id]);
    expect(labelled.length).toBeGreaterThanOrEqual(8);
    for (let row = 0; row < 4; row++)
      for (const id of labelled) expect(bid.text(preEmergents, id, row), id).toBe("");
    expect(noteOf("labelRate")).toContain("from your label");
    await writeBid(options, unwatched);
    expect(whence(new BidCells(bench, "Site 2"))).toBe("invented label of the sample: enter your own");
  });
});

describe("beside what is there already", () => {
  test("sheets and names of the same names are left alone and ours take the next free names", async () => {
    bench.reset([{ name: "Bid", cells: { A1: "theirs" } }]);
    await Excel.run(async (context) => {
      context.workbook.names.add("Order", context.workbook.worksheets.getItem("Bid").getRange("A1"));
      await context.sync();
    });
    const { sheets } = await writeBid(options, unwatched);
    expect(sheets).toEqual(sheetNames.map((name) => `${name} 2`));
    expect(bench.value("Bid", "A1")).toBe("theirs");
    expect(new BidCells(bench, "Site 2").value(prices, "price", "withTax")).toBe(3615.69);
    await Excel.run(async (context) => {
      const { names } = context.workbook;
      names.load("items/name,items/formula");
      await context.sync();
      expect(names.items.map(({ name, formula }) => `${name} ${String(formula)}`)).toEqual([
        "Order =Bid!$A$1",
      ]);
    });
  });

  test("names are free whatever their letter case", () => {
    expect(freeNames(["SITE", "x"]).site).toBe("Site 2");
    expect(freeNames(["Site", "bid 2"]).bid).toBe("Bid 3");
  });
});

describe("when it is stopped or fails", () => {
  test.each([1, 4, 9])("a stop after %i steps leaves no sheet behind", async (steps) => {
    const before = bench.sheetNames();
    let asked = 0;
    const progress = {
      report: () => undefined,
      get stopped() {
        asked++;
        return asked > steps;
      },
    };
    await expect(writeBid(options, progress)).rejects.toThrow(Stopped);
    expect(bench.sheetNames()).toEqual(before);
  });

  test.each([1, 2, 3, 7, 12, 13])("a failure of batch %i leaves no sheet behind", async (batch) => {
    const before = bench.sheetNames();
    bench.failAt(batch);
    await expect(writeBid(options, unwatched)).rejects.toThrow();
    bench.clearFail();
    expect(bench.sheetNames()).toEqual(before);
  });
});

describe("on paper", () => {
  test("every sheet has its print area, is one page wide, and says property, date, sheet and page", async () => {
    const { sheets } = await writeBid({ ...options, property: "Ash & Elm House" }, unwatched);
    await Excel.run(async (context) => {
      const layouts = sheets.map((name) => {
        const { pageLayout } = context.workbook.worksheets.getItem(name);
        pageLayout.load("zoom,firstPageNumber");
        pageLayout.headersFooters.defaultForAllPages.load("leftHeader,rightHeader,leftFooter");
        const area = pageLayout.getPrintAreaOrNullObject();
        area.load("address");
        return { name, pageLayout, area };
      });
      await context.sync();
      for (const { name, pageLayout, area } of layouts) {
        const { leftHeader, rightHeader, leftFooter } = pageLayout.headersFooters.defaultForAllPages;
        expect([leftHeader, rightHeader, leftFooter], name).toEqual(["Ash && Elm House", "&D", "&A"]);
        expect(pageLayout.zoom.horizontalFitToPages, name).toBe(1);
        expect(pageLayout.firstPageNumber, name).toBe(1);
        expect(area.isNullObject, name).toBe(false);
        expect(pageLayout.zoom.verticalFitToPages === 1, name).toBe(["Bid", "Record"].includes(name));
      }
    });
  });

  test("printed all at once, every sheet counts its own pages from 1", async () => {
    const [zone] = sampleProperty.us.zones;
    if (zone === undefined) throw new Error("The sample has no zone.");
    const zones = Array.from({ length: 24 }, (_, i) => ({ ...zone, name: `Zone ${i + 1}` }));
    const { sheets } = await writeBid({ ...options, job: { ...sampleProperty.us, zones } }, unwatched);
    const counted = new Map<string, string[]>();
    for (const page of await printedPages(await bench.exportXlsx())) {
      const [, sheet = "", number = ""] = /^ *(\S+) {2,}Page (\d+)\s*$/m.exec(page) ?? [];
      counted.set(sheet, [...(counted.get(sheet) ?? []), number]);
    }
    expect([...counted.keys()]).toEqual(sheets);
    expect(Math.max(...[...counted.values()].map((pages) => pages.length))).toBeGreaterThan(1);
    for (const [sheet, pages] of counted) expect(pages, sheet).toEqual(pages.map((_, i) => String(i + 1)));
  });

  test("cost and margin are outside of what is printed", async () => {
    await openBid(bench, options);
    await Excel.run(async (context) => {
      const area = context.workbook.worksheets.getItem("Order").pageLayout.getPrintAreaOrNullObject();
      area.load("address");
      await context.sync();
      const margin = Number(/\d+$/.exec(bid.at(terms, "margin").address)?.[0]);
      expect(margin).toBeGreaterThan(Number(/\d+$/.exec(area.address)?.[0]));
    });
  });
});
