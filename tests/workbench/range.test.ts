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

describe("values and formulas", () => {
  it("writes, calculates and reads back in one batch", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1:B2").values = [
        [1, "two"],
        [true, 4.5],
      ];
      const sum = sheet.getRange("C1");
      sum.formulas = [["=A1+B2"]];
      sum.load("formulas,values,address");
      await context.sync();
      expect(sum.values).toEqual([[5.5]]);
      expect(sum.formulas).toEqual([["=A1+B2"]]);
      expect(sum.address).toBe("Sheet1!C1");
      expect(bench.value("Sheet1", "B1")).toBe("two");
      expect(bench.value("Sheet1", "A2")).toBe(true);
    }));

  it("takes text as if it were typed", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:F1");
      range.values = [["12%", "'12", "007", "TRUE", "words", "$5.50"]];
      range.load("values,numberFormat,valueTypes");
      await context.sync();
      expect(range.values).toEqual([[0.12, "12", 7, true, "words", 5.5]]);
      expect(range.numberFormat[0]?.[0]).toBe("0%");
      expect(range.valueTypes[0]).toEqual(["Double", "String", "Double", "Boolean", "String", "Double"]);
    }));

  it("keeps text in cells formatted as text", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:B1");
      range.numberFormat = [["@", "@"]];
      range.values = [["007", "=1+1"]];
      range.load("values");
      await context.sync();
      expect(range.values).toEqual([["007", "=1+1"]]);
    }));

  it("answers formulas exactly as they were written", () =>
    onSheet(async (sheet, context) => {
      const written = ["= sum( a1 : b2 ) ", "=If($A$1>2, B1:B1, 0)", '=SWARD.TRIPLE( A1 )&"a ""b"""'];
      const range = sheet.getRange("C1:C3");
      range.formulas = written.map((formula) => [formula]);
      range.format.font.bold = true;
      range.load("formulas");
      await context.sync();
      expect(range.formulas).toEqual(written.map((formula) => [formula]));
      sheet.getRange("A:A").insert("Right");
      const moved = sheet.getRange("D1");
      moved.load("formulas");
      await context.sync();
      expect(moved.formulas).toEqual([["=sum(B1:C2)"]]);
    }));

  it("shows errors in the host's words", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:A5");
      range.formulas = [["=1/0"], ["=NA()"], ["=NO_SUCH(1)"], ['=1+"x"'], ["=Nowhere!A1"]];
      range.load("values,text,valueTypes");
      await context.sync();
      const expected = [["#DIV/0!"], ["#N/A"], ["#NAME?"], ["#VALUE!"], ["#REF!"]];
      expect(range.values).toEqual(expected);
      expect(range.text).toEqual(expected);
      expect(range.valueTypes).toEqual(expected.map(() => ["Error"]));
    }));

  it("refuses a formula it cannot read, and an array of another shape", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1").formulas = [["=1+"]];
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
      sheet.getRange("A1:B2").values = [[1]];
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    }));

  it("spreads one value over a range, skips null and clears with an empty text", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:B2");
      range.values = 7 as unknown as number[][];
      range.values = [
        [null, ""],
        [8, null],
      ];
      range.load("values");
      await context.sync();
      expect(range.values).toEqual([
        [7, ""],
        [8, 7],
      ]);
    }));

  it("lets the sheet grow, and reads beyond it", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("AAA1000").values = [["far"]];
      const beyond = sheet.getRange("ABC5000:ABD5000");
      beyond.load("values,formulas,text,valueTypes,numberFormat");
      await context.sync();
      expect(bench.value("Sheet1", "AAA1000")).toBe("far");
      expect(beyond.values).toEqual([["", ""]]);
      expect(beyond.valueTypes).toEqual([["Empty", "Empty"]]);
    }));

  it("writes thousands of rows in one batch", () =>
    onSheet(async (sheet, context) => {
      const rows = 5000;
      const range = sheet.getRangeByIndexes(0, 0, rows, 2);
      range.values = Array.from({ length: rows }, (_, row) => [row, `=A${row + 1}*2`]);
      await context.sync();
      expect(bench.value("Sheet1", `B${rows}`)).toBe((rows - 1) * 2);
    }));
});

