import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

describe("undo", () => {
  it("takes back a whole batch in one step, and typing in its own", async () => {
    bench.setCell("Sheet1", "A1", "typed");
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getActiveWorksheet();
      sheet.getRange("A1:A3").values = [["a"], ["b"], ["=1+1"]];
      sheet.getRange("A1:A3").format.fill.color = "#FFFF00";
      sheet.getRange("A1:A3").dataValidation.rule = { list: { inCellDropDown: true, source: "a,b" } };
      context.workbook.settings.add("mark", 1);
      context.workbook.worksheets.add("More");
      context.workbook.names.add("First", sheet.getRange("A1"));
      await context.sync();
    });
    bench.setCell("Sheet1", "B1", "typed later");
    bench.undo();
    expect(bench.value("Sheet1", "B1")).toBe("");
    expect(bench.sheetNames()).toEqual(["Sheet1", "More"]);
    bench.undo();
    expect([bench.value("Sheet1", "A1"), bench.value("Sheet1", "A2")]).toEqual(["typed", ""]);
    expect(bench.sheetNames()).toEqual(["Sheet1"]);
    await Excel.run(async (context) => {
      const { settings, names, worksheets } = context.workbook;
      const setting = settings.getItemOrNullObject("mark");
      const name = names.getItemOrNullObject("First");
      const range = worksheets.getItem("Sheet1").getRange("A1:A3");
      range.load("format/fill/color");
      range.dataValidation.load("type");
      await context.sync();
      // What an add-in keeps in the workbook no undo reaches.
      expect([setting.isNullObject, name.isNullObject]).toEqual([false, true]);
      expect([range.format.fill.color, range.dataValidation.type]).toEqual(["#FFFFFF", "None"]);
    });
    bench.redo();
    expect([bench.value("Sheet1", "A2"), bench.value("Sheet1", "A3")]).toEqual(["b", 2]);
    bench.undo();
    bench.undo();
    expect(bench.value("Sheet1", "A1")).toBe("");
  });
});
