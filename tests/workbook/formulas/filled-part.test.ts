import { describe, expect, test } from "vitest";
import type { Surroundings } from "../../../src/workbook/formulas/rewrite-calls";
import { rewriteNatively } from "../../../src/workbook/formulas/rewrite-calls";
import { evaluate } from "../../../src/workbook/formulas/evaluate";
import { blockFilledBy, filledPart } from "../../../src/workbook/formulas/filled-part";

const surroundings: Surroundings = {
  isComputed: () => false,
  valueOf: () => 0,
  spillOf: () => [[0]],
};

describe("the filled part of a block", () => {
  test.each([
    ["B15:C54", "B15:INDEX(C15:C54,COUNT(B15:B54))"],
    ["A2:A9", "A2:INDEX(A2:A9,COUNT(A2:A9))"],
    ["$B$15:$C$54", "$B$15:INDEX($C$15:$C$54,COUNT($B$15:$B$54))"],
  ])("of %s is %s, and the other way round", (block, text) => {
    expect(filledPart(block)).toBe(text);
    expect(blockFilledBy(text)).toBe(block);
  });

  test.each([
    "A1:INDEX(B1:B9,COUNT(B1:B9))",
    "A1:INDEX(B1:B9,COUNT(A1:A8))",
    "A1:INDEX(B1:B9,COUNT(A1:A9)-1)",
    "A1:INDEX(B1:B9,5)",
    "A2:INDEX(B1:B9,COUNT(A1:A9))",
    "A1:INDEX(B1:C9,COUNT(A1:A9))",
    "INDEX(A1:A9,1):INDEX(B1:B9,COUNT(A1:A9))",
    "A1:B9",
    "OFFSET(A1,0,0,COUNT(A1:A9),2)",
  ])("is not what %s is", (text) => expect(blockFilledBy(text)).toBeUndefined());

  test("has the native form of its block, which finds the end by itself", () => {
    const native = (block: string) => rewriteNatively(`=SWARD.POLYGON_AREA(${block})`, surroundings);
    expect(native(filledPart("A1:B9")).text).toBe(native("A1:B9").text);
    expect(native(filledPart("A1:B9")).inputs).toMatchObject([{ reference: "A1:B9" }]);
  });

  test("is worked out where a working is shown", () => {
    const blank = [null, null];
    const cells = [[20, 10], [60, 10], [60, 40], [20, 40], blank, blank];
    const seen: string[] = [];
    const lookup = (reference: string) => {
      seen.push(reference);
      return cells;
    };
    expect(evaluate(`SWARD.POLYGON_AREA(${filledPart("A1:B6")})`, lookup)).toBe(40 * 30);
    expect(seen).toEqual(["A1:B6"]);
  });
});
