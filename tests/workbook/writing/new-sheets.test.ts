/** A host that fails while sheets are added: ours go again, and a sheet of that name which somebody made stays. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { freeSheetName } from "../../../src/workbook/host/free-name";
import { withNewSheets } from "../../../src/workbook/writing/new-sheets";
import { asWork } from "../../../src/workbook/work/as-work";
import { openWorkbench } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const wanted = ["Site", "Bid"];
const add = () =>
  asWork({ work: "bid" }, (context, mark) =>
    withNewSheets(context, mark, {
      namesFor: (taken) => wanted.map((name) => freeSheetName(name, taken)),
      fill: () => Promise.resolve("filled"),
    }),
  );

/** Adds both while one operation of one request fails; answers whether it came to that, and with the sheets that are there. */
async function failing(batch: number, operation: number, theirs: boolean) {
  bench.reset();
  let failed = false;
  bench.disturb({
    between: (at) => {
      if (theirs && at === 2)
        bench.model.dispatch("CREATE_SHEET", { sheetId: "theirs", position: 0, name: "Bid" });
    },
    failsAt: (at, one) => {
      const fails = at === batch && one === operation;
      failed ||= fails;
      return fails;
    },
  });
  const outcome = await add().catch(() => "refused");
  bench.disturb();
  return { failed, outcome, sheets: bench.sheetNames() };
}

test("failing at any operation, with somebody's sheet of the same name or without", async () => {
  for (const theirs of [false, true]) {
    const before = theirs ? ["Bid", "Sheet1"] : ["Sheet1"];
    const ours = theirs ? ["Site", "Bid 2"] : wanted;
    let runs = 0;
    for (let [batch, isReached] = [1, true]; isReached; batch++) {
      for (let operation = 1; ; operation++) {
        const { failed, outcome, sheets } = await failing(batch, operation, theirs);
        // Where the other person has not come to it yet, there is nothing of theirs.
        const others = before.filter((name) => name !== "Bid" || sheets.includes("Bid"));
        expect(sheets, `at ${batch} ${operation}`).toEqual(
          outcome === "filled" ? [...before, ...ours] : others,
        );
        isReached = failed || operation > 1;
        if (!failed) break;
        runs++;
      }
    }
    expect(runs).toBeGreaterThan(20);
  }
});

test("two at once: the second is told to wait, and the first is done", async () => {
  bench.reset();
  const [first, second] = await Promise.allSettled([add(), add()]);
  expect(first.status).toBe("fulfilled");
  expect(second.status === "rejected" && String(second.reason)).toMatch(/is still going on: wait/);
  expect(bench.sheetNames()).toEqual(["Sheet1", ...wanted]);
});
