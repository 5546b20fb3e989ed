/** Stop is heard in every step of a hand-over and of a return, and leaves the workbook as it was. */
import { afterEach, beforeAll, expect, test, vi } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { listingWhat } from "../../../src/workbook/handover/handed-list";
import type { Progress } from "../../../src/workbook/host/progress";
import { Stopped } from "../../../src/workbook/host/progress";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

/** Enough that cells are written in more than one batch. */
const rows = 520;

function zones(): Record<string, string> {
  const cells: Record<string, string> = {};
  for (let row = 1; row <= rows; row++) {
    cells[`A${row}`] = String(1000 + row);
    cells[`B${row}`] = `=SWARD.SEED_WEIGHT(A${row},7)`;
  }
  return cells;
}

/** The work is so slow that every few pauses give way. */
function slowly(): void {
  let time = 0;
  vi.spyOn(performance, "now").mockImplementation(() => (time += 7));
}

afterEach(() => {
  vi.restoreAllMocks();
});

/** All that a hand-over touches: the sheets, what their cells hold and which of them are limited. */
const held = () =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    const read = worksheets.items.map((sheet) => {
      const cells = sheet.getRange(`A1:E${rows + 4}`);
      cells.load("formulas");
      const { dataValidation } = sheet.getRange(`A1:A${rows}`);
      dataValidation.load("type");
      return { sheet, cells, dataValidation };
    });
    await context.sync();
    return read.map(({ sheet: { name }, cells: { formulas }, dataValidation: { type } }) => ({
      name,
      type,
      formulas: formulas as unknown[][],
    }));
  });

/** Remembers which steps told of themselves. */
function told(): { readonly progress: Progress; readonly steps: ReadonlySet<string> } {
  const steps = new Set<string>();
  const report = (_done: number, _total: number, what: string) => steps.add(what);
  return { progress: { report, stopped: false }, steps };
}

/** Stops as soon as a step has come so far. */
function stoppingAt(step: string, far: number): Progress {
  let stopped = false;
  return {
    report: (done, _total, what) => (stopped ||= what === step && done >= far),
    get stopped() {
      return stopped;
    },
  };
}

test("stopped in any of its steps, each way leaves everything as it was", async () => {
  bench.reset([{ name: "Zones" }]);
  bench.setCells("Zones", zones());
  slowly();
  for (const [work, leastSteps] of [
    [handOver, 6],
    [bringBack, 3],
  ] as const) {
    const before = await held();
    const whole = told();
    await work(["Zones"], whole.progress);
    const after = await held();
    expect(whole.steps.size).toBeGreaterThanOrEqual(leastSteps);
    await (work === handOver ? bringBack : handOver)(["Zones"], unwatched);
    expect(await held()).toEqual(before);
    // The list of what was typed is stopped once more when its first lines are written.
    const points = [...whole.steps].map((step) => [step, 0] as const);
    for (const [step, far] of work === handOver ? [...points, [listingWhat, 500] as const] : points) {
      await expect(work(["Zones"], stoppingAt(step, far)), step).rejects.toBeInstanceOf(Stopped);
      expect(await held(), step).toEqual(before);
    }
    await work(["Zones"], unwatched);
    expect(await held()).toEqual(after);
  }
});
