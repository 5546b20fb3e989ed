/**
 * Ratios, measured in one run: a sheet of 10,000 calls recalculated with our functions against the same sheet handed
 * over with and without its originals, and a hand-over of 10,000 calls against bringing them back, with the time that a thousand calls take.
 */
import { beforeAll, bench, describe } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { bringBack } from "../../src/workbook/handover/bring-back";
import { handOver } from "../../src/workbook/handover/hand-over";
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
  workbench.reset([{ name: "Functions" }, { name: "Native" }, { name: "Short" }]);
  for (const sheet of workbench.sheetNames()) workbench.setCells(sheet, cells());
  await handOver(["Native"], unwatched);
  await handOver(["Short"], unwatched, "short native formulas");
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
  bench("as native formulas that carry their originals", () => recalculate("Native"), {
    iterations: 20,
    warmupIterations: 3,
    time: 0,
  });
  bench("as the native formulas alone", () => recalculate("Short"), {
    iterations: 20,
    warmupIterations: 3,
    time: 0,
  });
});

function oneSheet(): void {
  workbench.reset([{ name: "There and back" }]);
  workbench.setCells("There and back", cells());
}

/** They take turns: what the first has done the second undoes. */
const directions = [
  { name: "handed over", work: handOver, setup: oneSheet },
  { name: "brought back", work: bringBack, setup: () => undefined },
] as const;

describe("10,000 calls there and back", () => {
  for (const { name, work, setup } of directions) {
    bench(
      name,
      async () => {
        const begun = performance.now();
        await work(["There and back"], unwatched);
        const perThousand = ((performance.now() - begun) * 1000) / rows;
        console.log(`${name}: ${Math.round(perThousand)} ms for a thousand calls`);
      },
      { iterations: 1, warmupIterations: 0, warmupTime: 0, time: 0, setup },
    );
  }
});
