/**
 * Ratios, measured in one run: a sheet of 10,000 calls recalculated with our functions against the same sheet handed
 * over, and a hand-over of 10,000 calls against bringing them back.
 */
import { beforeAll, bench, describe } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { bringBack, handOver } from "../../src/workbook/handover";
import { openWorkbench, unwatched } from "../support/built-workbench";

const rows = 10_000;

function cells(): Record<string, string> {
  const content: Record<string, string> = { D1: "7" };
  for (let row = 1; row <= rows; row++) {
    content[`A${row}`] = String(1000 + row);
    content[`B${row}`] = `=SWARD.SEED_WEIGHT(A${row},$D$1)`;
  }
  return content;
}

let workbench: Workbench;
let rate = 7;

beforeAll(async () => {
  workbench = await openWorkbench();
  workbench.reset([{ name: "Functions" }, { name: "Native" }, { name: "Both ways" }]);
  for (const sheet of workbench.sheetNames()) workbench.setCells(sheet, cells());
  await handOver(["Native"], unwatched);
}, 120_000);

function recalculate(sheet: string): void {
  workbench.setCell(sheet, "D1", String(++rate));
  workbench.value(sheet, `B${rows}`);
}

describe("10,000 rows recalculated", () => {
  bench("with our functions", () => recalculate("Functions"), {
    iterations: 20,
    warmupIterations: 3,
    time: 0,
  });
  bench("as native formulas", () => recalculate("Native"), { iterations: 20, warmupIterations: 3, time: 0 });
});

describe("10,000 calls there and back", () => {
  bench(
    "handed over and brought back",
    async () => {
      await handOver(["Both ways"], unwatched);
      await bringBack(["Both ways"], unwatched);
    },
    { iterations: 2, warmupIterations: 0, time: 0 },
  );
});
