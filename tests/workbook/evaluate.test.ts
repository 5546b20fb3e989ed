import { expect, test } from "vitest";
import { evaluate, NotFollowed } from "../../src/workbook/evaluate";

test.each(["#REF!", "Other!#REF!", "'Other one'!#REF!", "1+", "A1:", ")("])(
  "%s is left to the spreadsheet, and stops nothing",
  (text) => {
    expect(() => evaluate(text, () => null)).toThrow(NotFollowed);
  },
);
