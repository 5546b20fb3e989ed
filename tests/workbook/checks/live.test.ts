import { beforeAll, beforeEach, expect, test, vi } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { CheckState } from "../../../src/workbook/checks/live-checks";
import { LiveChecks } from "../../../src/workbook/checks/live-checks";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { writeOwnSheets } from "./own-sheets";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(async () => {
  bench.reset();
  await writeOwnSheets(bench);
});

const foundIn = (state: CheckState | undefined) =>
  state?.kind === "checked" ? state.findings.map(({ sheet, address }) => `${sheet} ${address}`) : state;

/** Follows the workbook; `next` waits for the next time that something is told. */
function follow(progress = unwatched, betweenLooks?: number) {
  const told: CheckState[] = [];
  let awaited: ((state: CheckState) => void) | undefined;
  const live = new LiveChecks(
    () => progress,
    (state) => {
      told.push(state);
      awaited?.(state);
    },
    undefined,
    betweenLooks,
  );
  return {
    live,
    told,
    next: () => new Promise<CheckState>((resolve) => (awaited = resolve)),
  };
}

test("an edit is followed once the person has stopped typing, and the workbook is not written to", async () => {
  const { live, told, next } = follow();
  await live.start();
  expect(foundIn(told[0])).toEqual([]);
  const before = bench.sheetNames();
  const after = next();
  for (const typed of ["6", "60", "600"]) bench.setCell("Lawns", "F2", typed);
  await bench.calculated();
  expect(foundIn(await after)).toEqual(["Lawns F2"]);
  expect(told).toHaveLength(2);
  const back = next();
  bench.undo();
  bench.setCell("Lawns", "F2", "7");
  await bench.calculated();
  expect(foundIn(await back)).toEqual([]);
  expect(bench.sheetNames()).toEqual(before);
  await live.stop();
});

test("a sheet that comes is read, and followed", async () => {
  const { live, next } = follow();
  await live.start();
  const added = next();
  await Excel.run(async (context) => {
    context.workbook.worksheets.add("More");
    await context.sync();
  });
  expect(foundIn(await added)).toEqual([]);
  const after = next();
  bench.setCells("More", { A1: "Zone", B1: "Area, ft²", A2: "West", C2: "=SWARD.SEED_WEIGHT(B2,7)" });
  await bench.calculated();
  expect(foundIn(await after)).toEqual(["More B2"]);
  await live.stop();
});

test("a sheet that is renamed is found by its new name", async () => {
  const { live, next } = follow();
  await live.start();
  await Excel.run(async (context) => {
    context.workbook.worksheets.getItem("Lawns").name = "Lawns of May";
    await context.sync();
  });
  const after = next();
  bench.setCell("Lawns of May", "F2", "70");
  await bench.calculated();
  expect(foundIn(await after)).toEqual(["Lawns of May F2"]);
  await live.stop();
});

test("where a host does not tell of a new name, the next edit finds it, in whatever sheet, and so does the next look", async () => {
  const { requirements } = Office.context;
  const has = requirements.isSetSupported.bind(requirements);
  const supported = vi
    .spyOn(requirements, "isSetSupported")
    .mockImplementation((name: string, version) => String(version) !== "1.17" && has(name, version));
  const { live, told, next } = follow();
  try {
    bench.setCell("Lawns", "F2", "600");
    await live.start();
    expect(foundIn(told.at(-1))).toEqual(["Lawns F2"]);
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Lawns").name = "Lawns of May";
      await context.sync();
    });
    const after = next();
    bench.setCell("Label", "A30", "a note");
    await bench.calculated();
    expect(foundIn(await after)).toEqual(["Lawns of May F2"]);
    await live.stop();
    // Without an edit it is found at the next look.
    const looking = follow(unwatched, 20);
    await looking.live.start();
    const seen = looking.next();
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Lawns of May").name = "Lawns of June";
      await context.sync();
    });
    expect(foundIn(await seen)).toEqual(["Lawns of June F2"]);
    await looking.live.stop();
  } finally {
    await live.stop();
    supported.mockRestore();
  }
});

test("a check that is stopped says so, and begins anew when asked", async () => {
  const progress = { report: () => undefined, stopped: true };
  const { live, told } = follow(progress);
  await live.start();
  expect(told[0]?.kind).toBe("stopped");
  progress.stopped = false;
  await live.start();
  expect(foundIn(told[1])).toEqual([]);
  await live.stop();
});
