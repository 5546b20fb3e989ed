import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { mayHoldCalls } from "../../../src/workbook/formulas/calls";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { host, openWorkbench, unwatched } from "../../support/built-workbench";
import { edited, recalculate } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  // Only a host of a later set than the manifest asks for tells how far a formula spills.
  bench = await openWorkbench({ harshness: host({ manifestSets: false }) });
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
    expect(mayHoldCalls(bench.formula("Sheet1", "D1") ?? "")).toBe(false);
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

test("a spill that something stands in the way of stops its sheet, and what stands there stays", async () => {
  bench.setCells("Sheet1", {
    D2: "in the way",
    D1: "=SWARD.SEED_MIX(4000,7,B1:B2)",
    B1: "0.8",
    B2: "0.2",
  });
  expect(bench.value("Sheet1", "D1")).toBe("#SPILL!");
  const report = await handOver(["Sheet1"], unwatched);
  expect(report.stopped).toMatchObject([
    { address: "D1", note: "Something stands in the cells that it fills: clear them, then hand over." },
  ]);
  expect(bench.value("Sheet1", "D2")).toBe("in the way");
  expect(bench.formula("Sheet1", "D1")).toBe("=SWARD.SEED_MIX(4000,7,B1:B2)");
});

describe("a spill that was handed over and edited since", () => {
  const column = { A1: "1000", A2: "2000", A3: "3000", D1: '=SWARD.EACH_ROW("SEED_WEIGHT",A1:A3,7)' };

  test("rows put in between: the one formula comes back over all of them", async () => {
    bench.setCells("Sheet1", column);
    await handOver(["Sheet1"], unwatched);
    const file = await edited(await bench.exportXlsx(), [
      ["insert", "Sheet1", 2, 1],
      ["set", "Sheet1", "A3", "500"],
    ]);
    await bench.importXlsx(file);
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 3, changed: [], foreign: [] });
    expect(bench.formula("Sheet1", "D1")).toBe('=SWARD.EACH_ROW("SEED_WEIGHT",A1:A4,7)');
    expect(grid(4, "D")).toEqual([[7], [14], [3.5], [21]]);
  });

  test("a cell overwritten: what stands there stays, and the formula is listed", async () => {
    bench.setCells("Sheet1", column);
    await handOver(["Sheet1"], unwatched);
    bench.setCell("Sheet1", "D3", "99");
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report).toMatchObject({ restored: 0, changed: [{ address: "D1" }] });
    expect(report.changed[0]?.note).toBe(
      "D3 stands where it would fill cells: clear that, then bring it back.",
    );
    expect(grid(3, "D")).toEqual([[7], [14], [99]]);
  });

  test("its first cell gone: the others are listed and stay", async () => {
    bench.setCells("Sheet1", column);
    await handOver(["Sheet1"], unwatched);
    bench.setCell("Sheet1", "D1", "");
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report).toMatchObject({ restored: 0, changed: [] });
    expect(report.foreign.map(({ address }) => address)).toEqual(["D2", "D3"]);
    expect(grid(3, "D").slice(1)).toEqual([[14], [21]]);
  });
});
