/** A range that ends in a cell found by INDEX, which the spreadsheet behind the workbench does not know. */
import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import { hostSpelling, spreadsheetSpelling } from "../../src/workbench/host/written-formulas";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => {
  bench.reset();
  bench.setCells("Sheet1", { A1: "1", B1: "2", A2: "3", B2: "4", A3: "5", B3: "6" });
});

const echoed = (formula: string): unknown => {
  bench.setCell("Sheet1", "F1", formula);
  return JSON.parse(String(bench.value("Sheet1", "F1")));
};

describe("a block up to a cell found by INDEX", () => {
  const filled = "=SWARD.ECHO_RANGE(A1:INDEX(B1:B9,COUNT(A1:A9)))";

  it("is handed over up to that cell, and follows what is filled", () => {
    expect(echoed(filled)).toEqual([
      [1, 2],
      [3, 4],
      [5, 6],
    ]);
    bench.setCells("Sheet1", { A4: "7", B4: "8" });
    expect(JSON.parse(String(bench.value("Sheet1", "F1")))).toHaveLength(4);
  });

  it("is the whole block for row 0, and one column where it is one", () => {
    expect(echoed("=SWARD.ECHO_RANGE(A1:INDEX(B1:B9,0))")).toHaveLength(9);
    expect(echoed("=SWARD.ECHO_RANGE(A1:INDEX(A1:A9,COUNT(A1:A9)))")).toEqual([[1], [3], [5]]);
  });

  it("beyond its rows is an error", () => {
    bench.setCell("Sheet1", "F1", "=SWARD.ECHO_RANGE(A1:INDEX(B1:B9,10))");
    expect(bench.value("Sheet1", "F1")).toBe("#REF!");
  });

  it("reads back as it was written, and moves with what it refers to", async () => {
    bench.setCell("Sheet1", "F1", filled);
    const formula = () =>
      Excel.run(async (context) => {
        const cell = context.workbook.worksheets.getItem("Sheet1").getRange("F1:F2").load("formulas");
        await context.sync();
        return cell.formulas.flat().map(String).join("");
      });
    expect(await formula()).toBe(filled);
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").getRange("1:1").insert("Down");
      await context.sync();
    });
    expect(await formula()).toBe("=SWARD.ECHO_RANGE(A2:INDEX(B2:B10,COUNT(A2:A10)))");
  });
});

describe("its spelling", () => {
  it.each([
    "=SUM(A1:INDEX(B1:B9,COUNT(A1:A9)))",
    "=SUM($A$1:INDEX($B$1:$B$9,COUNT($A$1:$A$9)))+SUM(C1:INDEX(C1:C9,2))",
    '=IF(A1="A1:INDEX(B1:B9,",A1:INDEX(B1:B9,LEN(")")),0)',
    "=A1:INDEX(B2:B9,3)",
    "=A1:INDEX(B1:C9,3)",
    "=INDEX(A1:B9,1,1):INDEX(A1:B9,2,2)",
    "=A1:INDEX(B1:B9",
    "=Sheet2!A1:INDEX(B1:B9,2)",
  ])("of %s there and back is what it was", (formula) => {
    expect(hostSpelling(spreadsheetSpelling(formula))).toBe(formula);
  });

  it.each(["=SUM(A1:B9)", "=A1:INDEX(B2:B9,3)", "=Sheet2!A1:INDEX(B1:B9,2)"])(
    "leaves %s alone",
    (formula) => {
      expect(spreadsheetSpelling(formula)).toBe(formula);
    },
  );
});
