import { expect, test } from "vitest";
import { evaluate, NotFollowed } from "../../../src/workbook/formulas/evaluate";

test.each(["#REF!", "Other!#REF!", "'Other one'!#REF!", "1+", "A1:", ")("])(
  "%s is left to the spreadsheet, and stops nothing",
  (text) => {
    expect(() => evaluate(text, () => null)).toThrow(NotFollowed);
  },
);

test("the greatest and the least of more figures than a call takes arguments", () => {
  const figures = Array.from({ length: 150_000 }, (_one, i) => [(i * 7919) % 150_000]);
  expect(evaluate("MAX(A1:A150000)", () => figures)).toBe(149_999);
  expect(evaluate("MIN(A1:A150000,3)", () => figures)).toBe(0);
  expect(evaluate("MAX(A1:A9)", () => null)).toBe(0);
});

test.each(["-".repeat(8000) + "1", "1" + "+1".repeat(4000)])(
  "what is nested without end is left to the spreadsheet",
  (text) => {
    expect(() => evaluate(text, () => null)).toThrow(NotFollowed);
  },
);
