/** The list of what was typed, on the sheet that a hand-over in place adds. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { editsSinceHandOver } from "../../../src/workbook/handover/sheet-states";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

test("days and times stand in it as their cells show them, and other figures as figures", async () => {
  bench.reset([{ name: "Site" }]);
  bench.setCells("Site", { B1: "46143", B2: "0.5", B3: "1200", B4: "0.25", C1: "=SWARD.PACKS(B3,500)" });
  await Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem("Site");
    sheet.getRange("B1:B4").numberFormat = [["m/d/yyyy"], ["hh:mm"], ['#,##0 "days"'], ["0%"]];
    await context.sync();
  });
  const { list } = await handOver(["Site"], unwatched);
  const name = list !== undefined && "sheet" in list ? list.sheet : "";
  const column = (letter: string) => [4, 5, 6, 7].map((row) => bench.text(name, `${letter}${row}`));
  // Day 46,143 is the first of May 2026.
  expect(column("C")).toEqual(["5/1/2026", "12:00", "1200", "0.25"]);
  expect(column("D").slice(0, 2)).toEqual(["5/1/2026", "12:00"]);
  bench.setCell("Site", "B1", "46144");
  await bench.calculated();
  expect(column("D")[0]).toBe("5/2/2026");
  expect((await editsSinceHandOver()).edits).toMatchObject([
    { address: "B1", old: "2026-05-01", now: "2026-05-02" },
  ]);
  // Moved, emptied and deleted, a day is told as a day still, and a figure as a figure.
  bench.setCells("Site", { B2: "0.75", B3: "1300" });
  await Excel.run(async (context) => {
    context.workbook.worksheets.getItem("Site").getRange("1:1").delete("Up");
    await context.sync();
  });
  const { edits } = await editsSinceHandOver();
  expect(edits.map(({ kind, old, now }) => [kind, old, now])).toEqual([
    ["row or sheet deleted", "2026-05-01", ""],
    ["input", "12:00", "18:00"],
    ["input", "1200", "1300"],
    ["row or sheet deleted", "formulas, to be brought back", ""],
  ]);
});
