import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { freeNames, writeBid } from "../../src/workbook/bid/write-bid";
import { Stopped } from "../../src/workbook/progress";
import { openWorkbench, unwatched } from "../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const options = {
  system: "us",
  currency: "$",
  property: "Larkfield House, 14 Quarry Lane",
  sample: true,
} as const;
const number = (sheet: string, address: string): number => Number(bench.value(sheet, address));

describe("the first bid, with the sample property", () => {
  test("its total agrees with the sum done by hand, to the cent", async () => {
    await writeBid(options, unwatched);
    // By hand. Front lawn: 64 x 52 less the cut corner, 24 x 14 / 2. Drive edge: 180 x 3 less 2 squares of 3 ft.
    const areas = [64 * 52 - (24 * 14) / 2, 180 * 3 - 2 * 3 * 3, 4200];
    expect(areas).toEqual([3160, 522, 4200]);
    expect(["G7", "G8", "G9"].map((cell) => number("Site", cell))).toEqual(areas);
    // Seed: (3,160 + 522) at 7 and 4,200 at 4 lb per 1000 ft2 is 42.574 lb alive; 97 % x 88 % = 85.36 %; 49.876 lb.
    expect(number("Quantities", "C13")).toBeCloseTo(42.574 / 0.8536, 9);
    // Two 25 lb bags. Starter: 7,882 ft2 at 1 lb P2O5 per 1000 ft2 from 18 %: 43.79 lb, two 40 lb bags.
    // Spray: 7,882 / 43,560 acre at 4 fl oz: 0.72 fl oz, one bottle. Topdressing: 164.2 ft3 at 2.4 ft3 a bag: 68.4, 69 bags.
    expect(["E17", "E18", "E19", "E20"].map((cell) => number("Quantities", cell))).toEqual([2, 2, 1, 69]);
    // Cost: 2 x 86 + 2 x 54 + 61 + 69 x 11.50 + 26 h x 38 = 172 + 108 + 61 + 793.50 + 988 = 2,122.50.
    expect(number("Bid", "E12")).toBeCloseTo(2122.5, 9);
    // Margin 35 %: 2,122.50 / 0.65 = 3,265.3846; with 6 % tax 3,461.31.
    expect(number("Bid", "E19")).toBe(3461.31);
    expect(bench.text("Bid", "E19")).toBe("$3,461.31");
  });

  test("bags, starter, seed and price follow the front lawn", async () => {
    await writeBid(options, unwatched);
    bench.setCell("Site", "B20", "70");
    bench.setCell("Site", "B19", "70");
    // 70 x 52 less (70 - 40) x 14 / 2 = 3,640 - 210 = 3,430.
    expect(number("Site", "G7")).toBe(3430);
    expect(number("Quantities", "C7")).toBeCloseTo((3430 * 7) / 1000 / 0.8536, 9);
    // Seed 51.72 + ... lb in all: three bags now. Bags: 8,152 x 0.25 / 12 / 2.4 = 70.76, 71 bags.
    expect(number("Quantities", "E17")).toBe(3);
    expect(number("Quantities", "E20")).toBe(71);
    const cost = 3 * 86 + 2 * 54 + 61 + 71 * 11.5 + 26 * 38;
    expect(number("Bid", "E19")).toBe(Math.round((cost / 0.65) * 1.06 * 100) / 100);
  });

  test("the season limit counts starter and spray together", async () => {
    await writeBid(options, unwatched);
    // Starter: 1 / 0.18 lb per 1000 ft2 x 43.56 x 0.0008 = 0.1936; spray: 4 fl oz / 128 x 4 lb = 0.125; limit 0.35.
    expect(number("Materials", "B33")).toBeCloseTo(0.35 - 0.1936 - 0.125, 9);
    expect(bench.value("Materials", "B34")).toBe("kept");
    bench.setCell("Materials", "B29", "5");
    expect(number("Materials", "B33")).toBeCloseTo(0.35 - 0.1936 - 0.15625, 9);
    bench.setCell("Materials", "B29", "6");
    expect(bench.value("Materials", "B34")).toBe("OVERSPENT: change the job");
  });

  test("nothing is pasted as a value: every number that is not an input is a formula", async () => {
    const { sheets } = await writeBid(options, unwatched);
    const results = [
      "Quantities!B7",
      "Quantities!C7",
      "Quantities!E20",
      "Bid!B7",
      "Bid!E12",
      "Bid!E16",
      "Site!G8",
    ];
    for (const place of results) {
      const [sheet = "", address = ""] = place.split("!");
      expect(bench.formula(sheet, address), place).toMatch(/^=/);
    }
    expect(sheets).toEqual(["Site", "Materials", "Quantities", "Bid"]);
  });

  test("in metric it is the same job in square metres and litres", async () => {
    await writeBid({ ...options, system: "metric", currency: "€" }, unwatched);
    // Front: 19.5 x 15.8 less 7.3 x 4.2 / 2; drive edge: 55 x 0.9 less 2 x 0.81; back 390 m2.
    const areas = [19.5 * 15.8 - (7.3 * 4.2) / 2, 55 * 0.9 - 2 * 0.81, 390] as const;
    areas.forEach((area, i) => expect(number("Site", `G${7 + i}`)).toBeCloseTo(area, 9));
    const [front, edge, back] = areas;
    expect(number("Quantities", "C13")).toBeCloseTo(((front + edge) * 34 + back * 20) / 1000 / 0.8536, 9);
    // 6 mm over the whole, 80 L bags of which a fifth stays on the screen.
    expect(number("Quantities", "E20")).toBe(Math.ceil(((front + edge + back) * 6) / 64));
  });
});

