import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { Coverage } from "../../../src/workbook/handover/file/coverage";
import type { Block } from "../../../src/workbook/host/reference";

const block = fc
  .tuple(fc.nat(30), fc.nat(150), fc.nat(8), fc.oneof(fc.nat(4), fc.nat(120)))
  .map(([top, left, height, width]): Block => ({ top, left, bottom: top + height, right: left + width }));

const cellsOf = ({ top, left, bottom, right }: Block): readonly string[] => {
  const cells: string[] = [];
  for (let row = top; row <= bottom; row++)
    for (let column = left; column <= right; column++) cells.push(`${row},${column}`);
  return cells;
};

describe("what is taken of a sheet", () => {
  test("is what cell by cell is taken", () => {
    fc.assert(
      fc.property(fc.array(block, { maxLength: 12 }), block, (taken, asked) => {
        const coverage = new Coverage();
        const cells = new Set<string>();
        for (const one of taken) {
          coverage.add(one);
          for (const cell of cellsOf(one)) cells.add(cell);
        }
        const wanted = cellsOf(asked);
        expect(coverage.touches(asked)).toBe(wanted.some((cell) => cells.has(cell)));
        const freeRows = new Set<number>();
        for (let row = asked.top; row <= asked.bottom; row++)
          if (!cellsOf({ ...asked, top: row, bottom: row }).some((cell) => cells.has(cell)))
            freeRows.add(row);
        const found = coverage.free(asked).flatMap(({ top, bottom, left, right }) => {
          expect([left, right]).toEqual([asked.left, asked.right]);
          return Array.from({ length: bottom - top + 1 }, (_, i) => top + i);
        });
        expect(found).toEqual([...freeRows]);
      }),
      { numRuns: 300 },
    );
  });

  test("of whole columns and rows is found too", () => {
    const coverage = new Coverage();
    coverage.add({ top: 0, bottom: Number.MAX_SAFE_INTEGER, left: 2, right: 2 });
    coverage.add({ top: 7, bottom: 7, left: 0, right: Number.MAX_SAFE_INTEGER });
    expect(coverage.free({ top: 0, bottom: 9, left: 0, right: 1 })).toEqual([
      { top: 0, bottom: 6, left: 0, right: 1 },
      { top: 8, bottom: 9, left: 0, right: 1 },
    ]);
    expect(coverage.free({ top: 0, bottom: 9, left: 1, right: 3 })).toEqual([]);
  });
});
