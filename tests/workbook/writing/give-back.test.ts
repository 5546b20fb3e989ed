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
async function typedBefore(request: number, isMoved: boolean) {
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
  if (isMoved) putInOrTakeOut(bench, "Lawns", rowAbove);
  bench.disturb();
  return unfinishedWorks();
}

const standsIn = (address: string): boolean => bench.value("Lawns", address) === mine;
const requests = Array.from({ length: 20 }, (_, i) => i + 1);

test("what was typed is given back once the host answers, where its cell has not moved", async () => {
  for (const request of requests) {
    const offered = await typedBefore(request, false);
    for (const { id, lost } of offered) {
      expect(lost).toEqual([]);
      await takeBackWork(id);
    }
    if (isTyped) expect([request, standsIn("B4")]).toEqual([request, true]);
  }
});

test("what was typed is told in full where its cell has moved, until the work is settled", async () => {
  const [told, before]: [number[], number[]] = [[], []];
  for (const request of requests) {
    const offered = await typedBefore(request, true);
    const lost = offered.flatMap((one) => one.lost);
    const isThere = ["B4", "B5"].some(standsIn);
    if (lost.length > 0) {
      told.push(request);
      expect(lost).toEqual([{ sheet: "Lawns", address: "B4", typed: mine }]);
      expect(isThere).toBe(false);
      // A pane that is opened once more says it again.
      expect((await unfinishedWorks()).flatMap((one) => one.lost)).toEqual(lost);
      for (const { id } of offered) await leaveWork(id);
      expect(await unfinishedWorks()).toEqual([]);
      continue;
    }
    const left = [];
    for (const { id } of offered) left.push(...(await takeBackWork(id)).left);
    // What was typed before the cell was read is what the work was planned over: that is told as well.
    if (isTyped && !isThere) {
      expect(left).toContainEqual({ sheet: "Lawns", address: "B4", held: mine });
      before.push(request);
    }
  }
  for (const some of [told, before]) expect(some.length).toBeGreaterThan(0);
});
