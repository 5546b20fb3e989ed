/** Workbooks of other people, all the way: opened, functions added, handed over, recalculated by another program. */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { readOwnTable, writeProposals } from "../../../src/workbook/own-sheets/write-proposals";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";
import { recalculate } from "../../support/libreoffice";
import { metricWorkbook, usWorkbook } from "../../support/other-workbooks";
import { addAll } from "./add-all";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

interface Expected {
  readonly sheet: string;
  /** Where the table's headings begin. */
  readonly at: string;
  readonly functions: readonly string[];
  readonly address: string;
  /** The figures of each new column by address, from arithmetic done here. */
  readonly figures: Readonly<Record<string, number>>;
}

const bags = (area: number, mm: number) => Math.ceil((area * mm) / (70 * 0.8) - 1e-9);
const strip = (perimeter: number, inches: number) => perimeter * (inches / 12);
const starter = (acres: number, rate: number) => ((acres * 43_560) / 1000) * (rate / 0.18);

const metric: readonly Expected[] = [
  {
    sheet: "Rasen",
    at: "C5",
    functions: ["SEED_WEIGHT", "TOPDRESS_VOLUME", "TOPDRESS_BAGS"],
    // Notes stand in J6 and J7, so that three columns side by side are free from K on.
    address: "K5:M10",
    figures: {
      K6: (180.5 * 30) / 1000 / 0.82,
      K7: (642 * 30) / 1000 / 0.82,
      K9: (95 * 40) / 1000 / 0.82,
      K10: 0,
      L6: 180.5 * 5,
      L7: 642 * 5,
      L9: 95 * 3,
      L10: 0,
      M6: bags(180.5, 5),
      M7: bags(642, 5),
      M9: bags(95, 3),
      M10: 0,
    },
  },
  {
    sheet: "Rasen",
    at: "B15",
    functions: ["WATER_VOLUME"],
    address: "E15:E17",
    // A millimetre on a square metre is a litre.
    figures: { E16: 14 * 12, E17: 32.5 * 8 },
  },
  {
    sheet: "Kosten",
    at: "B4",
    functions: ["MARGIN_PRICE"],
    address: "D3:D5",
    figures: { D4: 412.8 / 0.65, D5: 1260 / 0.65 },
  },
];

const us: readonly Expected[] = [
  {
    sheet: "Take-off",
    at: "B7",
    functions: ["EDGE_AREA", "FERTILISER_WEIGHT", "LABEL_DOSE"],
    address: "L4:N8",
    figures: {
      L6: strip(980, 36),
      L7: strip(310, 24),
      L8: strip(640, 36),
      M6: starter(1.35, 0.9),
      M7: starter(0.12, 1),
      M8: starter(0.4, 0.75),
      N6: 1.35 * 21,
      N7: 0.12 * 21,
      N8: 0.4 * 21,
    },
  },
  {
    sheet: "Buying",
    at: "C7",
    functions: ["PACKS"],
    address: "F7:F10",
    figures: { F8: 7, F9: 11, F10: 20 },
  },
  {
    sheet: "Buying",
    at: "D15",
    functions: ["WORK_HOURS"],
    address: "G14:G16",
    figures: { G15: 58_806 / 9500 / 2, G16: 5227.2 / 4000 },
  },
];

type Cells = Map<string, unknown>;

/** Every cell of the workbook that shows something. */
function everything(): Cells {
  const cells: Cells = new Map();
  for (const sheet of bench.sheetNames()) {
    for (const column of "ABCDEFGHIJKLMNOP") {
      for (let row = 1; row <= 20; row++) {
        const value = bench.value(sheet, `${column}${row}`);
        if (value !== null && value !== "") cells.set(`${sheet}!${column}${row}`, value);
      }
    }
  }
  return cells;
}

