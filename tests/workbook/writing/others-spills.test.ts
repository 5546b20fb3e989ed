/** What another's formula spills into a cell stands there: nothing of ours is written over it, in a host of any set. */
import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { addAll } from "../own-sheets/add-all";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

test("a formula is not put into a cell that another's formula fills before the person agrees", async () => {
  bench.setCells("Sheet1", { A1: "11", B1: "22", C1: "33", E1: "=TRANSPOSE(A1:C1)" });
  await bench.calculated();
  bench.select("Sheet1", "E2");
  const outcome = await putInSelectedCell("=SWARD.PACKS(90,25)", unwatched);
  expect(outcome).toEqual({ kind: "occupied", sheet: "Sheet1", address: "E2", holds: "22" });
  expect(["E1", "E2", "E3"].map((cell) => bench.value("Sheet1", cell))).toEqual([11, 22, 33]);
});

test("a column is not added where another's formula fills cells beside the table", async () => {
  bench.setCells("Sheet1", {
    A1: "Zone",
    B1: "Area (ft2)",
    C1: "Seeding rate (lb per 1000 ft2)",
    A2: "Front",
    B2: "3160",
    C2: "7",
    A3: "Back",
    B3: "4200",
    C3: "4",
    G1: "7",
    H1: "8",
    D2: "=TRANSPOSE(G1:H1)",
  });
  await bench.calculated();
  const { functions, address } = await addAll(bench, "Sheet1", "A1");
  expect(functions.length).toBeGreaterThan(0);
  expect(address).not.toMatch(/^D/);
  expect(["D2", "D3"].map((cell) => bench.value("Sheet1", cell))).toEqual([7, 8]);
  expect(bench.formula("Sheet1", "D2")).toBe("=TRANSPOSE(G1:H1)");
});
