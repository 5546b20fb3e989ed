import { expect, test } from "vitest";
import { catalogue } from "../../src/engine/catalogue";
import { signature } from "../support/signature";
import { vocabulary, withNew } from "../support/vocabulary";

test("ids, parameters and their order are those of the first release", () => {
  expect(catalogue.map(signature).sort()).toEqual([...vocabulary()].sort());
});

test("the list of them is only ever added to", () => {
  const before = ["AREA(sides)", "EDITION()"];
  expect(withNew(before, ["EDITION([in])", "DEPTH(area)", "AREA(sides, [units])"])).toEqual([
    "AREA(sides, [units])",
    "EDITION([in])",
    "DEPTH(area)",
  ]);
  for (const now of [
    "SURFACE(sides)",
    "AREA(sides2)",
    "AREA(width, sides)",
    "AREA([sides])",
    "AREA(sides, units)",
    "AREA()",
  ])
    expect(() => withNew(before, [now, "EDITION()"]), now).toThrow("Workbooks call AREA(sides)");
});
