import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start({ enforceRequirementSets: true });
});
beforeEach(() => bench.reset());

describe("values and formulas", () => {
  it("writes, calculates and reads back in one batch", async () => {
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getActiveWorksheet();
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
    });
    expect(bench.value("Sheet1", "B1")).toBe("two");
    expect(bench.value("Sheet1", "A2")).toBe(true);
  });
});
