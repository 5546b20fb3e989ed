/** Every limited cell of an empty bid judges what is typed into it, by the question that the keyboard's entry asks. */
import { expect, test } from "vitest";
import { cellName } from "../../../src/workbench/host/area";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { openWorkbench, unwatched } from "../../support/built-workbench";

test("a number in range is taken, a blank is taken, a word and a number out of range are refused in the cell's words", async () => {
  const bench = await openWorkbench();
  await writeBid({ system: "us", currency: "$", property: "", sample: false }, unwatched);
  const { getters } = bench.model;
  const wrong: string[] = [];
  let judged = 0;
  for (const sheetId of getters.getSheetIds())
    for (const { ranges, criterion } of getters.getDataValidationRules(sheetId)) {
      if (criterion.type !== "customFormula") continue;
      for (const { zone } of ranges)
        for (let row = zone.top; row <= zone.bottom; row++)
          for (let col = zone.left; col <= zone.right; col++) {
            const position = { sheetId, col, row };
            const refusal = (value: number | string | null) => {
              const result = getters.getValidationResultForCellValue(value, position);
              return result.isValid ? undefined : result.error;
            };
            const where = `${getters.getSheetName(sheetId)}!${cellName(col, row)}`;
            judged++;
            if ([0.5, 36, 1, 46000].every((value) => refusal(value) !== undefined))
              wrong.push(`${where} takes no number`);
            if (refusal(null) !== undefined) wrong.push(`${where} takes no blank`);
            const word = refusal("many");
            if (word === undefined) wrong.push(`${where} takes a word`);
            else if (/restrictions defined|custom formula/.test(word))
              wrong.push(`${where} says nothing of its own`);
            // Coordinates and corners may lie on either side of the origin; nothing else may be below nothing.
            const isPoint = where.startsWith("Outlines!") && row >= 14;
            if (!isPoint && refusal(-5) === undefined) wrong.push(`${where} takes -5`);
          }
    }
  expect(wrong).toEqual([]);
  expect(judged).toBeGreaterThan(800);
}, 60_000);
