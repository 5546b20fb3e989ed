import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { editsSinceHandOver } from "../../../src/workbook/handover/sheet-states";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { edited, recalculate } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const sample = {
  system: "us",
  currency: "$",
  property: "Larkfield House, 14 Quarry Lane",
  sample: true,
} as const;

/** The sheet that every test below hands over: an area, a rate, and what hangs on them. */
const zones = {
  A1: "Zone",
  B1: "Area",
  C1: "Rate",
  D1: "Seed",
  A2: "Front",
  B2: "3160",
  C2: "7",
  D2: "=SWARD.SEED_WEIGHT(B2,C2)",
  A3: "Back",
  B3: "4200",
  C3: "4",
  D3: "=SWARD.SEED_WEIGHT(B3,C3)",
  D4: "=SWARD.PACKS(SUM(D2:D3),25)",
};

const formulas = (sheet: string, ...cells: string[]) => cells.map((cell) => bench.formula(sheet, cell));

describe("coming back after others worked on the file", () => {
  test("in LibreOffice: inputs changed, rows inserted, a sheet renamed; functions are restored where they are now", async () => {
    bench.setCells("Sheet1", zones);
    await handOver(["Sheet1"], unwatched);
    const file = await edited(await bench.exportXlsx(), [
      ["set", "Sheet1", "B2", "3500"],
      ["insert", "Sheet1", 2, 2],
      ["set", "Sheet1", "A3", "Side strip, to be measured"],
      ["rename", "Sheet1", "Zones 2026"],
    ]);
    await bench.importXlsx(file);
    expect(bench.formula("Zones 2026", "D2")).toMatch(/^=CHOOSE\(1,/);

    expect(await editsSinceHandOver()).toEqual({
      edits: [{ sheet: "Zones 2026", address: "B2", kind: "input", old: "3160", now: "3500" }],
    });
    const report = await bringBack(["Zones 2026"], unwatched);
    expect(report).toEqual({ restored: 3, changed: [], foreign: [], notes: [] });
    expect(bench.sheetNames()).toEqual(["Zones 2026"]);
    expect(formulas("Zones 2026", "D2", "D5", "D6")).toEqual([
      "=SWARD.SEED_WEIGHT(B2,C2)",
      "=SWARD.SEED_WEIGHT(B5,C5)",
      "=SWARD.PACKS(SUM(D2:D5),25)",
    ]);
    // 3,500 ft2 at 7 and 4,200 ft2 at 4 lb per 1000 ft2.
    expect(bench.value("Zones 2026", "D6")).toBe(Math.ceil((3.5 * 7 + 4.2 * 4) / 25));
  });

  test("a formula that someone overwrote stays theirs and is listed, old and new; the rest is restored", async () => {
    bench.setCells("Sheet1", zones);
    await handOver(["Sheet1"], unwatched);
    const file = await edited(await bench.exportXlsx(), [
      ["set", "Sheet1", "D3", "20"],
      ["set", "Sheet1", "C2", ""],
    ]);
    await bench.importXlsx(file);
    const { edits } = await editsSinceHandOver();
    expect(edits.map(({ address, kind, now }) => [address, kind, now])).toEqual([
      ["C2", "emptied", ""],
      ["D3", "formula overwritten", "20"],
    ]);
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report).toMatchObject({ restored: 2, changed: [], foreign: [] });
    expect(bench.value("Sheet1", "D3")).toBe(20);
  });

  test("a deleted row is told of, and what is left comes back", async () => {
    bench.setCells("Sheet1", zones);
    await handOver(["Sheet1"], unwatched);
    await bench.importXlsx(await edited(await bench.exportXlsx(), [["delete", "Sheet1", 1, 1]]));
    const { edits } = await editsSinceHandOver();
    expect(edits.filter(({ kind }) => kind === "row or sheet deleted").map(({ old }) => old)).toEqual([
      "3160",
      "7",
    ]);
    await bringBack(["Sheet1"], unwatched);
    expect(bench.formula("Sheet1", "D2")).toBe("=SWARD.SEED_WEIGHT(B2,C2)");
  });

  test("the sample bid survives LibreOffice saving it: every formula comes back letter by letter", async () => {
    const { sheets } = await writeBid(sample, unwatched);
    const all = () =>
      sheets.flatMap((sheet) =>
        Array.from({ length: 60 }, (_, i) => i + 1).flatMap((row) =>
          [..."ABCDEFGHIJKLM"].map((column) => [
            `${sheet}!${column}${row}`,
            bench.formula(sheet, `${column}${row}`),
          ]),
        ),
      );
    const before = all();
    await handOver(sheets, unwatched);
    await bench.importXlsx(await edited(await bench.exportXlsx(), []));
    expect(await editsSinceHandOver()).toEqual({ edits: [] });
    const report = await bringBack(sheets, unwatched);
    expect(report).toMatchObject({ changed: [], foreign: [] });
    expect(all()).toEqual(before);
  });
});

describe("repair", () => {
  test("a stored spelling and a stuck #NAME? are entered anew", async () => {
    bench.setCells("Sheet1", { A1: "=_xldudf_SWARD_PACKS(7,2)", A2: "=1+1" });
    const repaired = await repairCalls(unwatched);
    expect(repaired.map(({ address }) => address)).toEqual(["A1"]);
    expect(bench.formula("Sheet1", "A1")).toBe("=SWARD.PACKS(7,2)");
    expect(bench.value("Sheet1", "A1")).toBe(4);
  });
});

test("a handed-over cell that shows #NAME? is no call of ours to enter again", async () => {
  bench.setCells("Sheet1", { A1: "=SWARD.PACKS(A2,2)", A2: "7" });
  await handOver(["Sheet1"], unwatched);
  bench.setCell("Sheet1", "A2", "=NO_SUCH_FUNCTION()");
  expect(await repairCalls(unwatched)).toEqual([]);
  expect(bench.formula("Sheet1", "A1")).toMatch(/^=CHOOSE/);
});

test("LibreOffice recalculates the handed-over zones after a row was inserted", async () => {
  bench.setCells("Sheet1", zones);
  await handOver(["Sheet1"], unwatched);
  const file = await edited(await bench.exportXlsx(), [
    ["insert", "Sheet1", 2, 1],
    ["set", "Sheet1", "B2", "5000"],
  ]);
  const cells = (await recalculate(file)).get("Sheet1");
  expect(cells?.[4]?.[3]).toBe(Math.ceil((5 * 7 + 4.2 * 4) / 25));
});
