/** Twice the workbook is twice the work: cells looked at are counted, since time says nothing. */
import { afterEach, describe, expect, test, vi } from "vitest";
import { Checker } from "../../../src/workbook/checks/checker";
import { checks } from "../../../src/workbook/checks/rules";
import { Survey, SurveyedSheet } from "../../../src/workbook/checks/survey";
import type { CellContent, SheetCells } from "../../../src/workbook/host/sheets";

afterEach(() => {
  vi.restoreAllMocks();
});

const today = 46_251;
const atOnce = () => Promise.resolve();

const content = (cell: string | number): CellContent => ({
  formula: String(cell),
  value: cell === "" ? null : cell,
});
const worked = (formula: string, value: number): CellContent => ({ formula, value });

const sheetOf = (name: string, rows: readonly (readonly CellContent[])[]): SheetCells => ({
  name,
  top: 0,
  left: 0,
  width: rows[0]?.length ?? 0,
  rows: rows.map((row) => [...row]),
});

/** Layers over seed whose areas are all blank yet, row under row; the price is nothing. */
const blankAreas = (name: string, zones: number): SheetCells =>
  sheetOf(
    name,
    Array.from({ length: zones }, (_, i) => [
      content(""),
      worked(`=SWARD.SEED_WEIGHT(A${i + 1},7)`, 0),
      worked(`=SWARD.TOPDRESS_VOLUME(9000,0.5)`, 13.9),
    ]),
  );

/** Labels with their figures, block under block, each with calls that ask for the labels near them. */
const blocks = (name: string, many: number): SheetCells =>
  sheetOf(
    name,
    Array.from({ length: many }, (_, i) => [
      [content("Area"), content(9000), content("")],
      [content("Highest rate"), content(20), content("")],
      [content("Product"), content("Compost"), content("")],
      [content("Dose"), worked(`=SWARD.LABEL_DOSE(B${4 * i + 1},24)`, 216), content("")],
    ]).flat(),
  );

async function looked(sheets: readonly SheetCells[]): Promise<{ cells: number; found: number }> {
  const survey = await Survey.of(sheets, atOnce);
  const looking = vi.spyOn(SurveyedSheet.prototype, "get");
  const checker = new Checker(survey, checks, today);
  await checker.checkAll(atOnce);
  const cells = looking.mock.calls.length;
  vi.restoreAllMocks();
  return { cells, found: checker.findings.length };
}

describe.each([
  [
    "a bid whose areas are blank yet",
    (n: number) => [blankAreas("Quantities", n), blankAreas("Materials", n)],
  ],
  ["own sheets whose areas are blank yet", (n: number) => [blankAreas("Job", n), blankAreas("Notes", n)]],
  ["an own sheet of labels and figures", (n: number) => [blocks("Job", n)]],
  ["own sheets of labels and figures", (n: number) => [blocks("Job", n), blocks("Notes", n)]],
])("%s", (_name, make) => {
  test("is looked at once as often where it is twice as large", async () => {
    const [one, two] = [await looked(make(200)), await looked(make(400))];
    expect(one.cells).toBeGreaterThan(200);
    expect(two.cells / one.cells).toBeLessThan(2.2);
  });
});
