import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack, handOver } from "../../../src/workbook/handover";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { recalculate } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const grid = (rows: number, columns: string) =>
  Array.from({ length: rows }, (_, i) =>
    [...columns].map((column) => bench.value("Sheet1", `${column}${i + 1}`)),
  );

/** One spilling call in D1, with what it reads in A to C, and the block it fills. */
const spills = [
  {
    name: "tank loads: 0.5 acre at 40 gal per acre from a 9 gal tank is 9, 9 and 2 gal",
    cells: { A1: "21780", A2: "8", A3: "40", A4: "9", D1: "=SWARD.TANK_LOADS(A1,A2,A3,A4)" },
    rows: 3,
    columns: "DEFG",
    check: (cells: unknown[][]) =>
      expect(cells.map((row) => Number(row[2]).toFixed(6))).toEqual(["9.000000", "9.000000", "2.000000"]),
  },
  {
    name: "a seed mix: 7 lb per 1000 ft2 over 4,000 ft2 in shares of 80 and 20 %",
    cells: { A1: "4000", A2: "7", B1: "0.8", B2: "0.2", D1: "=SWARD.SEED_MIX(A1,A2,B1:B2)" },
    rows: 2,
    columns: "D",
    check: (cells: unknown[][]) =>
      expect(cells.map(([weight]) => Number(weight).toFixed(6))).toEqual(["22.400000", "5.600000"]),
  },
  {
    name: "a pack mix: 52 from packs of 50 and 25 at 120 and 70 is one of each",
    cells: { A1: "52", B1: "50", B2: "25", C1: "120", C2: "70", D1: "=SWARD.PACK_MIX(A1,B1:B2,C1:C2)" },
    rows: 2,
    columns: "D",
    check: (cells: unknown[][]) => expect(cells).toEqual([[1], [1]]),
  },
  {
    name: "a function down the rows",
    cells: { A1: "1000", A2: "2000", A3: "3000", D1: '=SWARD.EACH_ROW("SEED_WEIGHT",A1:A3,7)' },
    rows: 3,
    columns: "D",
    check: (cells: unknown[][]) => expect(cells).toEqual([[7], [14], [21]]),
  },
] as const;

describe.each(spills)("a spill handed over: $name", ({ cells, rows, columns, check }) => {
  test("every cell keeps its number, another spreadsheet agrees, and the one formula comes back", async () => {
    bench.setCells("Sheet1", cells);
    const before = grid(rows, columns);
    check(before);
    const file = await bench.exportXlsx();

    const report = await handOver(["Sheet1"], unwatched);
    expect(report.stopped).toEqual([]);
    expect(grid(rows, columns).flat().map(Number)).toEqual(
      before.flat().map((value) => expect.closeTo(Number(value), 9) as number),
    );
    expect(bench.formula("Sheet1", "D1") ?? "").not.toContain("SWARD");
    const there = (await recalculate(await bench.exportXlsx())).get("Sheet1") ?? [];
    before.forEach((row, i) =>
      row.forEach((value, j) => expect(Number(there[i]?.[3 + j])).toBeCloseTo(Number(value), 9)),
    );

    await bringBack(["Sheet1"], unwatched);
    expect(bench.formula("Sheet1", "D1")).toBe(cells.D1);
    expect(grid(rows, columns)).toEqual(before);

    const copied =
      (await recalculate((await rewriteFile(file, { mode: "native formulas" }, unwatched)).bytes)).get(
        "Sheet1",
      ) ?? [];
    before.forEach((row, i) =>
      row.forEach((value, j) => expect(Number(copied[i]?.[3 + j])).toBeCloseTo(Number(value), 9)),
    );
  });
});

describe("a spill that something stands in the way of", () => {
  test.each(["native formulas", "values"] as const)(
    "stops its sheet as %s, and what stands there stays",
    async (mode) => {
      bench.setCells("Sheet1", {
        D2: "in the way",
        D1: "=SWARD.SEED_MIX(4000,7,B1:B2)",
        B1: "0.8",
        B2: "0.2",
      });
      expect(bench.value("Sheet1", "D1")).toBe("#SPILL!");
      const report = await handOver(["Sheet1"], unwatched, mode);
      expect(report.stopped).toMatchObject([
        { address: "D1", note: "Something stands in the cells that it fills: clear them, then hand over." },
      ]);
      expect(bench.value("Sheet1", "D2")).toBe("in the way");
      expect(bench.formula("Sheet1", "D1")).toBe("=SWARD.SEED_MIX(4000,7,B1:B2)");
    },
  );
});

describe("somebody else's spill", () => {
  const cells = { A1: "3", A2: "1", A3: "2", B1: "x", C1: "=TRANSPOSE(A1:A3)", F1: "=A1:A3*2", H1: "=F2+1" };
  const all = () => grid(3, "ABCDEFGH");

  test("handed over as values keeps every number, and the one formula comes back", async () => {
    bench.setCells("Sheet1", cells);
    const before = all();
    expect(before[0]?.slice(2, 5)).toEqual([3, 1, 2]);
    expect(before.map((row) => row[5])).toEqual([6, 2, 4]);
    await handOver(["Sheet1"], unwatched, "values");
    for (const cell of ["C1", "D1", "E1", "F1", "F3", "H1"])
      expect(bench.formula("Sheet1", cell), cell).toBeNull();
    expect(all()).toEqual(before);
    expect((await bringBack(["Sheet1"], unwatched)).changed).toEqual([]);
    expect(bench.formula("Sheet1", "C1")).toBe("=TRANSPOSE(A1:A3)");
    expect(bench.formula("Sheet1", "D1")).toBeNull();
    expect(all()).toEqual(before);
    bench.setCell("Sheet1", "A3", "9");
    expect(bench.value("Sheet1", "E1")).toBe(9);
  });

  test("with an error in it stops the sheet, since an error is no value to hand to anyone", async () => {
    bench.setCells("Sheet1", { A1: "1", A2: "0", C1: "=1/A1:A2" });
    const report = await handOver(["Sheet1"], unwatched, "values");
    expect(report.stopped).toMatchObject([{ sheet: "Sheet1", address: "C1" }]);
    expect(bench.formula("Sheet1", "C1")).toBe("=1/A1:A2");
  });
});
