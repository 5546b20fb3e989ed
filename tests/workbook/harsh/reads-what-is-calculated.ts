/**
 * Whatever the pane reads is read as it is once everything is calculated: not while an answer is owed, and not as it
 * was before an edit that manual calculation has not followed.
 */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Harshness, Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { runningEdition } from "../../../src/workbook/formulas/edition";
import { explainSelectedCell } from "../../../src/workbook/formulas/explain";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { readAddress } from "../../../src/workbook/own-sheets/put";
import { qualified } from "../../../src/workbook/host/reference";
import { readSelection } from "../../../src/workbook/host/selection";
import type { Cell } from "../../support/bid-cells";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Job } from "../../support/jobs";
import { jobs } from "../../support/jobs";

/** 17 August 2026, as a sheet counts days. */
const today = 46_251;

interface Read {
  readonly what: string;
  /** Is given a cell that calls one of our functions. */
  readonly of: (call: Cell) => Promise<unknown>;
}

const reads: readonly Read[] = [
  { what: "the checks", of: async () => (await WorkbookChecks.start(unwatched, today)).findings },
  { what: "the list of calls", of: () => listCalls(unwatched) },
  { what: "the selected cell explained", of: () => explainSelectedCell() },
  { what: "the selection", of: () => readSelection() },
  { what: "a cell by its address", of: (call) => readAddress(qualified(call)) },
];

const ofBids: readonly Read[] = [{ what: "the drawings' figures", of: () => readBid(undefined) }];

/** Everything a sheet shows, the price among it. */
const shown = (bench: Workbench): Record<string, unknown> =>
  Object.fromEntries(
    bench.sheetNames().flatMap((sheet) =>
      Array.from({ length: 60 }, (_, row) => [..."ABCDEFGHIJKLMNOPQR"].map((column) => `${column}${row + 1}`))
        .flat()
        .map((cell) => [`${sheet}!${cell}`, bench.value(sheet, cell)] as const),
    ),
  );

/** A native form may round the last figures otherwise. */
const differs = (a: unknown, b: unknown): boolean =>
  typeof a === "number" && typeof b === "number" ? Math.abs(a - b) > 1e-9 * Math.abs(a) : a !== b;

export function readsWhatIsCalculated(harshness: Partial<Harshness>): void {
  let bench: Workbench;
  let bid: BidCells;
  beforeAll(async () => {
    bench = await openWorkbench({ harshness });
    bid = new BidCells(bench);
  });

  /** Edits while the answers are held, and lets them go once the work has begun. */
  async function early<T>(edit: () => void, work: () => Promise<T>): Promise<T> {
    bench.situation.answersHeld = true;
    edit();
    const asked = work();
    // Should it fail before the answers come, that is told where it is awaited.
    asked.catch(() => undefined);
    await new Promise((resolve) => setTimeout(resolve, 40));
    bench.situation.answersHeld = false;
    return asked;
  }

  async function write(job: Job): Promise<void> {
    bench.situation.answersHeld = false;
    bench.reset();
    await job.write(bench);
    await bench.calculated();
    const { sheet, address } = job.call(bid);
    bench.select(sheet, address);
  }

  describe.each(jobs)("$name", (job) => {
    let edited: Cell;
    let content: string;
    let call: Cell;
    const edit = () => bench.setCell(edited.sheet, edited.address, job.content);
    beforeAll(async () => {
      await write(job);
      [edited, call] = [job.edit(bid), job.call(bid)];
      content = String(bench.value(edited.sheet, edited.address));
    });
    beforeEach(async () => {
      bench.situation.answersHeld = false;
      bench.setCell(edited.sheet, edited.address, content);
      await bench.calculated();
    });

    test.each([...reads, ...(job.isBid ? ofBids : [])])("$what", async ({ of }) => {
      const before = await of(call);
      const read = await early(edit, () => of(call));
      await bench.calculated();
      expect(read).toEqual(await of(call));
      expect(read).not.toEqual(before);
      expect(JSON.stringify(read)).not.toContain("BUSY");
    });

    test("the sheet handed over", async () => {
      const handed = call.sheet;
      const { converted, putBack } = await early(edit, () => handOver([handed], unwatched));
      await bench.calculated();
      const kept = shown(bench);
      expect(converted).toBeGreaterThan(0);
      expect(putBack).toEqual([]);
      // The same workbook, calculated before anything is asked of it.
      await write(job);
      edit();
      await bench.calculated();
      const calculated = shown(bench);
      const differing = Object.keys(calculated).filter(
        (place) => place.startsWith(`${handed}!`) && differs(calculated[place], kept[place]),
      );
      expect(differing).toEqual([]);
    });
  });

  test("the edition", async () => {
    bench.reset();
    bench.situation.answersHeld = true;
    bench.setCell("Sheet1", "A1", "=SWARD.EDITION()");
    const asked = runningEdition();
    await new Promise((resolve) => setTimeout(resolve, 40));
    bench.situation.answersHeld = false;
    expect(await asked).toMatch(/^\d+\.\d+\.\d+$/);
  });

  test("the real losses that are carried back", async () => {
    const [sample] = jobs;
    if (sample !== undefined) await write(sample);
    bid.fill(screened, "topdress", { opened: "200" });
    bid.fill(taken, "topdress", { taken: "3" });
    // 200 ft3 opened, 50 ft3 left on the screen; topdressing 7,882 ft2 took the crew of two 3 hours.
    const screenOut = () => bid.fill(screened, "topdress", { screenedOut: "50" });
    const carried = await early(screenOut, () => carryReview());
    expect(carried.map(({ sheet, name, now }) => [sheet, name, Number(now.toFixed(4))])).toEqual([
      ["Materials", "Screened peat blend", 0.25],
      ["Order", "Topdressing", Number((7882 / 6).toFixed(4))],
    ]);
  });
}
