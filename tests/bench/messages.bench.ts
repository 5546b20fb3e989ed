/**
 * 10,000 and 50,000 calls on one sheet: the largest request and answer of each piece of work, and the longest stretch
 * without giving way, printed as figures.
 */
import { bench, describe } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { WorkbookChecks } from "../../src/workbook/checks/run-checks";
import { putOnSheet } from "../../src/workbook/checks/list-sheet";
import { listCalls } from "../../src/workbook/own-sheets/list-calls";
import { addAll } from "../workbook/own-sheets/add-all";
import { bringBack, handOver } from "../../src/workbook/handover";
import { repairCalls } from "../../src/workbook/repair";
import { openWorkbench, unwatched } from "../support/built-workbench";
import { zonesOfCalls, zonesWithoutCalls } from "../support/many-calls";

let workbench: Workbench | undefined;
/** A benchmark runs its work several times, of which one is enough for figures. */
const told = new Set<number>();

type Content = (calls: number) => Record<string, string>;
type Work = (bench: Workbench) => Promise<unknown>;
const handedOver: Work = () => handOver(["Zones"], unwatched);
/** Each piece of work with what stands on the sheet, and what was done there before. */
const works: readonly (readonly [string, Work, Content?, Work?])[] = [
  ["checks", () => WorkbookChecks.start(unwatched)],
  ["list of calls", () => listCalls(unwatched)],
  ["columns beside a table", (open) => addAll(open, "Zones", "A1"), zonesWithoutCalls],
  ["repair", () => repairCalls(unwatched)],
  ["hand-over", handedOver],
  ["return", () => bringBack(["Zones"], unwatched), zonesOfCalls, handedOver],
  [
    "list of findings",
    async () => {
      const { findings } = await WorkbookChecks.start(unwatched);
      await putOnSheet(findings, [], 46_251);
    },
  ],
];

async function measured(calls: number): Promise<void> {
  if (told.has(calls)) return;
  told.add(calls);
  workbench ??= await openWorkbench();
  for (const [name, work, content = zonesOfCalls, before] of works) {
    workbench.reset([{ name: "Zones" }]);
    workbench.setCells("Zones", content(calls));
    await before?.(workbench);
    Object.assign(workbench.traffic, { request: 0, response: 0 });
    workbench.stretches.start();
    const begun = performance.now();
    await work(workbench);
    const { longest } = workbench.stretches;
    workbench.stretches.stop();
    const { request, response } = workbench.traffic;
    const mb = (bytes: number) => `${(bytes / 1e6).toFixed(2)} MB`;
    console.log(
      `${calls} calls, ${name}: largest request ${mb(request)}, largest answer ${mb(response)}, ` +
        `longest stretch ${longest.toFixed(0)} ms of ${(performance.now() - begun).toFixed(0)} ms`,
    );
  }
}

describe("large workbooks", () => {
  for (const calls of [10_000, 50_000]) {
    bench(`${calls} calls`, () => measured(calls), {
      iterations: 1,
      warmupIterations: 0,
      time: 0,
      warmupTime: 0,
    });
  }
});
