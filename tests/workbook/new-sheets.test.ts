/** A host that fails while sheets are added: ours go again, and a sheet of that name which somebody made stays. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { withNewSheets } from "../../src/workbook/new-sheets";
import { openWorkbench } from "../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const wanted = ["Site", "Bid"];
const add = () =>
  Excel.run((context) =>
    withNewSheets(
      context,
      () => wanted,
      () => Promise.resolve("filled"),
    ),
  );

test("failing at any operation, with somebody's sheet of the same name or without", async () => {
  for (const theirs of [false, true]) {
    let [failed, runs] = [true, 0];
    for (let operation = 1; failed; operation++) {
      bench.reset();
      failed = false;
      bench.disturb({
        between: (batch) => {
          if (theirs && batch === 2)
            bench.model.dispatch("CREATE_SHEET", { sheetId: "theirs", position: 0, name: "Bid" });
        },
        failsAt: (batch, at) => {
          const fails = batch === 2 && at === operation;
          failed ||= fails;
          return fails;
        },
      });
      const outcome = await add().catch(() => "refused");
      bench.disturb();
      const before = theirs ? ["Bid", "Sheet1"] : ["Sheet1"];
      expect(bench.sheetNames(), `at ${operation}`).toEqual(
        outcome === "filled" ? [...before, ...wanted] : before,
      );
      runs++;
    }
    expect(runs).toBeGreaterThan(4);
  }
});

test("two at once: the second is told to wait, and the first is done", async () => {
  bench.reset();
  const [first, second] = await Promise.allSettled([add(), add()]);
  expect(first.status).toBe("fulfilled");
  expect(second.status === "rejected" && String(second.reason)).toMatch(/still adding sheets: wait/);
  expect(bench.sheetNames()).toEqual(["Sheet1", ...wanted]);
});
