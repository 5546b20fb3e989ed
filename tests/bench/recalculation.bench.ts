/**
 * A handed-over sheet that carries its originals against the bare native formulas, recalculated by each engine that is
 * at hand: what the originals cost whoever recalculates the sheet. Printed as ratios of one run.
 */
import { bench, describe } from "vitest";
import { Knowledge } from "../../src/workbook/formulas/knowledge";
import { planNative } from "../../src/workbook/handover/plan";
import { cellAddress } from "../../src/workbook/host/reference";
import type { SheetCells } from "../../src/workbook/host/sheets";
import { evaluationTimes } from "../support/ironcalc";
import type { CellContent } from "../support/libreoffice";
import { calculationTimes, plainWorkbook } from "../support/libreoffice";

const rows = 10_000;
const name = "Zones";

/** Calls with few and with many references, plain and inside other formulas. */
const calls: Readonly<Record<string, (row: number) => string>> = {
  "a weight of seed": (row) => `=SWARD.SEED_WEIGHT(A${row},$B$1)`,
  "packs of a weight": (row) => `=SWARD.PACKS(SWARD.SEED_WEIGHT(A${row},$B$1),25)`,
  "an offset area": (row) => `=SWARD.OFFSET_AREA(A${row}:A${row + 5},10)`,
  "topdressing bags": (row) => `=SWARD.TOPDRESS_BAGS(A${row},$B$2,$B$3,$B$4)`,
};

function sheetOf(call: (row: number) => string): SheetCells {
  const inputs = ["7", "0.25", "2", "0.05"];
  const content = Array.from({ length: rows }, (_, i) => [
    { formula: String(1000 + i), value: 1000 + i },
    { formula: inputs[i] ?? "", value: i < inputs.length ? Number(inputs[i]) : null },
    { formula: call(i + 1), value: 1 },
  ]);
  return { name, top: 0, left: 0, width: 3, rows: content };
}

function handedOver(sheet: SheetCells, comesBack: boolean): readonly CellContent[] {
  const plan = planNative(sheet, new Knowledge([sheet]), comesBack);
  const typed = sheet.rows.flatMap((row, i) =>
    row
      .slice(0, 2)
      .flatMap(({ value }, j) =>
        typeof value === "number" ? [{ sheet: name, address: cellAddress(i, j), content: value }] : [],
      ),
  );
  const formulas = plan.conversions.map(({ row, column, native }) => ({
    sheet: name,
    address: cellAddress(row, column),
    content: native,
  }));
  return [...typed, ...formulas];
}

/** The quickest of several rounds says most on a machine that others use too. */
const rounds = 12;
const quickest = (times: readonly number[]): number => Math.min(...times.slice(2));

type Engine = (cells: readonly CellContent[]) => Promise<number>;
const engines: Readonly<Record<string, Engine>> = {
  LibreOffice: async (cells) => quickest(await calculationTimes(plainWorkbook(cells), rounds)),
  IronCalc: (cells) => Promise.resolve(quickest(evaluationTimes(cells, rounds))),
};

describe("10,000 rows that carry their originals, recalculated", () => {
  for (const [engine, timeOf] of Object.entries(engines)) {
    for (const [what, call] of Object.entries(calls)) {
      bench(
        `${engine}: ${what}`,
        async () => {
          const sheet = sheetOf(call);
          const [bare, carried] = [
            await timeOf(handedOver(sheet, false)),
            await timeOf(handedOver(sheet, true)),
          ];
          console.log(
            `${engine}, ${what}: ${carried.toFixed(1)} ms with originals, ${bare.toFixed(1)} ms without: ${(carried / bare).toFixed(2)}`,
          );
        },
        { iterations: 1, warmupIterations: 0, time: 0, warmupTime: 0 },
      );
    }
  }
});
