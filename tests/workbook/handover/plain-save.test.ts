/**
 * A file that another program only opened and saved, or put one row into: nothing is told to be changed that nobody
 * changed, and every function comes back, whatever the sheets are called and whatever the formulas refer to.
 */
import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { editsSinceHandOver } from "../../../src/workbook/handover/sheet-states";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { edited } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const sheets = ["Größe", "зона", "Bid.2026", "Q1", "R1C1", "it's", "A-B"];
const quotedName = (sheet: string): string => `'${sheet.replaceAll("'", "''")}'`;

/** Figures that need more than the fifteen that some programs keep, and some that need few. */
const figures = [
  "0.1234567890123456",
  "1234.5678901234567",
  "3160",
  "0.30000000000000004",
  "1e-7",
  "98765432.10987654",
];

const cells: Readonly<Record<string, string>> = {
  A1: "Area",
  ...Object.fromEntries(figures.map((figure, i) => [`A${i + 2}`, figure])),
  B2: "TRUE",
  B3: "FALSE",
  B4: "-7",
  B5: "12%",
  ...Object.fromEntries(
    sheets.map((sheet, i) => [
      `D${i + 2}`,
      `=SWARD.PACKS(${quotedName(sheet)}!A4,${quotedName(sheet)}!$A$3)`,
    ]),
  ),
  E2: "=SWARD.PACKS(SUM(A:A),A3)",
  E3: "=SWARD.PACKS(SUM(2:3),A3)",
  E4: "=SWARD.PACKS(SUM('зона'!A:A,'Q1'!2:3,'Größe'!$A:$B),A3)",
  E5: "=SWARD.PACKS(sward_area,A3)+SWARD.PACKS(A4,sward_pack)",
  E6: "=IF(TRUE,SWARD.PACKS(A4,A3),FALSE)",
  E7: "=SWARD.SEED_WEIGHT(A4,7)*SWARD.PACKS(A4,2)%",
  E8: "=-SWARD.PACKS(A4,0.30000000000000004)^2",
  E9: '=SWARD.PACKS(A4,50)&" packs"',
  E10: "=SWARD.PACKS(MAX('it''s'!A2:A7),A3)",
};
const formulas = Object.entries(cells).filter(([, content]) => content.startsWith("="));

async function written(): Promise<void> {
  bench.reset(sheets.map((name) => ({ name })));
  for (const sheet of sheets) bench.setCells(sheet, { A2: "5.5", A3: "2.5", A4: "31.25" });
  bench.setCells("Größe", cells);
  bench.setCells("Q1", { D2: "=SWARD.PACKS('Größe'!A4,'R1C1'!A3)", D3: "=SWARD.PACKS('A-B'!A4,'A-B'!A3)" });
  await Excel.run(async (context) => {
    const { names, worksheets } = context.workbook;
    names.add("sward_area", worksheets.getItem("зона").getRange("A4"));
    names.add("sward_pack", worksheets.getItem("Größe").getRange("A3"));
    await context.sync();
  });
  await bench.calculated();
}

/** A row put in above moves every reference of that sheet and of the others to it. */
const below = (formula: string): string =>
  formula.replace(
    /('(?:[^']|'')*'!)?(\$?[A-Z]\$?)(\d+)(?::(\$?[A-Z]\$?)(\d+))?(?![\d(%])/g,
    (
      all,
      sheet: string | undefined,
      column: string,
      row: string,
      column2: string | undefined,
      row2: string | undefined,
    ) =>
      sheet === undefined || sheet === "'Größe'!"
        ? `${sheet ?? ""}${column}${Number(row) + 1}${column2 === undefined ? "" : `:${column2}${Number(row2) + 1}`}`
        : all,
  );

/** Which sheets' quotes a program drops says nothing. */
const unquoted = (formula: string | null): string => (formula ?? "").replace(/'((?:[^']|'')*)'!/g, "$1!");

beforeEach(written);

test("a plain save: nothing is told to be changed, everything comes back", async () => {
  await handOver(sheets, unwatched);
  await bench.importXlsx(await edited(await bench.exportXlsx(), []));
  expect((await editsSinceHandOver()).edits).toEqual([]);
  const report = await bringBack(sheets, unwatched);
  expect(report).toMatchObject({ changed: [], foreign: [] });
  expect(formulas.map(([at]) => unquoted(bench.formula("Größe", at)))).toEqual(
    formulas.map(([, formula]) => unquoted(formula)),
  );
  expect(report.restored).toBe(formulas.length + 2);
});

test("a row put in: the functions come back where they are now", async () => {
  await handOver(sheets, unwatched);
  await bench.importXlsx(await edited(await bench.exportXlsx(), [["insert", "Größe", 0, 1]]));
  expect((await editsSinceHandOver()).edits).toEqual([]);
  const report = await bringBack(sheets, unwatched);
  expect(report).toMatchObject({ changed: [], foreign: [] });
  const moved = (at: string) => at.replace(/\d+/, (row) => String(Number(row) + 1));
  const plain = formulas.filter(([, formula]) => !/\d:\d|[A-Z]:\$?[A-Z]/.test(formula));
  expect(plain.map(([at]) => unquoted(bench.formula("Größe", moved(at))))).toEqual(
    plain.map(([, formula]) => unquoted(below(formula))),
  );
  expect(report.restored).toBe(formulas.length + 2);
});
