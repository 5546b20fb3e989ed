/** Text that a person typed after an apostrophe looks like a formula when it is read: every reader leaves it alone. */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { explainSelectedCell } from "../../../src/workbook/formulas/explain";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { sheetStates } from "../../../src/workbook/handover/sheet-states";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import type { Cell } from "../../support/bid-cells";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { jobs } from "../../support/jobs";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const today = 46_251;

/** Typed to the right of everything, where no table reaches. */
const typed = {
  AK3: "'=SWARD.PACKS(1,2)",
  AK4: "'=SWARD.SEED_WEIGHT(B2,",
  AK5: "'=_xldudf_SWARD_PACKS(1,2)",
  AK6: "'=1+1",
  AK7: "'=SWARD.GEO_AREA(A1:B4)",
} as const;

const counts = async () => ({
  listed: (await listCalls(unwatched)).map(({ sheet, calls }) => `${sheet} ${calls}`),
  states: (await sheetStates()).map(({ name, calls }) => `${name} ${calls}`),
  found: (await WorkbookChecks.start(unwatched, today)).findings.map(
    ({ check, sheet, address }) => `${check.id} ${sheet} ${address}`,
  ),
});

describe.each(jobs)("$name", (job) => {
  let call: Cell;
  const held = () =>
    Object.keys(typed).map(
      (cell) => [bench.formula(call.sheet, cell), bench.value(call.sheet, cell)] as const,
    );
  const asTyped = Object.values(typed).map((text) => [null, text.slice(1)] as const);

  beforeAll(async () => {
    bench.reset();
    await job.write(bench);
    await bench.calculated();
    call = job.call(new BidCells(bench));
  });

  test("lists, checks and states are as without it", async () => {
    const before = await counts();
    bench.setCells(call.sheet, typed);
    await bench.calculated();
    expect(await counts()).toEqual(before);
  });

  test("it is explained as text, and a formula is explained", async () => {
    bench.select(call.sheet, "AK3");
    expect(await explainSelectedCell()).toMatchObject({ calls: [], native: null });
    bench.select(call.sheet, call.address);
    expect((await explainSelectedCell()).calls.length).toBeGreaterThan(0);
  });

  test("it is not repaired", async () => {
    expect(await repairCalls(unwatched)).toEqual([]);
    expect(held()).toEqual(asTyped);
  });

  test("it stays text when the sheet is handed over and brought back", async () => {
    const { stopped, putBack } = await handOver([call.sheet], unwatched);
    expect([...stopped, ...putBack]).toEqual([]);
    expect(held()).toEqual(asTyped);
    await bringBack([call.sheet], unwatched);
    expect(held()).toEqual(asTyped);
    await bench.calculated();
    expect(bench.formula(call.sheet, call.address)).toContain("SWARD.");
  });
});
