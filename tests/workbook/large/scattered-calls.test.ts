/** Calls that stand apart from each other: each is a range of its own in a request, and must not be told all at once. */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import { openWorkbench, unwatched } from "../../support/built-workbench";

const mostBytes = 4_000_000;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { payloads: true, limits: true, calculatedColumns: true } });
});

const forget = () => Object.assign(bench.traffic, { request: 0, response: 0 });
const expectSmall = () => {
  expect(bench.traffic.request).toBeLessThan(mostBytes);
  expect(bench.traffic.response).toBeLessThan(mostBytes);
};

/** A call in every so many rows, the first in row 2, each of the one rate that stands in D1. */
function apart(calls: number, step: number, spelled = "SWARD.SEED_WEIGHT"): Record<string, string> {
  const content: Record<string, string> = {
    A1: "Area (ft2)",
    B1: "Seed (lb)",
    C1: "Seeding rate, lb per 1000 ft²",
    D1: "7",
  };
  for (let i = 0; i < calls; i++) {
    const row = 2 + i * step;
    content[`A${row}`] = String(1000 + i);
    content[`B${row}`] = `=${spelled}(A${row},$D$1)`;
  }
  return content;
}
const open = (content: Record<string, string>) => {
  bench.reset([{ name: "Zones" }]);
  bench.setCells("Zones", content);
  forget();
};
const stored = "_xldudf_SWARD_SEED_WEIGHT";

describe("6,000 cells with a blank row after each", () => {
  test("are repaired in requests that a host takes", async () => {
    open(apart(6000, 2, stored));
    expect((await repairCalls(unwatched)).length).toBe(6000);
    expectSmall();
    expect(bench.formula("Zones", "B12000")).toBe("=SWARD.SEED_WEIGHT(A12000,$D$1)");
    // 7 lb on a thousand square feet.
    expect(bench.value("Zones", "B12000")).toBeCloseTo((6999 * 7) / 1000, 9);
  });
});

test("5,000 cells far from each other are checked again after the rate that all of them read has changed", async () => {
  open(apart(5000, 10));
  const checks = await WorkbookChecks.start(unwatched);
  forget();
  bench.setCell("Zones", "D1", "70");
  expect(await checks.recheck([{ sheet: "Zones", top: 0, bottom: 0, left: 3, right: 3 }], unwatched)).toBe(
    true,
  );
  expectSmall();
  // Each of the cells was read again, with its value.
  expect(bench.traffic.response).toBeGreaterThan(10_000);
});

test("cells of one column of a table, with others between, are repaired together", async () => {
  open({
    A1: "Area",
    B1: "Seed",
    C1: "Bags",
    ...Object.fromEntries(
      [2, 3, 4, 5].flatMap((row) => [
        [`A${row}`, String(1000 * row)],
        [`B${row}`, row === 3 ? "=SWARD.SEED_WEIGHT(A3,7)" : `=${stored}(A${row},7)`],
        [`C${row}`, row === 5 ? "=_xldudf_SWARD_PACKS(B5,25)" : `=SWARD.PACKS(B${row},25)`],
      ]),
    ),
  });
  await Excel.run(async (context) => {
    context.workbook.worksheets.getItem("Zones").tables.add("A1:C5", true).name = "Lawns";
    await context.sync();
  });
  const repaired = (await repairCalls(unwatched)).map(({ address }) => address);
  // Bags of a weight that shows #NAME? show it too.
  expect(repaired.sort()).toEqual(["B2", "B4", "B5", "C2", "C4", "C5"]);
  expect([2, 3, 4, 5].map((row) => bench.value("Zones", `B${row}`))).toEqual([14, 21, 28, 35]);
  expect(bench.value("Zones", "C5")).toBe(2);
});