describe("the first bid, empty", () => {
  test("costs nothing and shows no error anywhere", async () => {
    const { sheets } = await writeBid({ ...options, sample: false }, unwatched);
    for (const sheet of sheets) {
      for (let row = 1; row <= 60; row++) {
        for (const column of "ABCDEFGH") expect(bench.text(sheet, `${column}${row}`)).not.toMatch(/^#/);
      }
    }
    expect(number("Bid", "E19")).toBe(0);
  });

  test("herbicide cells are empty and say where their figures come from", async () => {
    await writeBid({ ...options, sample: false }, unwatched);
    for (const cell of ["22", "29", "30", "32"]) {
      expect(bench.text("Materials", `B${cell}`)).toBe("");
      expect(bench.text("Materials", `D${cell}`)).toBe("from your label");
    }
  });
});

describe("beside sheets that are there already", () => {
  test("a sheet of the same name is left alone and ours take the next free names", async () => {
    bench.reset([{ name: "Bid", cells: { A1: "theirs" } }]);
    const { sheets } = await writeBid(options, unwatched);
    expect(sheets).toEqual(["Site 2", "Materials 2", "Quantities 2", "Bid 2"]);
    expect(bench.value("Bid", "A1")).toBe("theirs");
    expect(number("Bid 2", "E19")).toBe(3461.31);
  });

  test("names are free whatever their letter case", () => {
    expect(freeNames(["SITE", "x"]).site).toBe("Site 2");
    expect(freeNames(["Site", "bid 2"]).bid).toBe("Bid 3");
  });
});

describe("when it is stopped or fails", () => {
  test("a stop leaves no sheet behind", async () => {
    const before = bench.sheetNames();
    let asked = 0;
    const progress = {
      report: () => undefined,
      get stopped() {
        asked++;
        return asked > 3;
      },
    };
    await expect(writeBid(options, progress)).rejects.toThrow(Stopped);
    expect(bench.sheetNames()).toEqual(before);
  });

  test.each([1, 2, 3, 4, 5, 6, 7])("a failure of batch %i leaves no sheet behind", async (batch) => {
    const before = bench.sheetNames();
    bench.failAt(batch);
    await expect(writeBid(options, unwatched)).rejects.toThrow();
    bench.clearFail();
    expect(bench.sheetNames()).toEqual(before);
  });
});
