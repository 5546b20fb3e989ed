/** Conditional formats and limits through Office.js, as the host's documentation and its maintainers describe them. */
import { beforeAll, beforeEach, expect, test } from "vitest";
import { harsh } from "../../src/workbench/host/harshness";
import type { Workbench } from "../../src/workbench/node";
import { openWorkbench } from "../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench({ harshness: { ...harsh, manifestSets: false } });
});
beforeEach(() => {
  bench.reset();
  const { getters } = bench.model;
  const [sheetId = ""] = getters.getSheetIds();
  const format = (id: string, operator: "customFormula" | "isBetween", values: string[], ...xcs: string[]) =>
    bench.model.dispatch("ADD_CONDITIONAL_FORMAT", {
      sheetId,
      cf: { id, rule: { type: "CellIsRule", operator, values, style: { bold: true } } },
      ranges: xcs.map((xc) => getters.getRangeDataFromXc(sheetId, xc)),
    });
  format("own", "customFormula", ["=$A2>C2"], "C2:C9", "E2:E9");
  format("between", "isBetween", ["=A1", "10"], "B1:B3");
});

const onSheet = <T>(
  work: (sheet: Excel.Worksheet, context: Excel.RequestContext) => Promise<T>,
): Promise<T> => Excel.run((context) => work(context.workbook.worksheets.getItem("Sheet1"), context));

test("formats are listed for the ranges that they meet, with their kinds and places", () =>
  onSheet(async (sheet, context) => {
    const all = sheet.getRange().conditionalFormats;
    const some = sheet.getRange("E1:E2").conditionalFormats;
    const none = sheet.getRange("D1:D9").conditionalFormats.getCount();
    all.load("items/id,items/type,items/priority");
    some.load("items/id");
    await context.sync();
    expect(all.items.map(({ id, type, priority }) => [id, type, priority])).toEqual([
      ["own", "Custom", 0],
      ["between", "CellValue", 1],
    ]);
    expect(some.items.map(({ id }) => id)).toEqual(["own"]);
    expect(none.value).toBe(0);
    const [own, between] = all.items;
    const { areas } = own?.getRanges() ?? {};
    areas?.load("items/address");
    const one = between?.getRange();
    one?.load("address");
    const several = own?.getRangeOrNullObject();
    several?.load("address");
    await context.sync();
    expect(areas?.items.map(({ address }) => address)).toEqual(["Sheet1!C2:C9", "Sheet1!E2:E9"]);
    expect(one?.address).toBe("Sheet1!B1:B3");
    expect(several?.isNullObject).toBe(true);
  }));

test("a formula is answered as seen from the format's own first cell, and set as seen from the range asked", () =>
  onSheet(async (sheet, context) => {
    const read = async () => {
      const { rule } = sheet.getRange("E9").conditionalFormats.getItem("own").custom;
      rule.load("formula");
      await context.sync();
      return rule.formula;
    };
    expect(await read()).toBe("=$A2>C2");
    sheet.getRange("E2").conditionalFormats.getItem("own").custom.rule.formula = "=$A2>E2+1";
    expect(await read()).toBe("=$A2>C2+1");
    sheet.getRange("C2").conditionalFormats.getItem("own").custom.rule.formula = "=$A2>C2";
    expect(await read()).toBe("=$A2>C2");
  }));

test("a rule is no place for array constants, and a limit's for 255 characters", () =>
  onSheet(async (sheet, context) => {
    const refused = async (set: () => void) => {
      set();
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    };
    const { cellValue } = sheet.getRange("B1").conditionalFormats.getItem("between");
    await refused(() => (cellValue.rule = { formula1: "=SUM({1,2})", formula2: "9", operator: "Between" }));
    const { dataValidation } = sheet.getRange("A1:A3");
    await refused(() => (dataValidation.rule = { custom: { formula: "=A1>SUM({1;2})" } }));
    const long = `=A1>${"1+".repeat(130)}1`;
    await refused(() => (dataValidation.rule = { custom: { formula: long } }));
    sheet.getRange("D1").formulas = [[long]];
    dataValidation.rule = { custom: { formula: '=A1<>"{1}"' } };
    await context.sync();
  }));

test("what a limit compares with moves with the cells, and limited cells are found without saying whose", () =>
  onSheet(async (sheet, context) => {
    const limit = sheet.getRange("B2:B3").dataValidation;
    limit.rule = { decimal: { formula1: 1, formula2: "=MAX($A$1,(A2),2)", operator: "Between" } };
    sheet.getRange("B4").dataValidation.rule = { wholeNumber: { formula1: "=A4", operator: "LessThan" } };
    sheet.getRanges("D2,D5").dataValidation.rule = { custom: { formula: "=D2<9" } };
    sheet.getRange("1:2").insert("Down");
    const { areas } = sheet.getRange().getSpecialCellsOrNullObject("DataValidations");
    areas.load("items/address");
    const [first, both, apart] = [
      sheet.getRange("B4:B5"),
      sheet.getRange("B4:B6"),
      sheet.getRanges("D4,D7"),
    ].map(({ dataValidation }) => dataValidation);
    for (const one of [first, both, apart]) one?.load("type,rule");
    const free = sheet.getRange("A1:A9").getSpecialCellsOrNullObject("DataValidations");
    free.load("address");
    await context.sync();
    expect(first?.rule.decimal).toEqual({ formula1: 1, formula2: "=MAX($A$3,(A4),2)", operator: "Between" });
    expect(both?.type).toBe("MixedCriteria");
    expect(apart?.rule.custom).toEqual({ formula: "=D4<9" });
    expect(areas.items.map(({ address }) => address).sort()).toEqual([
      "Sheet1!B4:B6",
      "Sheet1!D4",
      "Sheet1!D7",
    ]);
    expect(free.isNullObject).toBe(true);
  }));
