/** A range that is held between requests goes along with its cells, as the spreadsheet's own references do. */
import fc from "fast-check";
import { beforeAll, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { putInOrTakeOut } from "../support/rows-and-columns";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});

const moves = fc.array(
  fc.record({
    dimension: fc.constantFrom("ROW" as const, "COL" as const),
    at: fc.integer({ min: 0, max: 7 }),
    count: fc.integer({ min: 1, max: 3 }),
    isIn: fc.boolean(),
  }),
  { minLength: 1, maxLength: 4 },
);
const places = fc.record({
  row: fc.integer({ min: 0, max: 6 }),
  column: fc.integer({ min: 0, max: 6 }),
  rows: fc.integer({ min: 2, max: 4 }),
  columns: fc.integer({ min: 2, max: 4 }),
});

it("as a formula's reference does, through whatever is put in and taken out", async () => {
  await fc.assert(
    fc.asyncProperty(places, moves, async ({ row, column, rows, columns }, made) => {
      bench.reset([{ name: "Lawns" }, { name: "Other" }]);
      await Excel.run(async (context) => {
        const held = context.workbook.worksheets
          .getItem("Lawns")
          .getRangeByIndexes(row, column, rows, columns);
        held.load("address");
        await context.sync();
        bench.setCell("Other", "A1", `=COUNTA(${held.address})`);
        for (const one of made) putInOrTakeOut(bench, "Lawns", one);
        const reference = /\((.*)\)/.exec(bench.formula("Other", "A1") ?? "")?.[1] ?? "";
        held.load("address");
        const isGone = await context.sync().then(
          () => false,
          () => true,
        );
        if (/#REF/.test(reference)) expect(isGone).toBe(true);
        else expect(held.address).toBe(reference);
      });
    }),
    { numRuns: 60, seed: 11 },
  );
});
