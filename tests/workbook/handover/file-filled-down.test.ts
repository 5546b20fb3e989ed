/** What is found for a formula that is filled down is what is found for each of its cells by itself. */
import fc from "fast-check";
import { expect, test, vi } from "vitest";
import { spillingCall } from "../../../src/workbook/formulas/calls";
import type { FileCell } from "../../../src/workbook/handover/file/cell-store";
import { CellStore, Texts } from "../../../src/workbook/handover/file/cell-store";
import { FileKnowledge } from "../../../src/workbook/handover/file/file-knowledge";
import { FilledDown } from "../../../src/workbook/handover/file/filled-down";
import { planNative } from "../../../src/workbook/handover/plan";
import { cellAddress } from "../../../src/workbook/host/reference";

const store = (formulas: readonly (readonly [number, number])[]): CellStore => {
  const held = new CellStore(new Texts());
  for (let row = 0; row < 30; row++)
    for (let column = 0; column < 8; column++) {
      const isFormula = formulas.some(([a, b]) => a === row && b === column);
      held.add(row, column, { kind: "number", number: row + column + 1 }, isFormula ? "=1+1" : undefined);
    }
  held.close();
  return held;
};

/** A reference as it is spelt in a cell, its locked sides the same everywhere. */
const at = (
  home: readonly [number, number],
  [row, column]: readonly [number, number],
  locks: number,
): string => {
  const [down, across] = [
    (locks & 1) === 0 ? home[0] + row : row,
    (locks & 2) === 0 ? home[1] + column : column,
  ];
  const [, letters = "", digits = ""] = /^([A-Z]+)(\d+)$/.exec(cellAddress(down, across)) ?? [];
  return `${(locks & 2) === 0 ? "" : "$"}${letters}${(locks & 1) === 0 ? "" : "$"}${digits}`;
};

const formulas: readonly ((a: string, b: string, block: string) => string)[] = [
  (a, b) => `=SWARD.SEED_WEIGHT(${a},${b})`,
  (a, b) => `=IF(${a}>0,SWARD.PACKS(${b},40)*2,"none of A1")`,
  (a, b, block) => `=SWARD.PACKS(SUM(${block})+${a},${b})`,
  (_a, _b, block) => `=SWARD.POLYGON_AREA(${block})`,
  (_a, _b, block) => `=-SWARD.PERIMETER(Other!${block})`,
  (a, b) => `=SWARD.TOPDRESS_VOLUME('My beds'!${a},'My beds'!${b})/2+LOG10(${a})`,
  (a) => `=SWARD.LABEL_DOSE(Rate,${a})`,
  (a, b) => `=SWARD.SEED_WEIGHT(SWARD.PACKS(${a},7),${b},,"metric")`,
  (a, _b, block) => `=SWARD.CATCH_UNIFORMITY(${block})+${a}`,
  (a) => `=SWARD.SEED_WEIGHT(${a},0)`,
  (a, b) => `=SWARD.PACK_MIX(${a},{5,4})+${b}`,
];

const spot = fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: 2 }));
const lock = fc.integer({ min: 0, max: 3 });

test("a formula filled down is planned as each of its cells would be", () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...formulas),
      fc.tuple(spot, spot, spot, spot),
      fc.tuple(lock, lock, lock, lock),
      fc.array(spot, { minLength: 3, maxLength: 6 }),
      fc.array(fc.tuple(fc.integer({ min: 0, max: 12 }), fc.integer({ min: 0, max: 5 })), { maxLength: 10 }),
      (formula, [a, b, first, size], [one, two, three, four], homes, worked) => {
        const knowledge = new FileKnowledge(
          ["Zones", "Other", "My beds"].map((name) => ({ name, held: store(worked) })),
        );
        const alone = vi.fn(({ row, column, formula, value }: FileCell) =>
          planNative(
            { name: "Zones", top: row, left: column, width: 8, rows: [[{ formula, value }]] },
            knowledge,
          ),
        );
        const filled = new FilledDown("Zones", knowledge, alone, (text) => spillingCall(text) !== undefined);
        for (const home of homes) {
          const last: readonly [number, number] = [first[0] + size[0], first[1] + size[1]];
          const block = `${at(home, first, three)}:${at(home, last, four)}`;
          const cell: FileCell = {
            row: home[0],
            column: home[1],
            formula: formula(at(home, a, one), at(home, b, two), block),
            value: 1,
            isError: false,
          };
          const { inputs, ...planned } = filled.plan(cell);
          const { inputs: expected, ...others } = alone(cell);
          expect(planned).toEqual(others);
          const asked = ({ home, input: { position, reference } }: (typeof inputs)[number]) => [
            home,
            position,
            reference,
          ];
          expect(inputs.map(asked)).toEqual(expected.map(asked));
        }
      },
    ),
    { numRuns: 150 },
  );
});

test("a formula filled down a thousand rows is worked out twice", () => {
  const knowledge = new FileKnowledge([{ name: "Zones", held: store([]) }]);
  const alone = vi.fn(({ row, column, formula, value }: FileCell) =>
    planNative({ name: "Zones", top: row, left: column, width: 8, rows: [[{ formula, value }]] }, knowledge),
  );
  const filled = new FilledDown("Zones", knowledge, alone, () => false);
  for (let row = 0; row < 1000; row++)
    filled.plan({ row, column: 3, formula: `=SWARD.PACKS(A${row + 1},$B$1)`, value: 1, isError: false });
  expect(alone).toHaveBeenCalledTimes(2);
});
