/**
 * Somebody types into the very cell that a work is writing to, the host is gone before that can be given back, and a row
 * is put in above before it answers again: what was typed stands in the sheet, or is told in full to be typed again.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { takeBackWork } from "../../../src/workbook/unfinished/settle";
import { leaveWork, unfinishedWorks } from "../../../src/workbook/work/works-left";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { putInOrTakeOut } from "../../support/rows-and-columns";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const mine = "mine 10-18-22";
const rowAbove = { dimension: "ROW", at: 1, count: 1, isIn: true } as const;

let isTyped = false;

/** Types before one request, and loses the host after the one in which the formula was written. */
async function typedBefore(request: number, meanwhile: () => void) {
  bench.disturb();
  bench.reset([{ name: "Lawns", cells: { A1: "Bags" } }]);
  bench.select("Lawns", "B4");
  let isWritten = false;
  isTyped = false;
  bench.disturb({
    between: (batch) => {
      isWritten ||= bench.formula("Lawns", "B4") !== null;
      if (batch !== request) return;
      bench.setCell("Lawns", "B4", mine);
      isTyped = true;
    },
    failsAt: () => isWritten,
  });
  await putInSelectedCell("=SWARD.PACKS(7,2)", unwatched, { overwrite: true }).catch(() => undefined);
  meanwhile();
  bench.disturb();
  return unfinishedWorks();
}

const standsIn = (address: string): boolean => bench.value("Lawns", address) === mine;
const requests = Array.from({ length: 20 }, (_, i) => i + 1);

test("what was typed is given back once the host answers, where its cell has not moved", async () => {
  for (const request of requests) {
    const offered = await typedBefore(request, () => undefined);
    for (const { id, lost } of offered) {
      expect(lost).toEqual([]);
      await takeBackWork(id);
    }
    if (isTyped) expect([request, standsIn("B4")]).toEqual([request, true]);
  }
});

test("what was typed is given back in its cell, where that has moved by then", async () => {
  const typed: number[] = [];
  for (const request of requests) {
    const offered = await typedBefore(request, () => putInOrTakeOut(bench, "Lawns", rowAbove));
    expect(offered.flatMap((one) => one.lost)).toEqual([]);
    const left = [];
    for (const { id } of offered) left.push(...(await takeBackWork(id)).left);
    expect([request, left]).toEqual([request, []]);
    if (!isTyped) continue;
    typed.push(request);
    expect([request, standsIn("B5")]).toEqual([request, true]);
  }
  expect(typed.length).toBeGreaterThan(3);
});

test("what was typed is told in full where somebody typed there again, until the work is settled", async () => {
  const told: number[] = [];
  for (const request of requests) {
    const offered = await typedBefore(request, () => bench.setCell("Lawns", "B4", "typed later"));
    const lost = offered.flatMap((one) => one.lost);
    expect(bench.value("Lawns", "B4")).toBe("typed later");
    if (lost.length === 0) continue;
    told.push(request);
    expect(lost).toEqual([{ sheet: "Lawns", address: "B4", typed: mine }]);
    // A pane that is opened once more says it again.
    expect((await unfinishedWorks()).flatMap((one) => one.lost)).toEqual(lost);
    for (const { id } of offered) await leaveWork(id);
    expect(await unfinishedWorks()).toEqual([]);
  }
  expect(told.length).toBeGreaterThan(0);
});
