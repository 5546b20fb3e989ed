import { expect, test } from "vitest";
import { Knowledge } from "../../../src/workbook/formulas/knowledge";
import type { CellContent, SheetCells } from "../../../src/workbook/host/sheets";

const at = (formula: string): CellContent => ({ formula, value: 1 });

test("whether a range holds a formula is told as by looking at each of its cells", () => {
  const rows = Array.from({ length: 60 }, (_row, i) =>
    Array.from({ length: 4 }, (_cell, j) => at((i * 7 + j * 3) % 19 === 0 ? "=1+1" : "1")),
  );
  const sheet: SheetCells = { name: "Site", top: 2, left: 1, width: 4, rows };
  const behind = new Knowledge([sheet]).from("Bid");
  const column = (j: number) => "BCDE".charAt(j);
  for (let top = 0; top < 60; top += 7)
    for (let bottom = top; bottom < 60; bottom += 3)
      for (let left = 0; left < 4; left++)
        for (let right = left; right < 4; right++) {
          const inside = rows.slice(top, bottom + 1).flatMap((row) => row.slice(left, right + 1));
          const reference = `Site!${column(left)}${top + 3}:${column(right)}${bottom + 3}`;
          expect(behind.isComputed(reference), reference).toBe(
            inside.some(({ formula }) => formula === "=1+1"),
          );
        }
  expect(behind.isComputed("Site!A:A")).toBe(false);
  expect(behind.isComputed("Site!1:1048576")).toBe(true);
  expect(behind.isComputed("Elsewhere!A1")).toBe(true);
});

test("a thousand looks at one large range look at its cells once", () => {
  let looks = 0;
  const cell = {
    value: 1,
    get formula() {
      looks++;
      return "1";
    },
  };
  const rows = Array.from({ length: 5000 }, () => [cell]);
  const behind = new Knowledge([{ name: "Site", top: 0, left: 0, width: 1, rows }]).from("Site");
  for (let i = 0; i < 1000; i++) expect(behind.isComputed(`A1:A${5000 - i}`)).toBe(false);
  expect(looks).toBeLessThanOrEqual(2 * 5000);
});
