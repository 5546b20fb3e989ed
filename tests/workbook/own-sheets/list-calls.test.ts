import { beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { CallGroup, SheetCalls } from "../../../src/workbook/own-sheets/list-calls";
import { callsOf, listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { readSelection, showCell } from "../../../src/workbook/host/selection";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { countedSheets, counting, slowClock } from "../../support/slices";
import { sheetOf } from "./tables";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

/** Readings of cells that a slice may have. */
const mostRead = 4000;

const told = ({ address, name, cells, state }: CallGroup) => [address, name, cells, state.kind];

describe("the calls of a workbook", () => {
  test("sheet by sheet, alike ones down a column as one, each with its state", async () => {
    bench.reset([{ name: "Lawns" }, { name: "Plain" }, { name: "Mixed" }]);
    bench.setCells("Plain", { A1: "7", A2: "=A1*2" });
    const cells: Record<string, string> = { B1: "7" };
    for (let row = 2; row <= 41; row++) {
      cells[`A${row}`] = String(row * 1000);
      cells[`E${row}`] = `=SWARD.SEED_WEIGHT(A${row},$B$1)`;
    }
    cells.A21 = "-5";
    bench.setCells("Lawns", cells);
    bench.setCells("Mixed", {
      A1: "4000",
      B1: "=SWARD.PACKS(SWARD.SEED_WEIGHT(A1,7),50)+1",
      B2: "=SWARD.NOT_YET_KNOWN(A1)",
      B3: "=SWARD.PACKS(LEN(A1)*10,0)",
      B4: '=SWARD.WATER_VOLUME(A1,10,"metric")',
    });
    const [lawns, mixed, ...more] = await listCalls(unwatched);
    expect(more).toEqual([]);
    expect(lawns).toMatchObject({ sheet: "Lawns", calls: 40 });
    expect(lawns?.groups.map(told)).toEqual([
      ["E2:E20", "SWARD.SEED_WEIGHT", 19, "answers"],
      ["E21", "SWARD.SEED_WEIGHT", 1, "refused"],
      ["E22:E41", "SWARD.SEED_WEIGHT", 20, "answers"],
    ]);
    // 2,000 and 20,000 ft2 at 7 lb per 1000 ft2.
    expect(lawns?.groups[0]?.results).toEqual([14, 140]);
    expect(lawns?.groups[1]?.state).toMatchObject({
      sentence: expect.stringContaining("area is -5") as string,
    });
    expect(mixed?.groups.map(told)).toEqual([
      ["B1", "SWARD.PACKS", 1, "answers"],
      ["B1", "SWARD.SEED_WEIGHT", 1, "answers"],
      ["B2", "SWARD.NOT_YET_KNOWN", 1, "another edition"],
      ["B3", "SWARD.PACKS", 1, "not followed"],
      ["B4", "SWARD.WATER_VOLUME", 1, "answers"],
    ]);
    expect(mixed?.groups[0]?.results).toEqual([1]);
    expect(mixed?.groups[1]?.results).toEqual([28]);
    expect(mixed?.groups[4]).toMatchObject({ system: "metric", results: [40_000] });
  });

  test("a formula that chooses between calls tells what it gives, not what those it left out would answer", async () => {
    bench.setCells("Sheet1", {
      A1: "3000",
      B1: '=IF(A2="",SWARD.PACKS(A1,1000)+1,SWARD.PACKS(A1,A2))',
      B2: "=A1+SWARD.PACKS(LEN(A1),2)",
    });
    const [found] = await listCalls(unwatched);
    expect(found?.groups.map(({ state, results }) => [state.kind, results])).toEqual([
      ["in a formula", [4]],
      ["in a formula", [4]],
      ["in a formula", [3002]],
    ]);
  });

  test("functions that the workbook does not find are told apart from those of another edition", async () => {
    const cells = sheetOf([[1]]);
    const rows = [[{ formula: "=SWARD.PACKS(7,2)", value: "#NAME?" }]];
    const [found] = await callsOf([{ ...cells, rows }], unwatched);
    expect(found?.groups[0]?.state.kind).toBe("no such name");
  });

  test("a cell that shows an error although the function answers is not passed off as an answer", async () => {
    const rows = [[{ formula: "=SWARD.PACKS(7,2)", value: "#SPILL!" }]];
    const [found] = await callsOf([{ ...sheetOf([[1]]), rows }], unwatched);
    expect(found?.groups[0]?.state).toEqual({
      kind: "not followed",
      why: "the cell shows #SPILL! all the same",
    });
  });

  test("a text that looks like a call is no call, whole or torn", async () => {
    bench.setCells("Sheet1", { A1: "'=SWARD.PACKS(7", A2: "'=SWARD.PACKS(7,2)", A3: '="SWARD.PACKS(7,2)"' });
    expect(await listCalls(unwatched)).toEqual([]);
  });

  test("a jump selects the cell on its sheet", async () => {
    bench.reset([{ name: "Here" }, { name: "There" }]);
    await showCell({ sheet: "There", address: "C7" });
    expect(await readSelection()).toMatchObject({ sheet: "There", address: "C7" });
  });

  test("20,000 calls are listed without holding the pane up", async () => {
    const many = 20_000;
    const rows = Array.from({ length: many }, (_, i) => [
      { formula: String(i + 1), value: i + 1 },
      // Every other row differs from the one above, so that nothing can be told as one.
      { formula: `=SWARD.PACKS(A${i + 1},${i % 2 === 0 ? 7 : 9})`, value: 1 },
    ]);
    slowClock();
    let found: readonly SheetCalls[] = [];
    const sheets = countedSheets([{ ...sheetOf([[1]]), width: 2, rows }]);
    const { all, most } = await counting(async (progress) => (found = await callsOf(sheets, progress)));
    vi.restoreAllMocks();
    expect(found).toMatchObject([{ calls: many }]);
    expect(found[0]?.groups).toHaveLength(many);
    // Each cell is read at the least once, and no more than a few hundred of them between two turns.
    expect(all).toBeGreaterThan(2 * many);
    expect(most).toBeLessThan(mostRead);
  });
});
