import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start({ enforceRequirementSets: true });
});
beforeEach(() => bench.reset());

const onSheet = (work: (sheet: Excel.Worksheet, context: Excel.RequestContext) => Promise<void>) =>
  Excel.run((context) => work(context.workbook.worksheets.getItem("Sheet1"), context));

describe("format", () => {
  it("keeps every part of a format", () =>
    onSheet(async (sheet, context) => {
      const { format } = sheet.getRange("B2:C3");
      format.fill.color = "#ffcc00";
      format.font.set({ bold: true, italic: true, color: "#112233", size: 14, name: "Georgia" });
      format.font.underline = "Single";
      format.horizontalAlignment = "Right";
      format.verticalAlignment = "Center";
      format.wrapText = true;
      format.indentLevel = 2;
      format.protection.locked = false;
      format.columnWidth = 75;
      format.rowHeight = 30;
      format.load("horizontalAlignment,verticalAlignment,wrapText,indentLevel,columnWidth,rowHeight");
      format.fill.load("color");
      format.font.load("bold,italic,color,size,name,underline");
      format.protection.load("locked");
      await context.sync();
      expect(format.toJSON()).toMatchObject({
        horizontalAlignment: "Right",
        verticalAlignment: "Center",
        wrapText: true,
        indentLevel: 2,
        columnWidth: 75,
        rowHeight: 30,
        fill: { color: "#FFCC00" },
        font: { bold: true, italic: true, color: "#112233", size: 14, name: "Georgia", underline: "Single" },
        protection: { locked: false },
      });
    }));

  it("answers null where cells differ, and takes a fill away", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1").format.fill.color = "#FF0000";
      const pair = sheet.getRange("A1:A2");
      pair.load("format/fill/color");
      await context.sync();
      expect(pair.format.fill.color).toBeNull();
      pair.format.fill.clear();
      pair.load("format/fill/color");
      await context.sync();
      expect(pair.format.fill.color).toBe("#FFFFFF");
    }));

  it("draws borders and takes them away", () =>
    onSheet(async (sheet, context) => {
      const bottom = sheet.getRange("A1:B2").format.borders.getItem("EdgeBottom");
      bottom.style = "Continuous";
      bottom.color = "#00AA00";
      bottom.weight = "Thick";
      bottom.load("style,color,weight");
      const cell = sheet.getRange("B2").format.borders.getItem("EdgeBottom");
      const inner = sheet.getRange("B1").format.borders.getItem("EdgeBottom");
      [cell, inner].forEach((border) => border.load("style"));
      await context.sync();
      expect(bottom.toJSON()).toEqual({ style: "Continuous", color: "#00AA00", weight: "Thick" });
      expect([cell.style, inner.style]).toEqual(["Continuous", "None"]);
      bottom.style = "None";
      bottom.load("style");
      await context.sync();
      expect(bottom.style).toBe("None");
    }));

  it("fits columns to their text", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1:B1").values = [["a long heading that needs its room", "b"]];
      sheet.getRange("A:B").format.autofitColumns();
      const [wide, narrow] = [sheet.getRange("A1"), sheet.getRange("B1")];
      [wide, narrow].forEach((range) => range.load("format/columnWidth"));
      await context.sync();
      expect(wide.format.columnWidth).toBeGreaterThan(3 * narrow.format.columnWidth);
    }));

  it("gives a whole column a width, beyond the sheet's present size too", () =>
    onSheet(async (sheet, context) => {
      const column = sheet.getRange("AZ:AZ");
      column.format.columnWidth = 60;
      column.load("format/columnWidth");
      await context.sync();
      expect(column.format.columnWidth).toBe(60);
    }));

  it("refuses what the spreadsheet cannot show", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1").format.horizontalAlignment = "Fill";
      await expect(context.sync()).rejects.toMatchObject({ code: "NotImplemented" });
      sheet.getRange("A1").format.fill.color = "greenish";
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    }));
});

describe("data validation", () => {
  it("keeps rule, prompt and alert, and checks the cells", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:A3");
      const { dataValidation } = range;
      dataValidation.rule = { wholeNumber: { formula1: 1, formula2: 5, operator: "Between" } };
      dataValidation.prompt = { title: "Crew", message: "How many?", showPrompt: true };
      dataValidation.errorAlert = { title: "Crew", message: "1 to 5", showAlert: true, style: "Stop" };
      range.values = [[1], [2.5], [""]];
      dataValidation.load("rule,prompt,errorAlert,type,valid,ignoreBlanks");
      const first = sheet.getRange("A1").dataValidation;
      const second = sheet.getRange("A2").dataValidation;
      [first, second].forEach((each) => each.load("valid"));
      await context.sync();
      expect(dataValidation.type).toBe("WholeNumber");
      expect(dataValidation.rule.wholeNumber).toMatchObject({ formula1: 1, formula2: 5 });
      expect(dataValidation.prompt.message).toBe("How many?");
      expect(dataValidation.errorAlert.message).toBe("1 to 5");
      expect([dataValidation.valid, first.valid, second.valid]).toEqual([null, true, false]);
    }));

  it.each<[string, Excel.DataValidationRule, unknown[], boolean[]]>([
    ["a list", { list: { inCellDropDown: true, source: "new,overseed" } }, ["new", "old"], [true, false]],
    ["a list in cells", { list: { inCellDropDown: true, source: "=$H$1:$H$2" } }, ["x", "z"], [true, false]],
    ["a decimal", { decimal: { formula1: 0, operator: "GreaterThan" } }, [0.5, -1], [true, false]],
    [
      "a length",
      { textLength: { formula1: 3, operator: "LessThanOrEqualTo" } },
      ["abc", "abcd"],
      [true, false],
    ],
    ["a formula", { custom: { formula: "=A1>$H$3" } }, [11, 9], [true, false]],
  ])("checks against %s", (_, rule, values, valid) =>
    onSheet(async (sheet, context) => {
      sheet.getRange("H1:H3").values = [["x"], ["y"], [10]];
      sheet.getRange("A1:A2").values = values.map((value) => [value]);
      sheet.getRange("A1:A2").dataValidation.rule = rule;
      const cells = ["A1", "A2"].map((name) => sheet.getRange(name).dataValidation);
      cells.forEach((cell) => cell.load("valid"));
      await context.sync();
      expect(cells.map((cell) => cell.valid)).toEqual(valid);
    }),
  );

  it("is taken away", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1:A9").dataValidation.rule = { list: { inCellDropDown: true, source: "a" } };
      sheet.getRange("A2:A3").dataValidation.clear();
      const [kept, gone] = [sheet.getRange("A1"), sheet.getRange("A2")];
      [kept, gone].forEach((range) => range.dataValidation.load("type"));
      await context.sync();
      expect([kept.dataValidation.type, gone.dataValidation.type]).toEqual(["List", "None"]);
    }));
});
