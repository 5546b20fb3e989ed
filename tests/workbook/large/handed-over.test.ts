/**
 * Handing over and bringing back what has much beside its cells: every message stays far below what a host refuses, so
 * that it also does with many times as many.
 */
import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";

const mostBytes = 1_000_000;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { payloads: true, limits: true } });
});
beforeEach(() => bench.reset([{ name: "Zones" }]));

const rows = (count: number, cells: (row: number) => Record<string, string>): Record<string, string> =>
  Object.assign({}, ...Array.from({ length: count }, (_, i) => cells(i + 1))) as Record<string, string>;

async function thereAndBack(count: number): Promise<void> {
  Object.assign(bench.traffic, { request: 0, response: 0 });
  expect(await handOver(["Zones"], unwatched)).toMatchObject({ converted: count, putBack: [], stopped: [] });
  expect(await bringBack(["Zones"], unwatched)).toMatchObject({ restored: count, changed: [], foreign: [] });
  expect(bench.traffic.request).toBeLessThan(mostBytes);
  expect(bench.traffic.response).toBeLessThan(mostBytes);
}

test("limits of two inputs side by side, down 2,000 rows", async () => {
  bench.setCells(
    "Zones",
    rows(2000, (row) => ({
      [`A${row}`]: String(1000 + row),
      [`B${row}`]: "7",
      [`C${row}`]: `=SWARD.SEED_WEIGHT(A${row},B${row})`,
    })),
  );
  let requests = 0;
  bench.disturb({ between: () => void requests++ });
  await thereAndBack(2000);
  bench.disturb();
  // Some for every 500 cells that are written, asked after and proven; not one for every row.
  expect(requests).toBeLessThan(200);
});

test("inputs with a limit in every other row", async () => {
  bench.setCells(
    "Zones",
    rows(1040, (row) =>
      row % 2 === 0 ? {} : { [`A${row}`]: String(1000 + row), [`B${row}`]: `=SWARD.PACKS(A${row},25)` },
    ),
  );
  await thereAndBack(520);
});

test("a comment on every row", async () => {
  bench.setCells(
    "Zones",
    rows(1000, (row) => ({ [`A${row}`]: String(row), [`C${row}`]: `=SWARD.PACKS(A${row},25)` })),
  );
  await Excel.run(async (context) => {
    for (let row = 1; row <= 1000; row++) {
      context.workbook.comments.add(`Zones!A${row}`, `measured with the wheel, row ${row}`);
      if (row % 500 === 0) await context.sync();
    }
  });
  await thereAndBack(1000);
});
