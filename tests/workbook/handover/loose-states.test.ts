/** Sheets whose only functions of ours are in names, conditional formats and limits: counted, handed over, brought back. */
import { expect, test } from "vitest";
import { spreadsheetSpelling } from "../../../src/workbench/host/written-formulas";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { sheetStates } from "../../../src/workbook/handover/sheet-states";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { withEdited } from "../../support/file-parts";

const marked = "=SWARD.PACKS($A1,1000)>2";
const names = ["Plain", "Marks", "Takes"];

const counted = async () =>
  (await sheetStates()).map(({ name, calls, handedOver }) => [name, calls, handedOver] as const);

test("they are counted as what a cell holds is, and a name alone is handed over", async () => {
  const bench = await openWorkbench();
  bench.reset(names.map((name) => ({ name, cells: { A1: "2500", A2: "700" } })));
  const { getters } = bench.model;
  const sheetId = getters.getSheetIds()[1] ?? "";
  bench.model.dispatch("ADD_CONDITIONAL_FORMAT", {
    sheetId,
    cf: {
      id: "mark",
      rule: {
        type: "CellIsRule",
        operator: "customFormula",
        values: [spreadsheetSpelling(marked)],
        style: {},
      },
    },
    ranges: [getters.getRangeDataFromZone(sheetId, { left: 0, right: 0, top: 0, bottom: 1 })],
  } as never);
  await Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.getItem("Takes").getRange("A1").dataValidation.rule = {
      custom: { formula: "=SWARD.PACKS(A1,1)<9000" },
    };
    context.workbook.names.add("Bags", worksheets.getItem("Plain").getRange("A1"));
    await context.sync();
  });
  // This host takes a name that is a formula from a file alone.
  const file = withEdited(await bench.exportXlsx(), {
    "xl/workbook.xml": (xml) =>
      xml.replace(/(<definedName [^>]*name="Bags"[^>]*>)[^<]*/, "$1_xldudf_SWARD_PACKS(Plain!$$A$$1,500)"),
  });
  await bench.importXlsx(file);
  const before = [
    ["Plain", 1, 0],
    ["Marks", 1, 0],
    ["Takes", 1, 0],
  ];
  expect(await counted()).toEqual(before);
  const name = () =>
    Excel.run(async (context) => {
      const item = context.workbook.names.getItem("Bags");
      item.load("formula");
      await context.sync();
      return String(item.formula);
    });
  const typed = await name();
  await handOver(["Plain"], unwatched);
  expect(await name()).not.toBe(typed);
  expect(await counted()).toEqual([["Plain", 0, 1], ...before.slice(1)]);
  expect((await handOver(["Marks", "Takes"], unwatched)).rules).toBe(2);
  expect(await counted()).toEqual(names.map((one) => [one, 0, 1]));
  expect(await bringBack(names, unwatched)).toMatchObject({ names: ["Bags"], changed: [], foreign: [] });
  expect(await counted()).toEqual(before);
});
