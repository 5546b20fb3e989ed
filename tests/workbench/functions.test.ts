import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

/** The value of a formula that stands in F1. */
function evaluated(formula: string) {
  bench.setCell("Sheet1", "F1", formula);
  return bench.value("Sheet1", "F1");
}

const echoed = (formula: string) => JSON.parse(String(evaluated(formula))) as unknown[];

describe("arguments", () => {
  it("passes a blank cell, an omitted and an empty parameter as null", () => {
    expect(echoed("=SWARD.ECHO(A1)").slice(0, 2)).toEqual([null, null]);
    expect(echoed("=SWARD.ECHO(A1,)").slice(0, 2)).toEqual([null, null]);
  });

  it("names the calling cell and the function last", () => {
    expect(echoed("=SWARD.ECHO(1,2)")[2]).toEqual({ address: "Sheet1!F1", functionName: "ECHO" });
  });

  it("passes a range as rows", () => {
    bench.setCells("Sheet1", { A1: "1", B1: "2", C1: "3", A2: "4", B2: "five", C2: "TRUE" });
    expect(echoed("=SWARD.ECHO_RANGE(A1:C2)")).toEqual([
      [1, 2, 3],
      [4, "five", true],
    ]);
  });

  it("passes a single cell to a matrix parameter as one row of one cell", () => {
    expect(echoed("=SWARD.ECHO_RANGE(7)")).toEqual([[7]]);
  });

  it("passes a range to a scalar parameter as the matrix it is", () => {
    bench.setCells("Sheet1", { A1: "1", A2: "2" });
    expect(echoed("=SWARD.ECHO(A1:A2)")[0]).toEqual([[1], [2]]);
    expect(evaluated("=SWARD.TRIPLE(A1:A2)")).toBe("#VALUE!");
  });

  it("collects a repeating parameter in one array", () => {
    bench.setCells("Sheet1", { A1: "1", B1: "2" });
    expect(echoed("=SWARD.ECHO_REST(9,A1:B1,3)")).toEqual([9, [[[1, 2]], [[3]]]]);
  });

  it("does not call the function for an error, and passes the error on", () => {
    expect(evaluated("=SWARD.TRIPLE(1/0)")).toBe("#DIV/0!");
    bench.setCell("Sheet1", "A1", "=1/0");
    expect(evaluated("=SWARD.ECHO_RANGE(A1:B2)")).toBe("#DIV/0!");
  });
});

describe("results", () => {
  it("spills rows and columns", () => {
    bench.setCell("Sheet1", "B2", "=SWARD.GRID(2,3)");
    expect(["B2", "C2", "D2", "B3", "C3", "D3"].map((xc) => bench.value("Sheet1", xc))).toEqual([
      0, 1, 2, 10, 11, 12,
    ]);
  });

  it("shows a refusal as its error with its sentence", () => {
    expect(evaluated('=SWARD.TRIPLE("x")')).toBe("#VALUE!");
    expect(bench.errorMessage("Sheet1", "F1")).toBe("amount: enter a number.");
    expect(evaluated("=SWARD.NO_ROW()")).toBe("#N/A");
    expect(bench.errorMessage("Sheet1", "F1")).toBe("The table has no such row.");
  });

  it("shows any other exception as #VALUE!, without its text", () => {
    expect(evaluated("=SWARD.BROKEN()")).toBe("#VALUE!");
    expect(bench.errorMessage("Sheet1", "F1") ?? "").not.toContain("slip");
  });

  it("shows a number that is not finite as #NUM! and unequal rows as #VALUE!", () => {
    expect(evaluated("=SWARD.ENDLESS()")).toBe("#NUM!");
    expect(evaluated("=SWARD.RAGGED()")).toBe("#VALUE!");
  });

  it("spoils only the cell whose value is an error", () => {
    bench.setCell("Sheet1", "B1", "=SWARD.ONE_BAD_ROW()");
    expect(bench.value("Sheet1", "B1")).toBe(1);
    expect(bench.value("Sheet1", "B2")).toBe("#VALUE!");
    expect(bench.errorMessage("Sheet1", "B2")).toBe("row 2: enter a number.");
  });

  it("takes part in ordinary formulas", () => {
    expect(evaluated("=SUM(SWARD.TRIPLE(2),1)")).toBe(7);
    expect(evaluated('=IFERROR(SWARD.TRIPLE("x"),"caught")')).toBe("caught");
  });

  it("refuses a call without its required parameters", async () => {
    await Excel.run(async (context) => {
      context.workbook.worksheets.getActiveWorksheet().getRange("A1").formulas = [["=SWARD.TRIPLE()"]];
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    });
  });
});

describe("many cells", () => {
  it("recalculates every one of 10,000 custom cells when what they read changes", () => {
    bench.setCells("Sheet1", {
      D1: "7",
      ...Object.fromEntries(
        Array.from({ length: 10_000 }, (_, row) => [`B${row + 1}`, "=SWARD.TRIPLE($D$1)"]),
      ),
    });
    bench.setCell("Sheet1", "D1", "8");
    for (let row = 1; row <= 10_000; row++) expect(bench.value("Sheet1", `B${row}`)).toBe(24);
  });
});
