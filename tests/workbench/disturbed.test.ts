/** A host that fails inside a batch, and another person who edits between two of them. */
import { beforeAll, beforeEach, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => {
  bench.disturb();
  bench.reset();
});

/** Three cells in one batch, each looked at before it is written; answers with what was seen by then. */
const threeCells = async (): Promise<unknown[]> => {
  const seen: Excel.Range[] = [];
  await Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem("Sheet1");
    for (const address of ["A1", "A2", "A3"]) {
      const before = sheet.getRange(address);
      before.load("values");
      seen.push(before);
      sheet.getRange(address).values = [["ours"]];
    }
    await context.sync();
  }).catch(() => undefined);
  return seen.map((range) => {
    try {
      return range.values[0]?.[0] as unknown;
    } catch {
      return "not told";
    }
  });
};

const column = () => ["A1", "A2", "A3"].map((address) => bench.value("Sheet1", address));

it("does the operations before the one it fails at, and answers them", async () => {
  const outcomes: string[] = [];
  for (let operation = 1; operation < 60; operation++) {
    bench.reset();
    let failed = false;
    bench.disturb({ failsAt: (batch, at) => (failed ||= batch === 1 && at === operation) });
    const seen = await threeCells();
    bench.disturb();
    const done = column().filter((one) => one === "ours").length;
    outcomes.push(`${done} written`);
    // What stood in a cell that was written is always told.
    expect(seen.filter((one) => one === "").length).toBeGreaterThanOrEqual(done);
    if (!failed) break;
  }
  expect([...new Set(outcomes)]).toEqual(["0 written", "1 written", "2 written", "3 written"]);
});

it("lets another person edit before each batch", async () => {
  bench.disturb({
    between: (batch) => {
      if (batch === 1) bench.setCell("Sheet1", "A2", "theirs");
    },
  });
  expect(await threeCells()).toEqual(["", "theirs", ""]);
});
