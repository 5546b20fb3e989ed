import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start({ enforceRequirementSets: true });
});
beforeEach(() => bench.reset());

const inBatch = <T>(work: (context: Excel.RequestContext, sheet: Excel.Worksheet) => Promise<T>) =>
  Excel.run((context) => work(context, context.workbook.worksheets.getActiveWorksheet()));

describe("worksheets", () => {
  it("adds, finds, names, moves, colours and deletes", () =>
    inBatch(async (context) => {
      const { worksheets } = context.workbook;
      const bid = worksheets.add("Bid");
      bid.position = 0;
      bid.tabColor = "#336633";
      bid.showGridlines = false;
      bid.activate();
      const missing = worksheets.getItemOrNullObject("Nowhere");
      worksheets.load("items/name,items/position,items/tabColor,items/showGridlines");
      const active = worksheets.getActiveWorksheet();
      active.load("name");
      const count = worksheets.getCount();
      await context.sync();
      expect(worksheets.items.map((sheet) => sheet.name)).toEqual(["Bid", "Sheet1"]);
      expect(worksheets.items[0]).toMatchObject({ position: 0, tabColor: "#336633", showGridlines: false });
      expect(active.name).toBe("Bid");
      expect(missing.isNullObject).toBe(true);
      expect(count.value).toBe(2);
      bid.name = "Bid 2";
      worksheets.getItem("Sheet1").delete();
      await context.sync();
      expect(bench.sheetNames()).toEqual(["Bid 2"]);
      await context.sync();
    }));

  it("hides, hides deeply and shows", () =>
    inBatch(async (context) => {
      const ledger = context.workbook.worksheets.add("Ledger");
      ledger.visibility = "VeryHidden";
      ledger.load("visibility");
      await context.sync();
      expect(ledger.visibility).toBe("VeryHidden");
      ledger.visibility = "Visible";
      ledger.load("visibility");
      await context.sync();
      expect(ledger.visibility).toBe("Visible");
    }));

  it("says which resource is missing", () =>
    inBatch(async (context) => {
      context.workbook.worksheets.getItem("Nowhere").load("name");
      await expect(context.sync()).rejects.toMatchObject({ code: "ItemNotFound" });
    }));
});
describe("range", () => {
  it("everything", () =>
    inBatch(async (context, sheet) => {
      const r = sheet.getRange("B2:C3");
      r.format.fill.color = "#ffcc00";
      r.format.font.bold = true;
      r.format.font.name = "Arial";
      r.format.borders.getItem("EdgeBottom").style = "Continuous";
      r.format.columnWidth = 75;
      r.format.protection.locked = false;
      r.format.indentLevel = 1;
      r.load(
        "format/fill/color,format/font/bold,format/font/name,format/columnWidth,format/indentLevel,format/protection/locked",
      );
      const b = r.format.borders.getItem("EdgeBottom");
      b.load("style,color,weight");
      r.numberFormat = [
        ["0.00", "@"],
        ["#,##0.00_);(#,##0.00)", '0.0"lb"'],
      ];
      r.values = [
        [1.239, "007"],
        [-5, 3],
      ];
      r.load("text,values,numberFormat,valueTypes");
      const used = sheet.getUsedRangeOrNullObject(true);
      used.load("address");
      r.dataValidation.rule = { list: { inCellDropDown: true, source: "a,b" } };
      r.dataValidation.errorAlert = { message: "no", showAlert: true, style: "Stop", title: "t" };
      r.dataValidation.prompt = { message: "pick", showPrompt: true, title: "p" };
      r.dataValidation.load("rule,type,errorAlert,prompt,valid");
      sheet.freezePanes.freezeRows(1);
      sheet.pageLayout.orientation = "Landscape";
      sheet.pageLayout.setPrintArea("A1:C3");
      sheet.pageLayout.setPrintTitleRows("$1:$1");
      sheet.pageLayout.headersFooters.defaultForAllPages.leftHeader = "Hello";
      context.workbook.names.add("Rate", sheet.getRange("D1"));
      context.workbook.settings.add("k", { a: 1 });
      const k = context.workbook.settings.getItem("k");
      k.load("value");
      const name = context.workbook.names.getItem("Rate");
      name.load("name,formula,value,type");
      const nr = name.getRange();
      nr.load("address");
      const col = sheet.getRange("AB:AC");
      col.load("address,values,rowCount,columnIndex");
      col.format.columnWidth = 60;
      const last = sheet.getRange("AAA1000");
      last.values = [[5]];
      sheet.getRange("A1").select();
      const sel = context.workbook.getSelectedRange();
      sel.load("address");
      await context.sync();
      expect(r.text).toEqual([
        ["1.24", "007"],
        ["(5.00)", "3.0lb"],
      ]);
    }));
});
