/** What a hand-over and a return wrote is what then stands there: in cells formatted as text, and in tables that fill. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { host, openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: host({ calculatedColumns: true }) });
});

const inSheet = (work: (sheet: Excel.Worksheet) => void): Promise<void> =>
  Excel.run(async (context) => {
    work(context.workbook.worksheets.getItem("Sheet1"));
    await context.sync();
  });

/** What the cells hold, and whether it is alive: a formula in a text cell shows itself. */
const held = () =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem("Sheet1").getRange("A1:E8");
    range.load("formulas,numberFormat,values");
    await context.sync();
    const dead = (range.values as unknown[][]).map((row, i) =>
      row.map(
        (value, j) => typeof value === "string" && value.startsWith("=") && value === range.formulas[i]?.[j],
      ),
    );
    return JSON.stringify([range.formulas, range.numberFormat, dead]);
  });

/** Formulas that were alive before their cells became text cells, one under another and apart. */
async function textCells(): Promise<void> {
  bench.reset();
  bench.setCells("Sheet1", {
    A1: "1500",
    A2: "2500",
    B1: "=SWARD.PACKS(A1,1000)",
    B2: "=SWARD.PACKS(A2,1000)",
    B3: "=SWARD.PACKS(A1+A2,1000)",
    D1: "=SWARD.SEED_WEIGHT(A1,7)",
    D3: "007",
  });
  await inSheet((sheet) => {
    sheet.getRange("B2:B3").numberFormat = [["@"], ["@"]];
    sheet.getRange("D1").numberFormat = [["@"]];
  });
  await bench.calculated();
}

/** A table whose column holds calls of ours and a formula of another's among them. */
async function filledColumn(): Promise<void> {
  bench.reset();
  const rows = [2, 3, 4, 5, 6];
  bench.setCells("Sheet1", {
    A1: "Zone",
    B1: "Area",
    C1: "Packs",
    ...Object.fromEntries(
      rows.flatMap((row) => [
        [`A${row}`, `zone ${row}`],
        [`B${row}`, String(row * 1000)],
      ]),
    ),
    ...Object.fromEntries(rows.map((row) => [`C${row}`, `=SWARD.PACKS(B${row},500)`])),
    C4: "=B4/250",
  });
  await inSheet((sheet) => {
    sheet.tables.add("A1:C6", true);
  });
  await bench.calculated();
}

const books = [
  ["text cells", textCells],
  ["a column that fills", filledColumn],
] as const;

test.each(books)("%s: handed over, worked out, and back as they were", async (_, write) => {
  await write();
  const before = await held();
  const report = await handOver(["Sheet1"], unwatched);
  expect(report).toMatchObject({ converted: 4, putBack: [], stopped: [] });
  const handed = await held();
  expect(handed).not.toContain("true");
  expect(handed.match(/=CHOOSE/g)).toHaveLength(4);
  expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 4, changed: [], foreign: [] });
  expect(await held()).toBe(before);
});

test("whatever request fails, as before", async () => {
  await filledColumn();
  bench.setCells("Sheet1", { E8: "=SWARD.SEED_WEIGHT(B2,7)" });
  await inSheet((sheet) => {
    sheet.getRange("E8").numberFormat = [["@"]];
  });
  for (const work of [handOver, bringBack]) {
    await bench.calculated();
    const copy = bench.copy();
    const before = await held();
    for (let batch = 1, failed = true; failed; batch++) {
      bench.open(copy);
      await bench.calculated();
      bench.failAt(batch);
      failed = await work(["Sheet1"], unwatched).then(
        () => false,
        () => true,
      );
      bench.clearFail();
      await bench.calculated();
      if (failed) expect(await held(), `${work.name} ${batch}`).toBe(before);
    }
  }
});

test("a formula that someone edited in a column that fills stays as it is", async () => {
  await filledColumn();
  await handOver(["Sheet1"], unwatched);
  const carrier = bench.formula("Sheet1", "C3") ?? "";
  const others = ["C2", "C4", "C5", "C6"].map((cell) => bench.formula("Sheet1", cell));
  await inSheet((sheet) => {
    sheet.getRange("C2:C6").formulas = [
      others[0],
      carrier.replace("ROUNDUP", "ROUNDDOWN"),
      ...others.slice(1),
    ].map((one) => [one]);
  });
  const report = await bringBack(["Sheet1"], unwatched);
  expect(report.restored).toBe(3);
  expect(report.changed.map(({ address }) => address)).toEqual(["C3"]);
  expect(["C2", "C4", "C5", "C6"].map((cell) => bench.formula("Sheet1", cell))).toEqual([
    "=SWARD.PACKS(B2,500)",
    "=B4/250",
    "=SWARD.PACKS(B5,500)",
    "=SWARD.PACKS(B6,500)",
  ]);
  expect(bench.formula("Sheet1", "C3")).toMatch(/^=CHOOSE\(1,[^]*ROUNDDOWN/);
});