describe("number formats", () => {
  it("answers a format as it was written, though it is drawn otherwise", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("A1:A4");
      range.values = [[1234.5], [-1234.5], [0.25], [-2]];
      range.numberFormat = [["#,##0.00_);(#,##0.00)"], ["#,##0.00_);(#,##0.00)"], ["0%"], ["0;[Red]-0"]];
      range.load("numberFormat,text");
      await context.sync();
      expect(range.numberFormat.flat()).toEqual([
        "#,##0.00_);(#,##0.00)",
        "#,##0.00_);(#,##0.00)",
        "0%",
        "0;[Red]-0",
      ]);
      expect(range.text.flat()).toEqual(["1,234.50", "(1,234.50)", "25%", "-2"]);
    }));

  it("goes back to General, and refuses a format it cannot draw", () =>
    onSheet(async (sheet, context) => {
      const cell = sheet.getRange("A1");
      cell.numberFormat = [["0.00"]];
      cell.numberFormat = [["General"]];
      cell.load("numberFormat");
      await context.sync();
      expect(cell.numberFormat).toEqual([["General"]]);
      cell.numberFormat = [["# ?/?"]];
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    }));
});

describe("other ranges", () => {
  it("finds its neighbours", () =>
    onSheet(async (sheet, context) => {
      const range = sheet.getRange("B2:D5");
      const found: Record<string, Excel.Range> = {
        "Sheet1!C3": range.getCell(1, 1),
        "Sheet1!B3:D3": range.getRow(1),
        "Sheet1!C2:C5": range.getColumn(1),
        "Sheet1!2:5": range.getEntireRow(),
        "Sheet1!B:D": range.getEntireColumn(),
        "Sheet1!B2:E4": range.getResizedRange(-1, 1),
        "Sheet1!A3:C6": range.getOffsetRange(1, -1),
        "Sheet1!C4:D5": range.getIntersectionOrNullObject("C4:Z99"),
        "Sheet1!B2:F9": range.getBoundingRect("F9"),
        "Sheet1!A1:XFD1048576": sheet.getRange(),
        "Sheet1!C3:D3": sheet.getRangeByIndexes(2, 2, 1, 2),
        "Sheet1!A2": sheet.getCell(1, 0),
      };
      const none = range.getIntersectionOrNullObject("X1");
      Object.values(found).forEach((each) => each.load("address"));
      await context.sync();
      expect(Object.values(found).map(({ address }) => address)).toEqual(Object.keys(found));
      expect(none.isNullObject).toBe(true);
      range.getOffsetRange(-5, 0).load("address");
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    }));

  it("quotes sheet names that need it", () =>
    onSheet(async (sheet, context) => {
      sheet.name = "Bid 2 (A)";
      const range = sheet.getRange("$B$2");
      const same = context.workbook.worksheets.getItem("bid 2 (a)").getRange("'Bid 2 (A)'!B2");
      [range, same].forEach((each) => each.load("address,rowIndex,columnIndex,rowCount,columnCount"));
      await context.sync();
      expect([range.address, same.address]).toEqual(["'Bid 2 (A)'!B2", "'Bid 2 (A)'!B2"]);
      expect([range.rowIndex, range.columnIndex, range.rowCount, range.columnCount]).toEqual([1, 1, 1, 1]);
    }));

  it("gives no values for whole columns and rows", () =>
    onSheet(async (sheet, context) => {
      const columns = sheet.getRange("AB:AC");
      columns.load("values,rowCount,columnIndex,isEntireColumn");
      await context.sync();
      expect(columns.values).toBeNull();
      expect([columns.rowCount, columns.columnIndex, columns.isEntireColumn]).toEqual([1_048_576, 27, true]);
    }));

  it("finds the used range, with and without formats", () =>
    onSheet(async (sheet, context) => {
      const empty = sheet.getUsedRangeOrNullObject(true);
      await context.sync();
      expect(empty.isNullObject).toBe(true);
      sheet.getRange("B2").values = [[1]];
      sheet.getRange("C7").formulas = [["=SWARD.GRID(2,2)"]];
      sheet.getRange("F9").format.fill.color = "#123456";
      const values = sheet.getUsedRangeOrNullObject(true);
      const all = sheet.getUsedRange();
      const column = sheet.getRange("B:B").getUsedRangeOrNullObject(true);
      [values, all, column].forEach((range) => range.load("address"));
      await context.sync();
      expect([values.address, all.address, column.address]).toEqual([
        "Sheet1!B2:D8",
        "Sheet1!B2:F9",
        "Sheet1!B2",
      ]);
    }));

  it("finds where a formula spills", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("B2:B3").formulas = [["=SWARD.GRID(1,3)"], ["=1"]];
      const spill = sheet.getRange("B2").getSpillingToRangeOrNullObject();
      const none = sheet.getRange("B3").getSpillingToRangeOrNullObject();
      spill.load("address");
      await context.sync();
      expect(spill.address).toBe("Sheet1!B2:D2");
      expect(none.isNullObject).toBe(true);
    }));
});

