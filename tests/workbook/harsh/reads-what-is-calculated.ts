/**
 * Whatever the pane reads is read as it is once everything is calculated: not while an answer is owed, and not as it
 * was before an edit that manual calculation has not followed.
 */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Harshness, Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { runningEdition } from "../../../src/workbook/formulas/edition";
import { explainSelectedCell } from "../../../src/workbook/formulas/explain";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { readAddress } from "../../../src/workbook/own-sheets/put";
import { readSelection } from "../../../src/workbook/host/selection";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Job } from "../../support/jobs";
import { jobs } from "../../support/jobs";

/** 17 August 2026, as a sheet counts days. */
const today = 46_251;

interface Read {
  readonly what: string;
  readonly of: (job: Job) => Promise<unknown>;
}

const reads: readonly Read[] = [
  { what: "the checks", of: async () => (await WorkbookChecks.start(unwatched, today)).findings },
  { what: "the list of calls", of: () => listCalls(unwatched) },
  { what: "the selected cell explained", of: () => explainSelectedCell() },
  { what: "the selection", of: () => readSelection() },
  { what: "a cell by its address", of: ({ call: [sheet, cell] }) => readAddress(`${sheet}!${cell}`) },
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
  beforeAll(async () => {
    bench = await openWorkbench({ harshness });
  });

  /** Edits while the answers are held, and lets them go once the work has begun. */
  async function early<T>([sheet, cell, content]: Job["edit"], work: () => Promise<T>): Promise<T> {
    bench.situation.answersHeld = true;
    bench.setCell(sheet, cell, content);
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
    bench.select(...job.call);
  }

  describe.each(jobs)("$name", (job) => {
    const [sheet, cell] = job.edit;
    let content: string;
    beforeAll(async () => {
      await write(job);
      content = String(bench.value(sheet, cell));
    });
    beforeEach(async () => {
      bench.situation.answersHeld = false;
      bench.setCell(sheet, cell, content);
      await bench.calculated();
    });

    test.each([...reads, ...(job.isBid ? ofBids : [])])("$what", async ({ of }) => {
      const before = await of(job);
      const read = await early(job.edit, () => of(job));
      await bench.calculated();
      expect(read).toEqual(await of(job));
      expect(read).not.toEqual(before);
      expect(JSON.stringify(read)).not.toContain("BUSY");
    });

    test("the sheet handed over", async () => {
      const [handed] = job.call;
      const { converted, putBack } = await early(job.edit, () => handOver([handed], unwatched));
      await bench.calculated();
      const kept = shown(bench);
      expect(converted).toBeGreaterThan(0);
      expect(putBack).toEqual([]);
      // The same workbook, calculated before anything is asked of it.
      await write(job);
      bench.setCell(...job.edit);
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
    bench.setCells("Review", { C16: "200", D25: "3" });
    // 200 ft3 opened, 50 ft3 left on the screen; topdressing 7,882 ft2 took the crew of two 3 hours.
    const carried = await early(["Review", "D16", "50"], () => carryReview());
    expect(carried.map(({ sheet, name, now }) => [sheet, name, Number(now.toFixed(4))])).toEqual([
      ["Materials", "Screened peat blend", 0.25],
      ["Order", "Topdressing", Number((7882 / 6).toFixed(4))],
    ]);
  });
}
