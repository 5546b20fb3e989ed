/**
 * Where calculation is manual, the list that follows the edits asks for none: it says that it is behind, and goes on
 * when the person has the workbook calculated, at the sheet or by the button.
 */
import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { onCalculationAsked } from "../../../src/workbook/host/calculated";
import type { CheckState } from "../../../src/workbook/checks/live-checks";
import { LiveChecks } from "../../../src/workbook/checks/live-checks";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { writeOwnSheets } from "../checks/own-sheets";

let bench: Workbench;
let asked = 0;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { manualCalculation: true, answers: "busy" } });
  bench.situation.looksWhenCalculated = false;
  onCalculationAsked(() => asked++);
});
beforeEach(async () => {
  bench.reset();
  await writeOwnSheets(bench);
});

const pause = 5;
const told = (state: CheckState | undefined) =>
  state?.kind === "checked"
    ? {
        isBehind: state.isBehind,
        found: state.findings.map(({ sheet, address }) => `${sheet} ${address}`).sort(),
      }
    : state;

/** Follows the workbook; `next` waits for the next time that something is told. */
function follow() {
  const states: CheckState[] = [];
  let awaited: ((state: CheckState) => void) | undefined;
  const live = new LiveChecks(
    () => unwatched,
    (state) => {
      states.push(state);
      awaited?.(state);
    },
    pause,
  );
  const next = () => new Promise<CheckState>((resolve) => (awaited = resolve)).then(told);
  /** Until nothing more is asked of the workbook. */
  const quiet = async () => {
    for (let before = -1; before !== bench.log.length;) {
      before = bench.log.length;
      await new Promise((resolve) => setTimeout(resolve, 60 * pause));
    }
    return told(states.at(-1));
  };
  return { live, next, quiet };
}

test("an edit is not followed by a calculation: the list says that it is behind, and goes on after F9", async () => {
  const { live, next, quiet } = follow();
  await live.start();
  // The whole check is asked for, and so is what it needs.
  expect([asked, await quiet()]).toEqual([1, { isBehind: false, found: [] }]);
  const after = next();
  bench.setCell("Lawns", "F2", "600");
  expect(await after).toEqual({ isBehind: true, found: [] });
  bench.setCell("Lawns", "F4", "0.04");
  expect(await quiet()).toEqual({ isBehind: true, found: [] });
  expect(asked).toBe(1);
  await bench.calculated();
  expect(await quiet()).toEqual({ isBehind: false, found: ["Lawns F2", "Lawns F4"] });
  // What is put right is behind as well, with what was found still there.
  const again = next();
  bench.setCell("Lawns", "F2", "7");
  expect(await again).toEqual({ isBehind: true, found: ["Lawns F2", "Lawns F4"] });
  expect(asked).toBe(1);
  await live.calculate();
  expect(await quiet()).toEqual({ isBehind: false, found: ["Lawns F4"] });
  expect(asked).toBe(2);
  await live.stop();
});

test("a sheet that came and rows that moved wait for the calculation too, and nothing of it is missed", async () => {
  const { live, next, quiet } = follow();
  await live.start();
  const before = asked;
  const after = next();
  await Excel.run(async (context) => {
    context.workbook.worksheets.add("More");
    context.workbook.worksheets.getItem("Lawns").getRange("3:3").insert("Down");
    await context.sync();
  });
  bench.setCells("More", { A1: "Zone", B1: "Area, ft²", A2: "West", C2: "=SWARD.SEED_WEIGHT(B2,7)" });
  bench.setCell("Lawns", "F5", "0.04");
  await after;
  expect(await quiet()).toEqual({ isBehind: true, found: [] });
  expect(asked).toBe(before);
  await bench.calculated();
  expect(await quiet()).toEqual({ isBehind: false, found: ["Lawns F5", "More B2"] });
  await live.stop();
});

test("where a calculation comes while the list finds itself behind, it goes on by itself", async () => {
  const { live, quiet } = follow();
  await live.start();
  const before = asked;
  for (let wait = 0; wait < 12; wait += 3) {
    bench.setCell("Lawns", "F2", wait % 6 === 0 ? "600" : "7");
    await new Promise((resolve) => setTimeout(resolve, wait));
    await bench.calculated();
    expect(await quiet()).toEqual({ isBehind: false, found: wait % 6 === 0 ? ["Lawns F2"] : [] });
  }
  expect(asked).toBe(before);
  await live.stop();
});

test("an edit made while the last one was still worked out is asked for once that has ended", async () => {
  const { live, quiet } = follow();
  bench.situation.answersHeld = true;
  bench.setCell("Lawns", "F2", "600");
  await Excel.run(async (context) => {
    context.workbook.application.calculate("Recalculate");
    await context.sync();
  });
  bench.setCell("Lawns", "F4", "0.04");
  const before = asked;
  const started = live.start();
  await new Promise((resolve) => setTimeout(resolve, 20 * pause));
  bench.situation.answersHeld = false;
  await started;
  expect(await quiet()).toEqual({ isBehind: false, found: ["Lawns F2", "Lawns F4"] });
  expect(asked).toBe(before + 1);
  await live.stop();
});
