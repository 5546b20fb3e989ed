/** A workbook that is downloaded and opened again is the workbook that it was, cell by cell. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { writeBid } from "../../src/workbook/bid/write-bid";
import { bringBack } from "../../src/workbook/handover/bring-back";
import { handOver } from "../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../support/built-workbench";
import { differences, everythingIn } from "../support/everything";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

/** What differs after the workbook went through a file, and how much was compared. */
async function reopened() {
  const before = await everythingIn(bench);
  await bench.importXlsx(await bench.exportXlsx());
  const after = await everythingIn(bench);
  return { compared: Object.keys(before).length, different: differences(before, after) };
}

test.each([
  ["us", true],
  ["metric", true],
  ["us", false],
] as const)("the bid sheets, %s, sample %s", async (system, sample) => {
  bench.reset();
  await writeBid({ system, currency: "$", property: "", sample }, unwatched);
  const { compared, different } = await reopened();
  expect(different).toEqual([]);
  expect(compared).toBeGreaterThan(5000);
});

test("handed over, downloaded, opened and brought back, the bid is what it was", async () => {
  bench.reset();
  const { sheets } = await writeBid({ system: "us", currency: "$", property: "", sample: true }, unwatched);
  const before = await everythingIn(bench);
  await handOver(sheets, unwatched);
  await bench.importXlsx(await bench.exportXlsx());
  await bringBack(sheets, unwatched);
  expect(differences(before, await everythingIn(bench))).toEqual([]);
});

/** As a person types them: an apostrophe makes text of what follows it. */
const texts = [
  ...["'10-18-22", "'007", "'3E5", "'=1+1", "''quoted", "'TRUE", "'12%", "'$5", "'1/4", "'1,250", "'12:30"],
  ...["' 5", "'5 ", "'  lead", " blank before", "blank after ", "two\nlines", "'5\n6", "a\tb", "'"],
  ...[
    "'1e-7",
    "'-",
    "'+1",
    "'.5",
    "'(5)",
    "plain",
    "<&> \"q\" 'a'",
    "é ß 日本 😀",
    "x".repeat(3000),
    "_x0041_",
  ],
  ...['="007"', '="a""b"', "'SWARD.PACKS(1,2)"],
];
const numbers = [
  ...[
    "12.5",
    "1e-7",
    "1E+20",
    "-0",
    "0.1",
    "123456789012345",
    "1.7976931348623157e308",
    "2.2250738585072014e-308",
  ],
  ...["4/1/2026", "2026-04-01 13:30", "12:30", "20%", "$5.50", "TRUE", "false", "1,250", "1/3"],
  ...["=1/3", "=1/0", "=NA()", "=1/3*1e-20", "=TRUE", "=A1", '=""', "=SUM(C1:C3)", "=-2^2", '=A1&"x"'],
  ...[
    "=SWARD.PACKS(10,3)",
    "=SWARD.PACKS(10,0)",
    "=SWARD.SEED_MIX(1000,7,C1:C2)",
    "=NOSUCH(1)",
    "='It''s'!A1",
  ],
];
/** Written into cells that are formatted as text. */
const inTextCells = [
  ...[
    "10-18-22",
    "007",
    "3E5",
    "=1+1",
    "'quoted",
    "TRUE",
    "12%",
    " 5",
    "5 ",
    "4/1/2026",
    "plain",
    "1,250",
    "",
  ],
  ...["'=1+1", "''q", "-5", "1e5", "(5)"],
];

test("an estimator's own sheets, with texts that look like something else", async () => {
  bench.reset([{ name: "Own sheet" }, { name: "Sheet1" }, { name: "It's" }]);
  await Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    const range = worksheets.getItem("Own sheet").getRange(`E1:E${inTextCells.length}`);
    range.numberFormat = inTextCells.map(() => ["@"]);
    range.values = inTextCells.map((text) => [text]);
    await context.sync();
  });
  const down = (column: string, cells: readonly string[]) =>
    Object.fromEntries(cells.map((text, i) => [`${column}${i + 1}`, text]));
  bench.setCells("Own sheet", { ...down("A", texts), ...down("C", numbers), G1: "=LEN(E4)", G2: '=E1&"!"' });
  bench.setCells("It's", { A1: "='Own sheet'!C1", A2: "=SUM('Own sheet'!C1:C2)" });
  expect(["A1", "A2", "A3", "A4", "A5", "A6"].map((cell) => bench.value("Own sheet", cell))).toEqual([
    "10-18-22",
    "007",
    "3E5",
    "=1+1",
    "'quoted",
    "TRUE",
  ]);
  expect(bench.value("Own sheet", "G2")).toBe("10-18-22!");
  await Excel.run(async (context) => {
    const { worksheets, names, comments } = context.workbook;
    const sheet = worksheets.getItem("Own sheet");
    const at = (address: string) => sheet.getRange(address);
    // A line that breaks is wrapped by every program that opens it.
    at("A1:A60").format.wrapText = true;
    at("H1:J2").merge();
    at("H1").values = [["merged"]];
    at("K1:K3").format.rowHeight = 30;
    at("K:K").format.columnWidth = 80;
    at("L:L").columnHidden = true;
    at("50:51").rowHidden = true;
    at("M1:M2").numberFormat = [["#,##0.00_);[Red](#,##0.00)"], ["yyyy-mm-dd"]];
    at("M1:M2").values = [[-3.5], [46113]];
    at("M3").format.fill.color = "#FFEE00";
    at("M3").format.font.bold = true;
    at("M3").format.horizontalAlignment = "Right";
    at("M3").values = [[7]];
    at("N1:N5").dataValidation.rule = { list: { inCellDropDown: true, source: "US,metric" } };
    at("N6:N9").dataValidation.rule = { list: { inCellDropDown: true, source: "='It''s'!$A$1:$A$2" } };
    at("O1:O9").dataValidation.rule = { custom: { formula: '=AND(ISNUMBER(O1),O1<>"a""b")' } };
    at("P1").dataValidation.rule = {
      wholeNumber: { formula1: 1, formula2: "=$C$1", operator: "Between" },
    };
    at("P2").dataValidation.rule = { decimal: { formula1: 0.5, operator: "GreaterThan" } };
    at("P2").dataValidation.errorAlert = {
      title: "T",
      message: "M & <m>",
      showAlert: true,
      style: "Warning",
    };
    names.add("Crew_rate", at("C1"), "per hour");
    sheet.names.add("local", at("C2:C4"));
    comments.add("'Own sheet'!A1", "a note & <more>\nsecond");
    worksheets.getItem("It's").activate();
    await context.sync();
  });
  expect((await reopened()).different).toEqual([]);
  // Once more, since what is read is written in other ways than what was typed.
  expect((await reopened()).different).toEqual([]);
});
