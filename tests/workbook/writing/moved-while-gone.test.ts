/**
 * The host fails for good while cells are written, and before the pane is opened again somebody puts rows and columns
 * in, or takes some out: what was written is taken back where it stands by then, and what else stands there stays.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import { takeBackWork } from "../../../src/workbook/unfinished/settle";
import type { LeftCell } from "../../../src/workbook/work/steps";
import { leaveWork, unfinishedWorks } from "../../../src/workbook/work/works-left";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { putInOrTakeOut } from "../../support/rows-and-columns";
import { only, twoSquares } from "../half-done/cases";
import { stateOf } from "../half-done/state";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
  // So that a work asks as often each time: it waits for nothing that is still worked out.
  bench.situation.worksOutWhenRead = true;
});

interface Shift {
  readonly sheet: string;
  readonly dimension: "ROW" | "COL";
  readonly at: number;
  readonly isIn: boolean;
}

interface Job {
  readonly name: string;
  readonly prepare: () => Promise<void>;
  readonly act: () => Promise<unknown>;
  /** What somebody does while the host is gone for the pane. */
  readonly shifts: readonly Shift[];
  /** What is told of as left, once it was written: a cell that went with its row. */
  readonly told?: readonly LeftCell[];
}

const lawns = {
  name: "Lawns",
  cells: {
    ...{ A1: "Zone", B1: "Area (ft2)", C1: "Rate", D1: "Seed, lb" },
    ...{ A2: "North", B2: "1000", C2: "7", D2: "=SWARD.SEED_WEIGHT(B2,C2)" },
    ...{ A3: "South", B3: "2000", C3: "7", D3: "5" },
  },
};

const deadFormulas = (): Promise<void> => {
  const cells: Record<string, string> = { A1: "Bags" };
  for (let row = 2; row < 9; row++) cells[`B${row}`] = `=_xldudf_SWARD_PACKS(${row},2)`;
  bench.reset([{ name: "Beds", cells }]);
  return Promise.resolve();
};

const jobs: readonly Job[] = [
  {
    name: "a formula put over a figure, a row above and a column before it",
    prepare: () => {
      bench.reset([lawns]);
      return Promise.resolve();
    },
    act: () => {
      bench.select("Lawns", "D3");
      return putInSelectedCell("=SWARD.SEED_WEIGHT(B3,C3)", unwatched, { overwrite: true });
    },
    shifts: [
      { sheet: "Lawns", dimension: "ROW", at: 1, isIn: true },
      { sheet: "Lawns", dimension: "COL", at: 1, isIn: true },
    ],
  },
  {
    name: "formulas entered again, a row above and a column before them",
    prepare: deadFormulas,
    act: () => repairCalls(unwatched),
    shifts: [
      { sheet: "Beds", dimension: "ROW", at: 0, isIn: true },
      { sheet: "Beds", dimension: "COL", at: 1, isIn: true },
    ],
  },
  {
    name: "formulas entered again, a row between them taken out",
    prepare: deadFormulas,
    act: () => repairCalls(unwatched),
    shifts: [
      { sheet: "Beds", dimension: "ROW", at: 4, isIn: false },
      { sheet: "Beds", dimension: "COL", at: 1, isIn: true },
    ],
    told: [{ sheet: "Beds", address: "B5", held: "=_xldudf_SWARD_PACKS(5,2)" }],
  },
  {
    name: "outlines, a row put in above the points",
    prepare: () => only("Outlines")(bench),
    act: () => bringOutlines("two.geojson", twoSquares),
    shifts: [{ sheet: "Outlines", dimension: "ROW", at: 1, isIn: true }],
  },
  {
    name: "outlines, a row put in among the points and another above them",
    prepare: () => only("Outlines")(bench),
    act: () => bringOutlines("two.geojson", twoSquares),
    shifts: [
      { sheet: "Outlines", dimension: "ROW", at: 12, isIn: true },
      { sheet: "Outlines", dimension: "ROW", at: 0, isIn: true },
    ],
  },
];