describe.each([
  { name: "a metric workbook", build: metricWorkbook, tables: metric },
  { name: "a US workbook", build: usWorkbook, tables: us },
])("$name of someone else's", ({ build, tables }) => {
  test("gets the functions beside its tables, and nothing that was there is touched", async () => {
    await bench.importXlsx(build());
    const before = everything();
    expect(before.size).toBeGreaterThan(50);
    for (const { sheet, at, functions, address, figures } of tables) {
      const written = await addAll(bench, sheet, at);
      expect(written.functions).toEqual(functions);
      expect(written.address).toBe(address);
      for (const [cell, figure] of Object.entries(figures)) {
        expect(bench.value(sheet, cell), `${sheet}!${cell}`).toBeCloseTo(figure, 8);
      }
      expect(written.formulas).toBe(Object.keys(figures).length);
    }
    const after = everything();
    for (const [place, value] of before) expect(after.get(place), place).toBe(value);
    const added = tables.reduce(
      (sum, one) => sum + Object.keys(one.figures).length + one.functions.length,
      0,
    );
    expect(after.size).toBe(before.size + added);
  });

  test("handed over, another spreadsheet finds every number again", async () => {
    const names = bench.sheetNames();
    const said = everything();
    const report = await handOver(names, unwatched);
    expect(report).toMatchObject({ stopped: [], asValues: [] });
    expect(report.converted).toBe(tables.reduce((sum, { figures }) => sum + Object.keys(figures).length, 0));
    const there = await recalculate(await bench.exportXlsx());
    let numbers = 0;
    let largest = 0;
    for (const [place, value] of said) {
      const [sheet = "", address = ""] = place.split("!");
      const found = there.get(sheet)?.[Number(address.slice(1)) - 1]?.[address.charCodeAt(0) - 65];
      if (typeof value !== "number") expect(found, place).toBe(value);
      else {
        expect(typeof found, `${place} is ${String(found)}`).toBe("number");
        numbers++;
        largest = Math.max(largest, Math.abs(Number(found) - value) / Math.max(Math.abs(value), 1e-12));
      }
    }
    for (const { sheet, figures } of tables) {
      for (const [address, figure] of Object.entries(figures)) {
        const found = there.get(sheet)?.[Number(address.slice(1)) - 1]?.[address.charCodeAt(0) - 65];
        expect(Number(found), `${sheet}!${address}`).toBeCloseTo(figure, 8);
      }
    }
    console.log(`LibreOffice: ${numbers} numbers, largest relative difference ${largest}`);
    expect(largest).toBeLessThan(1e-12);
  });
});

describe("writing", () => {
  const small = { A1: "Area (sq ft)", B1: "Seed rate (lb/M)", A2: "4000", B2: "7", A3: "1000", B3: "5" };

  async function agreed() {
    bench.select("Sheet1", "A1");
    return {
      table: await readOwnTable(unwatched),
      choices: new Map(),
      system: "us",
      functions: ["SEED_WEIGHT"],
    } as const;
  }

  test.skipIf(isHarsh)("one undo takes all of it back, where a batch can be undone", async () => {
    bench.reset();
    bench.setCells("Sheet1", small);
    await writeProposals(await agreed(), unwatched);
    expect(["C1", "C2", "C3"].map((cell) => bench.value("Sheet1", cell))).toEqual([
      "Bulk seed to buy (lb)",
      28,
      5,
    ]);
    bench.undo();
    expect(["C1", "C2", "C3"].map((cell) => bench.formula("Sheet1", cell))).toEqual([null, null, null]);
    expect(bench.value("Sheet1", "C1") ?? "").toBe("");
    expect(bench.value("Sheet1", "A2")).toBe(4000);
  });

  test("what was filled in beside the table since it was read stays", async () => {
    bench.reset();
    bench.setCells("Sheet1", small);
    const before = await agreed();
    bench.setCell("Sheet1", "C3", "mine");
    expect((await writeProposals(before, unwatched)).address).toBe("D1:D3");
    expect(bench.value("Sheet1", "C3")).toBe("mine");
  });

  test("a table that has changed since it was read is not written beside", async () => {
    bench.reset();
    bench.setCells("Sheet1", small);
    const before = await agreed();
    bench.setCell("Sheet1", "B1", "Seed rate (g/m2)");
    await expect(writeProposals(before, unwatched)).rejects.toThrow("has changed since it was read");
    expect(bench.value("Sheet1", "C2") ?? "").toBe("");
  });

  test("whatever batch fails, all is written or nothing", async () => {
    for (let batch = 1; batch <= 6; batch++) {
      bench.reset();
      bench.setCells("Sheet1", small);
      const before = await agreed();
      bench.failAt(batch);
      const failed = await writeProposals(before, unwatched).then(
        () => false,
        () => true,
      );
      bench.clearFail();
      const left = ["C1", "C2", "C3"].filter((cell) => (bench.value("Sheet1", cell) ?? "") !== "").length;
      expect(left, `batch ${batch}`).toBe(failed ? 0 : 3);
    }
  });
});
