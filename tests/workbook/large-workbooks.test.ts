/** Large workbooks: every message stays well below what a host refuses, and the work gives way and can be stopped. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { WorkbookChecks } from "../../src/workbook/checks/run-checks";
import { putOnSheet } from "../../src/workbook/checks/list-sheet";
import { listCalls } from "../../src/workbook/own-sheets/list-calls";
import { repairCalls } from "../../src/workbook/own-sheets/repair";
import { readSheets } from "../../src/workbook/host/sheets";
import { openWorkbench, unwatched } from "../support/built-workbench";
import { zonesOfCalls, zonesWithoutCalls } from "../support/many-calls";
import { addAll } from "./own-sheets/add-all";

const mostBytes = 4_000_000;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { payloads: true, limits: true } });
});

const open = (content: Record<string, string>) => {
  bench.reset([{ name: "Zones" }]);
  bench.setCells("Zones", content);
  Object.assign(bench.traffic, { request: 0, response: 0 });
};
const expectSmall = () => {
  expect(bench.traffic.request).toBeLessThan(mostBytes);
  expect(bench.traffic.response).toBeLessThan(mostBytes);
};

/** Counts the turns of the event loop that come through while work goes on, and where the work told how far it is. */
async function turnsDuring(work: () => Promise<unknown>): Promise<number> {
  let [turns, isOver] = [0, false];
  const turn = () => {
    turns++;
    if (!isOver) setTimeout(turn, 0);
  };
  setTimeout(turn, 0);
  await work();
  isOver = true;
  return turns;
}

describe("50,000 calls", () => {
  beforeAll(() => open(zonesOfCalls(50_000)));

  test("are read in answers that a host gives, whole and in order", async () => {
    const [sheet] = await Excel.run((context) => readSheets(context));
    expectSmall();
    expect(sheet?.rows.length).toBe(10_001);
    for (const row of [1, 444, 445, 2222, 9999, 10_000]) {
      expect(sheet?.rows[row]?.[0]?.formula).toBe(`Zone ${row + 1}`);
      expect(sheet?.rows[row]?.[1]?.value).toBe(1001 + row);
      expect(sheet?.rows[row]?.[3]?.formula).toBe(`=SWARD.SEED_WEIGHT(B${row + 1},C${row + 1})`);
      // 7 lb on a thousand square feet.
      expect(sheet?.rows[row]?.[3]?.value).toBeCloseTo(((1001 + row) * 7) / 1000, 9);
    }
  });

  test("are listed and repaired in pieces that give way", async () => {
    expect(await turnsDuring(() => listCalls(unwatched))).toBeGreaterThan(20);
    const { 0: zones } = await listCalls(unwatched);
    expect(zones?.calls).toBe(50_000);
    expect(await repairCalls(unwatched)).toEqual([]);
    expectSmall();
  });

  test("are checked in pieces that give way, and the list of what was found is as long as it needs to be", async () => {
    let findings: WorkbookChecks["findings"] = [];
    const turns = await turnsDuring(async () => {
      ({ findings } = await WorkbookChecks.start(unwatched));
    });
    expect(turns).toBeGreaterThan(50);
    await putOnSheet(findings, [], 46_251);
    expectSmall();
  });

  test.each(["reading", "looking"])(
    "a stop while %s comes through, and nothing more is asked",
    async (when) => {
      const asked = when === "reading" ? /Reading/ : /Looking/;
      const progress = {
        report: (_done: number, _total: number, what: string) => {
          if (asked.test(what)) progress.stopped = true;
        },
        stopped: false,
      };
      let after = 0;
      const counting = {
        report: (done: number, total: number, what: string) => {
          if (progress.stopped) after++;
          progress.report(done, total, what);
        },
        get stopped() {
          return progress.stopped;
        },
      };
      await expect(listCalls(counting)).rejects.toThrow(/^Stopped/);
      expect(after).toBe(0);
    },
  );
});

describe("cells of unusual length", () => {
  beforeEach(() => bench.reset([{ name: "Zones" }]));

  test("after many short ones are read all the same, in answers that a host gives", async () => {
    const content: Record<string, string> = {};
    for (let row = 1; row <= 12_000; row++) content[`A${row}`] = "1";
    for (let row = 12_001; row <= 12_400; row++) content[`A${row}`] = "long ".repeat(6000);
    open(content);
    const [sheet] = await Excel.run((context) => readSheets(context));
    expect(sheet?.rows.map(([cell]) => cell?.formula.length)).toEqual(
      Array.from({ length: 12_400 }, (_, i) => (i < 12_000 ? 1 : 30_000)),
    );
  });
});

test("columns beside a table of 20,000 rows are written and looked at in portions", async () => {
  open(zonesWithoutCalls(20_000));
  const { formulas } = await addAll(bench, "Zones", "A1");
  expect(formulas).toBeGreaterThanOrEqual(20_000);
  expectSmall();
  expect(bench.value("Zones", "D20001")).toBeCloseTo((21_000 * 7) / 1000, 9);
});
