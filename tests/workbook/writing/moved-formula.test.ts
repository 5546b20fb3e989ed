/** A formula is known again after rows, columns and sheets that it reads were moved, renamed or taken away. */
import { expect, test } from "vitest";
import { isMovedFormula, movedContent, readsMore } from "../../../src/workbook/writing/moved-formula";

const still = { down: 0, across: 0 };
const down = { down: 1, across: 0 };
const left = { down: 0, across: -1 };

test.each([
  ["=$A4+B$1", "=$A5+B$1", down],
  ["=SUM(C3:C9)", "=SUM(C3:C10)", down],
  ["=SUM(C3:D9)", "=SUM(B3:C9)", left],
  // As programs spell a reference whose cells, or whose sheet, are gone.
  ["=Lawns!$B$4*2", "=#REF!*2", still],
  ["=Lawns!$B$4*2", "=Lawns!#REF!*2", still],
  ["=Lawns!$B$4*2", "='Front lawns'!#REF!*2", down],
  ["=Lawns!$B$4*2", "=#REF!$B$4*2", still],
  ["=Lawns!$B$4*2", "='Front lawns'!$B$4*2", still],
  ["='It''s'!B4", "=Its!B5", down],
  ['=IF(B4="","",B4)', '=IF(#REF!="","",#REF!)', still],
])("%s reads %s", (before, now, shift) => {
  expect(isMovedFormula(now, before, shift)).toBe(true);
});

test.each([
  ["=$A4+B$1", "=$A6+B$1", down],
  ["=$A4", "=$A4+1", down],
  ["=Lawns!B4", "=B4", still],
  ["=B4", "=Lawns!B4", still],
  ["=B4*2", "=B4*3", down],
  ["=7", "=#REF!", still],
  ["=B4", '="#REF!"', still],
])("%s is not %s", (before, now, shift) => {
  expect(isMovedFormula(now, before, shift)).toBe(false);
});

test.each([
  ["=SUM(C3:C9)", "=SUM(C3:C10)", true],
  ["=SUM(C3:C9)", "=SUM(C4:C10)", true],
  ["=SUM(C3:C9)", "=SUM(C3:C8)", false],
  ["=SUM(C3:C9)*D1", "=SUM(C3:C10)*D1", true],
  ["=SUM(C3:C9,D3:D9)", "=SUM(C3:C10,D3:D8)", false],
  ["=SUM(Lawns!C3:D9)", "=SUM('Front lawns'!C3:D9)", true],
  ["=SUM(Lawns!C3:D9)", "=SUM(#REF!)", false],
  ["=SUM(C:C)", "=SUM(D:D)", true],
  ["=SUM(C3:C9)", "=MAX(C3:C10)", false],
  ["=SUM(C3:C9)", "=SUM(C3:C10)+1", false],
  ["=SUM(Areas)", "=SUM(Rates)", false],
])("%s reads no less as %s: %s", (before, now, is) => {
  expect(readsMore(now, before)).toBe(is);
});

const at = { row: 3, column: 2 };
test.each([
  // Its own row and what stands below have moved along, and so has what stands above and is not fixed.
  ["=B4+C9+C2", down, "=B5+C10+C3"],
  ["=B4+C$9+C$2", down, "=B5+C$10+C$2"],
  ["=$A4*D4", { down: 0, across: 1 }, "=$A4*E4"],
  ["=SUM(C2:C9)", { down: -1, across: 0 }, "=SUM(C1:C8)"],
  ["=Rates!B2*C4", down, "=Rates!B2*C5"],
  ['="C4"&C4', down, '="C4"&C5'],
  ["=SUM(C:C)", { down: 2, across: 1 }, "=SUM(D:D)"],
  ["=C1", { down: -1, across: 0 }, "=C1"],
])("%s, moved by %o, reads %s", (formula, shift, now) => {
  expect(movedContent({ formula }, at, shift)).toEqual({ formula: now });
});

test("what is no formula reads the same wherever it is moved to", () => {
  for (const content of ["=C4", 7, "", true]) expect(movedContent(content, at, down)).toBe(content);
});