const shift = ({ sheet, ...more }: Shift): void => putInOrTakeOut(bench, sheet, { ...more, count: 1 });

/** All that stands in the workbook, without the ids of sheets that are made anew each time. */
const held = (): string =>
  JSON.stringify(stateOf(bench).sheets.map(({ name, cells }) => [name, [...cells].sort()]));
const names = (): readonly string[] =>
  bench.keptUnder("name/").flatMap(([key, value]) => (value !== null && /sward_work/.test(key) ? [key] : []));

for (const { name, prepare, act, shifts, told = [] } of jobs)
  test(name, async () => {
    bench.disturb();
    await prepare();
    const copy = bench.copy();
    const anew = (): void => {
      bench.disturb();
      bench.open(structuredClone(copy));
    };
    for (const one of shifts) shift(one);
    const wanted = held();
    anew();
    const before = held();
    let [batches, first, writes] = [0, 0, 0];
    bench.disturb({
      between: (at) => {
        if (bench.keptUnder("setting/").length > 0) first ||= at;
        batches = at;
      },
    });
    await act();
    expect(first).toBeGreaterThan(0);
    for (let batch = first; batch <= batches; batch++) {
      anew();
      bench.disturb({ failsAt: (at) => at >= batch });
      const isDone = await act().then(
        () => true,
        () => false,
      );
      bench.disturb();
      if (isDone) continue;
      if (held() !== before) writes++;
      for (const one of shifts) shift(one);
      const left = [];
      for (const { id } of await unfinishedWorks()) left.push(...(await takeBackWork(id)).left);
      if (left.length > 0) expect([batch, left]).toEqual([batch, told]);
      expect([batch, held()]).toEqual([batch, wanted]);
      expect(names()).toEqual([]);
    }
    // Of what was written some stood there when the pane was opened again.
    expect(writes).toBeGreaterThan(0);
  });

const put = (formula: string): Promise<unknown> => {
  bench.select("Lawns", "D3");
  return putInSelectedCell(formula, unwatched, { overwrite: true });
};

test("names of a work that is done go when the next begins, or the pane is opened again", async () => {
  bench.disturb();
  bench.reset([lawns]);
  await put("=SWARD.SEED_WEIGHT(B3,C3)");
  const [first] = names();
  expect(first).toBeDefined();
  await put("=SWARD.PACKS(B3,C3)");
  expect(names().length).toBe(1);
  expect(names()).not.toContain(first);
  // A name that somebody took away meanwhile is none that the next work waits for.
  await Excel.run(async (context) => {
    const { names } = context.workbook;
    names.load("items/name");
    await context.sync();
    for (const one of names.items) one.delete();
  });
  await put("=SWARD.PACKS(B2,C2)");
  expect(await unfinishedWorks()).toEqual([]);
  expect(names()).toEqual([]);
  expect(bench.formula("Lawns", "D3")).toBe("=SWARD.PACKS(B2,C2)");
});

test("names of a work that is left as it is go with it, and no sooner", async () => {
  bench.disturb();
  bench.reset([lawns]);
  let isWritten = false;
  bench.disturb({
    between: () => void (isWritten ||= bench.formula("Lawns", "D3")?.includes("PACKS") === true),
    failsAt: () => isWritten,
  });
  await put("=SWARD.PACKS(B3,C3)").catch(() => undefined);
  bench.disturb();
  const own = names();
  expect(own.length).toBeGreaterThan(0);
  bench.select("Lawns", "E3");
  await putInSelectedCell("=SWARD.PACKS(B3,C3)", unwatched);
  const [{ id } = { id: "" }] = await unfinishedWorks();
  expect(names()).toEqual(own);
  await leaveWork(id);
  expect(names()).toEqual([]);
  expect(bench.formula("Lawns", "D3")).toBe("=SWARD.PACKS(B3,C3)");
});
