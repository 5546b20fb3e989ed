/**
 * Long work gives way after so many cells at the most, and after a stop does no more than that. Cells are counted, not
 * time: a slice ends after a few milliseconds, or after one piece of the work where that takes longer.
 */
import { afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { editsSinceHandOver } from "../../../src/workbook/handover/sheet-states";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import type { Progress } from "../../../src/workbook/host/progress";
import { Stopped } from "../../../src/workbook/host/progress";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import type * as Sheets from "../../../src/workbook/host/sheets";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { zonesOfCalls, zonesWithoutCalls } from "../../support/many-calls";
import { counting, countedSheets, slowClock } from "../../support/slices";
import { addAll } from "../own-sheets/add-all";

vi.mock(import("../../../src/workbook/host/sheets"), async (original): Promise<typeof Sheets> => {
  const actual = await original();
  return {
    ...actual,
    readSheets: async (...given) => countedSheets(await actual.readSheets(...given)),
    readCalculatedSheets: async (...given) => countedSheets(await actual.readCalculatedSheets(...given)),
  };
});

/** Calls, in rows of five; a sheet of them has 2,700 cells, each of them read at least twice. */
const calls = 1500;
const leastRead = 5000;
/** So many readings of cells a slice may have, which is a few hundred cells looked at from several sides. */
const mostRead = 4000;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
afterEach(() => {
  vi.restoreAllMocks();
});

type Work = (progress: Progress) => Promise<unknown>;
interface Long {
  readonly name: string;
  readonly content?: () => Record<string, string>;
  readonly before?: () => Promise<unknown>;
  readonly work: Work;
}

const stored = (content: Record<string, string>) =>
  Object.fromEntries(
    Object.entries(content).map(([at, text]) => [at, text.replace("=SWARD.", "=_xldudf_SWARD_")]),
  );
const zones = ["Zones"];
let checks: WorkbookChecks;
const works: readonly Long[] = [
  { name: "a full check", work: (progress) => WorkbookChecks.start(progress) },
  { name: "the list of calls", work: (progress) => listCalls(progress) },
  {
    name: "columns beside a table",
    content: () => zonesWithoutCalls(calls),
    work: (progress) => addAll(bench, "Zones", `A${calls}`, progress),
  },
  { name: "a repair", content: () => stored(zonesOfCalls(calls)), work: (progress) => repairCalls(progress) },
  { name: "a hand-over", work: (progress) => handOver(zones, progress) },
  {
    name: "what was changed since",
    before: () => handOver(zones, unwatched),
    work: (progress) => editsSinceHandOver(progress),
  },
  {
    name: "a return",
    before: () => handOver(zones, unwatched),
    work: (progress) => bringBack(zones, progress),
  },
];

async function prepare({ content = () => zonesOfCalls(calls), before }: Long): Promise<void> {
  vi.restoreAllMocks();
  bench.reset([{ name: "Zones" }]);
  bench.setCells("Zones", content());
  await before?.();
  slowClock();
}

describe.each(works)("$name", (long) => {
  test("gives way every few hundred cells", async () => {
    await prepare(long);
    const { all, most, outcome } = await counting(long.work);
    expect(outcome).not.toBeInstanceOf(Error);
    expect(all).toBeGreaterThan(leastRead);
    expect(most).toBeLessThan(mostRead);
  });

  test.each([2, 30])("stopped at its pause %i, does no more than a slice", async (at) => {
    await prepare(long);
    const { outcome, afterStop } = await counting(long.work, at);
    expect(outcome).toBeInstanceOf(Stopped);
    expect(afterStop).toBeLessThan(mostRead);
  });
});

test("the check of what one edit touches gives way as often", async () => {
  await prepare({ name: "", work: () => Promise.resolve(), content: () => sharedRate(calls) });
  checks = await WorkbookChecks.start(unwatched);
  bench.setCell("Zones", "D1", "8");
  const edited = [{ sheet: "Zones", top: 0, bottom: 0, left: 3, right: 3 }];
  const { turns, outcome } = await counting((progress) => checks.recheck(edited, progress));
  expect(outcome).toBe(true);
  expect(turns).toBeGreaterThan(calls / 20);
});

/** Every call reads the one rate in D1. */
const sharedRate = (many: number): Record<string, string> => ({
  D1: "7",
  ...Object.fromEntries(
    Array.from({ length: many }, (_, i) => [
      [`A${i + 1}`, `${1000 + i}`],
      [`B${i + 1}`, `=SWARD.SEED_WEIGHT(A${i + 1},$D$1)`],
    ]).flat() as [string, string][],
  ),
});
