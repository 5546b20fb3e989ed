import { describe, expect, test } from "vitest";
import { argumentSort } from "../../../src/workbook/formulas/argument-sort";
import { rewriteNatively } from "../../../src/workbook/formulas/rewrite-calls";
import type { Surroundings } from "../../../src/workbook/formulas/rewrite-calls";
import { recalculateFormulas } from "../../support/libreoffice";

const surroundings: Surroundings = { isComputed: () => true, valueOf: () => 5, spillOf: () => [[5]] };
const native = (formula: string): string => rewriteNatively(formula, surroundings).text;

describe("what an argument that is worked out gives", () => {
  test.each([
    ["OFFSET(A1,0,0,4,2)", "cells"],
    ["OFFSET(INDIRECT(C1),1,0)", "cells"],
    ['INDIRECT("Site!A1:B4")', "cells"],
    ["INDEX(A1:B9,1,1):INDEX(A1:B9,4,2)", "cells"],
    ["A1:INDEX(B1:B9,4)", "cells"],
    ["INDEX(area_table,0,1)", "cells"],
    ["CHOOSE(2,A1:B4,'Other sheet'!A1:B4)", "cells"],
    ["IF(C1>0,A1:B4,D1:E4)", "cells"],
    ["A1*2", "one value"],
    ["-ROUND(A1+area_total,2)%", "one value"],
    ["SUM(A1:A9)+SUMPRODUCT(A1:A9*B1:B9)", "one value"],
    ["IF(C1>0,A1,2)", "one value"],
    ["SWARD.LABEL_DOSE(A1,B1)", "one value"],
    ["A1:D1*1", "array"],
    ["TRANSPOSE(A1:B4)", "array"],
    ["FILTER(A1:B9,C1:C9>0)", "array"],
    ["_xlfn._xlws.FILTER(A1:B9,C1:C9>0)", "array"],
    ["SEQUENCE(4)", "array"],
    ["INDEX(A1:B4*2,0,1)", "array"],
    ["CHOOSE({1,2},A1:A4,B1:B4*2)", "array"],
    ["CHOOSE(1,A1:A4,B1:B4*2)", "array"],
    ["IF(C1:C4>0,A1:A4,0)", "array"],
    ["ROUND(A1:A4,2)", "array"],
    ["-A1:A4", "array"],
    ["SWARD.SEED_MIX(A1,7,B1:B2)", "array"],
    ["D1#", "array"],
    ["(A1", "array"],
  ])("%s: %s", (text, sort) => expect(argumentSort(text)).toBe(sort));
});

describe("an array stands in no cells, so its formula is not converted, and says what to do", () => {
  test.each([
    "=SWARD.POLYGON_AREA(TRANSPOSE(A1:D2))",
    "=SWARD.OFFSET_AREA(A1:D1*1,2)",
    "=SWARD.PERIMETER(FILTER(A1:B9,A1:A9<>0))",
    "=SWARD.RADIAL_AREA(D1#)",
    "=SWARD.CATCH_UNIFORMITY(SORT(A1:A20))",
    "=SWARD.SEASON_ROOM(1.5,A1:A4*2)",
    "=SWARD.SCREEN_LOSS(A1:A4*2,B1:B4)",
    "=SWARD.OFFSET_AREA(A1*2,2)",
    "=SWARD.GEO_AREA(VSTACK(A1:B3,D1:E2))",
    '=SUM(SWARD.EACH_ROW("SEED_WEIGHT",A1:A4*2,7))',
  ])("%s", (formula) =>
    expect(() => native(formula)).toThrow(/^.{30,}(cells of its own|point to|of its own)/),
  );

  test("and one value is one", () => {
    expect(native("=SWARD.SEASON_ROOM(1.5,A1*2,SUM(B1:B9))")).toContain("SUM(A1*2,SUM(B1:B9))");
    expect(native("=SWARD.OFFSET_AREA({1,2,3},2)")).toContain("SUMPRODUCT({1,2,3}*1)");
  });
});

test("cells that are worked out are pointed into, and give what the range itself gives", async () => {
  const corners = [
    [10, 10],
    [60, 10],
    [60, 50],
    [10, 50],
  ];
  const inPlace = native("=SWARD.POLYGON_AREA(A1:B4)");
  const found = [
    "OFFSET(A1,0,0,4,2)",
    'INDIRECT("S!A1:B4")',
    "INDEX(A1:B9,1,1):INDEX(A1:B9,4,2)",
    "CHOOSE(2,D1:E4,A1:B4)",
    "IF(H1=0,A1:B4,D1:E4)",
  ];
  const values = await recalculateFormulas([
    ...corners.flatMap(([x = 0, y = 0], i) => [
      { sheet: "S", address: `A${i + 1}`, content: x },
      { sheet: "S", address: `B${i + 1}`, content: y },
    ]),
    { sheet: "S", address: "K1", content: inPlace },
    ...found.map((text, i) => ({
      sheet: "S",
      address: `K${i + 2}`,
      content: native(`=SWARD.POLYGON_AREA(${text})`),
    })),
  ]);
  expect((values.get("S") ?? []).map((row) => row[10])).toEqual([2000, 2000, 2000, 2000, 2000, 2000]);
}, 60_000);

test("a range where one value belongs is refused, as the function refuses it", () => {
  expect(native("=SWARD.LABEL_DOSE(A1:A3,4)")).toContain("NA()");
  expect(native("=SWARD.LABEL_DOSE(A1:A1,4)")).not.toMatch(/^=NA\(\)$/);
});