describe("cells moved and emptied", () => {
  const filled = (sheet: Excel.Worksheet) => {
    sheet.getRange("A1:C3").values = [
      ["a", "b", "c"],
      ["d", "e", "f"],
      ["g", "h", "i"],
    ];
  };
  const cells = (...names: string[]) => names.map((name) => bench.value("Sheet1", name));

  it("inserts rows, columns and cells", () =>
    onSheet(async (sheet, context) => {
      filled(sheet);
      sheet.getRange("2:2").insert("Down");
      await context.sync();
      expect(cells("A1", "A2", "A3")).toEqual(["a", "", "d"]);
      sheet.getRange("B1").insert("Down");
      await context.sync();
      expect(cells("B1", "B2", "A1")).toEqual(["", "b", "a"]);
    }));

  it("deletes rows, columns and cells", () =>
    onSheet(async (sheet, context) => {
      filled(sheet);
      sheet.getRange("A:A").delete("Left");
      sheet.getRange("A1").delete("Up");
      await context.sync();
      expect(cells("A1", "A2", "B1")).toEqual(["e", "h", "c"]);
    }));

  it("acts on the sheet asked for, not on the one in front", () =>
    onSheet(async (sheet, context) => {
      const other = context.workbook.worksheets.add("Other");
      other.getRange("A1:A2").values = [[1], [2]];
      sheet.activate();
      other.getRange("A1").insert("Down");
      const active = context.workbook.worksheets.getActiveWorksheet();
      active.load("name");
      await context.sync();
      expect(bench.value("Other", "A2")).toBe(1);
      expect(active.name).toBe("Sheet1");
    }));

  it("clears contents, formats or both", () =>
    onSheet(async (sheet, context) => {
      filled(sheet);
      const range = sheet.getRange("A1:B1");
      range.format.font.bold = true;
      range.clear("Contents");
      range.load("values,format/font/bold");
      await context.sync();
      expect(range.values).toEqual([["", ""]]);
      expect(range.format.font.bold).toBe(true);
      range.values = [[1, 2]];
      range.clear("Formats");
      range.load("values,format/font/bold");
      await context.sync();
      expect(range.values).toEqual([[1, 2]]);
      expect(range.format.font.bold).toBe(false);
      range.clear();
      range.load("values");
      await context.sync();
      expect(range.values).toEqual([["", ""]]);
    }));

  it("merges and unmerges", () =>
    onSheet(async (sheet, context) => {
      sheet.getRange("A1:B2").merge();
      sheet.getRange("A1:B2").values = [
        ["kept", "lost"],
        ["lost", "lost"],
      ];
      await context.sync();
      expect(bench.model.getters.getMerges("sheet-1")).toHaveLength(1);
      expect(bench.value("Sheet1", "B2")).toBe("");
      sheet.getRange("A1:D9").unmerge();
      await context.sync();
      expect(bench.model.getters.getMerges("sheet-1")).toHaveLength(0);
      expect(bench.value("Sheet1", "A1")).toBe("kept");
    }));

  it("selects", () =>
    onSheet(async (sheet, context) => {
      const other = context.workbook.worksheets.add("Other");
      other.getRange("C3:D4").select();
      const selected = context.workbook.getSelectedRange();
      const cell = context.workbook.getActiveCell();
      [selected, cell].forEach((range) => range.load("address"));
      sheet.load("name");
      await context.sync();
      expect([selected.address, cell.address]).toEqual(["Other!C3:D4", "Other!C3"]);
    }));
});

it("shows what a cell of text holds on the left, as text is", () =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getActiveWorksheet().getRange("A1:B1");
    range.numberFormat = [["@", "General"]];
    range.values = [["Front lawn", "Back lawn"]];
    await context.sync();
    const { getters } = bench.model;
    const aligned = [0, 1].map((col) => {
      const at = { sheetId: getters.getActiveSheetId(), col, row: 0 };
      return (getters.getEvaluatedCell(at) as { defaultAlign?: string }).defaultAlign;
    });
    expect(aligned).toEqual(["left", "left"]);
  }));
