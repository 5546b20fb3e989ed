import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  beyondLimits,
  formulaLimits,
  noCellHolds,
  sizeOf,
} from "../../../src/workbook/formulas/formula-limits";

const nested = (levels: number): string => `=${"ABS(".repeat(levels)}A1${")".repeat(levels)}`;
const withArguments = (count: number): string =>
  `=SUM(${Array.from({ length: count }, () => "A1").join(",")})`;
const ofLength = (length: number): string => `=A1${"+A1".repeat(length)}`.slice(0, length);

describe("the size of a formula", () => {
  test("counts the levels of functions, not of plain brackets", () => {
    expect(sizeOf("=((A1+B1))*2").levels).toBe(0);
    expect(sizeOf("=IF(A1>0,(SUM(B1:B3)),MIN(1,MAX(2,3)))").levels).toBe(3);
  });

  test.each([
    ["=PI()", 0],
    ["=ABS( )", 0],
    ["=IF(A1,,2)", 3],
    ["=IF(,,)", 3],
    ['=SUM({1,2,3;4,5,6},T[[#This Row],[a, b]],"x,y")', 3],
    ["=SUM((A1,B1,C1,D1),2)", 2],
    ["='a,b(c'!A1+MAX('a,b'!A1,2)", 2],
  ])("%s has a function of %i arguments at the most", (formula, most) =>
    expect(sizeOf(formula).arguments).toBe(most),
  );

  test("knows the longest text, a doubled quote counted once", () => {
    expect(sizeOf('="ab""c"&"ab"').textCharacters).toBe(4);
  });
});

describe("a formula beyond a limit is told in one sentence", () => {
  test.each([
    [
      "characters",
      ofLength(formulaLimits.characters),
      ofLength(formulaLimits.characters + 1),
      "8,193 characters",
    ],
    ["levels", nested(64), nested(65), "65 functions inside one another"],
    ["arguments", withArguments(255), withArguments(256), "256 arguments in one function"],
    ["text", `=A1&"${"x".repeat(255)}"`, `=A1&"${"x".repeat(256)}"`, "256 characters in one text"],
    [
      "a quoted quote",
      `=A1&"${'""'.repeat(255)}"`,
      `=A1&"${'""'.repeat(256)}"`,
      "256 characters in one text",
    ],
  ])("%s", (_what, within, beyond, told) => {
    expect(beyondLimits(within)).toBeUndefined();
    expect(beyondLimits(beyond)).toContain(told);
    expect(beyondLimits(beyond)).toMatch(/^[A-Z][^:]*: .*[a-z]\.$/);
  });

  test("brackets, commas and quotes inside a text are none of the formula's", () => {
    expect(beyondLimits(`=A1&"${"(".repeat(200)}"&"${",".repeat(255)}"`)).toBeUndefined();
    expect(beyondLimits(`=SUM({${Array.from({ length: 600 }, (_one, i) => i).join(",")}})`)).toBeUndefined();
  });

  test("the quick look says nothing else than the careful one", () => {
    const levels = fc.integer({ min: 0, max: 70 });
    const commas = fc.integer({ min: 1, max: 270 });
    const text = fc.integer({ min: 0, max: 270 });
    fc.assert(
      fc.property(levels, commas, text, (deep, wide, long) => {
        const formula = `${nested(deep)}+${withArguments(wide).slice(1)}&"${"x".repeat(long)}"`;
        const size = sizeOf(formula);
        expect([size.levels, size.arguments, size.textCharacters]).toEqual([Math.max(1, deep), wide, long]);
        expect(beyondLimits(formula) !== undefined).toBe(deep > 64 || wide > 255 || long > 255);
      }),
    );
  });
});

test("a formula that no cell can hold is known by its length and its depth", () => {
  // Excel's published limits: 8,192 characters, 64 levels.
  const nested = (levels: number): string => `=${"ROUND(".repeat(levels)}1${",0)".repeat(levels)}`;
  expect(noCellHolds(nested(64))).toBe(false);
  expect(noCellHolds(nested(65))).toBe(true);
  expect(noCellHolds(`=${"1+".repeat(4095)}1`)).toBe(false);
  expect(noCellHolds(`=${"1+".repeat(4096)}1`)).toBe(true);
  expect(noCellHolds(`="${"(".repeat(100)}"`)).toBe(false);
  expect(noCellHolds(`=${"ROUND(1,0)+".repeat(100)}1`)).toBe(false);
});
