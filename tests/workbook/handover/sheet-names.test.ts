/**
 * Sheets called what an estimator may call them, and what reads like something else in a formula: through rows put
 * in, new names, copies, a file down and up, the hand-over and the return.
 * Left out: blanks at a name's ends and `#REF!`, which the spreadsheet underneath cannot hold.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const names = [
  ...[
    "2026",
    "TRUE",
    "false",
    "A1",
    "XFD1048576",
    "R1C1",
    "R",
    "c",
    "rc2",
    "Größe",
    "зона",
    "日本",
    "Bid.2026",
  ],
  ...["1st cut", "A-B", "a,b", "a;b", "(x)", "{1}", '"quoted"', "=1+1", "50%", "@home", "x!y", "$A$1"],
  ...["Front & <back>", "SWARD.PACKS", "tab\u00a0blank", "x".repeat(31), "😀 lawn"],
];

const quoted = (name: string): string => `'${name.replaceAll("'", "''")}'`;

/** Whatever quotes a program leaves out, what a formula refers to is the same. */
const bare = (formula: string | null): string => (formula ?? "").replace(/'((?:[^']|'')*)'!/g, "$1!");

const sheetNamed = (context: Excel.RequestContext, name: string): Excel.Worksheet =>
  context.workbook.worksheets.getItem(name);

test.each(names)("a sheet called %s", async (name) => {
  bench.reset([{ name }, { name: "Order" }]);
  bench.setCells(name, { A1: "Area", A2: "3160", A3: "4200", A4: "=SUM(A2:A3)" });
  bench.setCells("Order", {
    A1: `=SWARD.PACKS(${quoted(name)}!A4,50)`,
    A2: `=SWARD.SEED_WEIGHT(SUM(${quoted(name)}!$A$2:A3),7)`,
    A3: `=${quoted(name)}!A2+1`,
  });
  await bench.calculated();
  const packs = Math.ceil((3160 + 4200) / 50);
  const pounds = ((3160 + 4200) / 1000) * 7;
  const shows = (...expected: readonly unknown[]): void => {
    for (const [i, value] of expected.entries()) {
      const shown = bench.value("Order", `A${i + 1}`);
      if (typeof value === "number") expect(shown, `A${i + 1}`).toBeCloseTo(value, 9);
      else expect(shown, `A${i + 1}`).toBe(value);
    }
  };
  const refersTo = (sheet: string, row: number): void =>
    expect([1, 2, 3].map((at) => bare(bench.formula("Order", `A${at}`)))).toEqual([
      `=SWARD.PACKS(${sheet}!A${row + 2},50)`,
      `=SWARD.SEED_WEIGHT(SUM(${sheet}!$A$${row}:A${row + 1}),7)`,
      `=${sheet}!A${row}+1`,
    ]);
  shows(packs, pounds, 3161);
  refersTo(name, 2);

  await Excel.run(async (context) => {
    sheetNamed(context, name).getRange("2:2").insert("Down");
    await context.sync();
  });
  await bench.calculated();
  shows(packs, pounds, 3161);
  refersTo(name, 3);

  const { [0]: first = "" } = names.filter((one) => one !== name);
  await Excel.run(async (context) => {
    sheetNamed(context, name).name = first;
    await context.sync();
  });
  refersTo(first, 3);
  await Excel.run(async (context) => {
    sheetNamed(context, first).name = name;
    await context.sync();
  });
  refersTo(name, 3);
  shows(packs, pounds, 3161);

  await Excel.run(async (context) => {
    const copy = sheetNamed(context, name).copy("End");
    copy.getRange("A3").values = [[1000]];
    copy.load("name");
    await context.sync();
    const from = sheetNamed(context, "Order").getRange("B1");
    from.formulas = [[`=SWARD.PACKS(${quoted(copy.name)}!A5,50)`]];
    await context.sync();
  });
  await bench.calculated();
  expect(bench.value("Order", "B1")).toBe(Math.ceil((1000 + 4200) / 50));
  shows(packs, pounds, 3161);

  await bench.importXlsx(await bench.exportXlsx());
  await bench.calculated();
  refersTo(name, 3);
  shows(packs, pounds, 3161);

  await handOver(["Order"], unwatched);
  expect(bench.formula("Order", "A1")).toMatch(/^=CHOOSE\(1,/);
  await bench.calculated();
  shows(packs, pounds, 3161);
  await bench.importXlsx(await bench.exportXlsx());
  const back = await bringBack(["Order"], unwatched);
  expect(back).toEqual({ restored: 3, changed: [], foreign: [], notes: [] });
  await bench.calculated();
  refersTo(name, 3);
  shows(packs, pounds, 3161);
});
