/** A text that reads like an error is a text: only what the host says is an error is one. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { findBids } from "../../../src/workbook/bid/find-bids";
import { readFound } from "../../../src/workbook/bid/read";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { handOverWays, ways } from "../../../src/workbook/handover/ways";
import { planValues } from "../../../src/workbook/handover/plan";
import { proving } from "../../../src/workbook/handover/proof";
import { Knowledge } from "../../../src/workbook/formulas/knowledge";
import { valuesBeside } from "../../../src/workbook/handover/values-beside";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { atOnce } from "../../../src/workbook/host/progress";
import { qualified } from "../../../src/workbook/host/reference";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import type { CellContent, SheetCells } from "../../../src/workbook/host/sheets";
import type { Workbench } from "../../../src/workbench/node";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});
beforeEach(() => bench.reset());

const words = ["#N/A", "#VALUE!", "#NAME?", "#BUSY!", "#SPILL!", "#DIV/0!", "#REF!"];

/** In A a figure, in B a call in a formula that shows the word, in C the word in pieces, in D the word as typed. */
async function writeWords(): Promise<void> {
  const cells = words.flatMap((word, i): [string, string][] => [
    [`A${i + 1}`, String(i + 7)],
    [`B${i + 1}`, `=IF(SWARD.PACKS(A${i + 1},2)>0,"${word}","")`],
    [`C${i + 1}`, `="${word.slice(0, 1)}"&"${word.slice(1)}"`],
    [`D${i + 1}`, `'${word}`],
  ]);
  bench.setCells("Sheet1", Object.fromEntries(cells));
  await bench.calculated();
}

const shown = (sheet: string) =>
  ["B", "C", "D"].map((letter) => words.map((_, i) => bench.value(sheet, `${letter}${i + 1}`)));
const asMeant = [words, words, words];

describe("texts that read like errors", () => {
  beforeEach(writeWords);

  test("are told apart by the host", async () => {
    bench.setCells("Sheet1", { E1: "=NA()", E2: "=E1", E3: "=1/0", E4: "=SWARD.PACKS(-1,2)", E5: "=B1" });
    await bench.calculated();
    const types = await Excel.run(async (context) => {
      const range = context.workbook.worksheets.getItem("Sheet1").getRange("B1:E7");
      range.load("valueTypes");
      await context.sync();
      return range.valueTypes;
    });
    expect(types.map((row) => row.slice(0, 3))).toEqual(words.map(() => ["String", "String", "String"]));
    expect(types.map((row) => row[3]).slice(0, 5)).toEqual(["Error", "Error", "Error", "Error", "String"]);
  });

  test.each(handOverWays)("are handed over as %s", async (way) => {
    const report = await handOver(["Sheet1"], unwatched, way);
    expect([report.stopped, report.putBack, report.converted]).toEqual([[], [], words.length]);
    await bench.calculated();
    expect(shown("Sheet1")).toEqual(asMeant);
    if (!ways[way].comesBack) return;
    await bringBack(["Sheet1"], unwatched);
    await bench.calculated();
    expect(bench.formula("Sheet1", "B1")).toBe('=IF(SWARD.PACKS(A1,2)>0,"#N/A","")');
    expect(shown("Sheet1")).toEqual(asMeant);
  });

  test("are values beside, where an error stops it", async () => {
    const { sheets } = await valuesBeside(["Sheet1"], false, unwatched);
    expect(shown(sheets[0] ?? "")).toEqual(asMeant);
    bench.setCell("Sheet1", "F3", "=1/0");
    await expect(valuesBeside(["Sheet1"], false, unwatched)).rejects.toThrow("Sheet1!F3 shows #DIV/0!");
  });

  test("are no trouble of their functions", async () => {
    const [calls] = await listCalls(unwatched);
    expect(calls?.groups.map(({ state }) => state.kind)).toEqual(words.map(() => "in a formula"));
    expect(await repairCalls(unwatched)).toEqual([]);
  });
});

const at = (sheet: SheetCells["name"], ...row: CellContent[]): SheetCells => ({
  ...{ name: sheet, top: 0, left: 0, width: row.length },
  rows: [row],
});
const formula = "=SWARD.PACKS(7,2)";

describe("a cell that was handed over", () => {
  const conversion = { sheet: "Lawn", row: 0, column: 0, original: formula, native: "=1" };
  const proved = (was: Omit<CellContent, "formula">, is: Omit<CellContent, "formula">) =>
    atOnce(proving([conversion], [at("Lawn", { formula, ...was })], [at("Lawn", { formula: "=1", ...is })]))
      .wrong.length;
  const error = { value: "#N/A" };
  const text = { value: "#N/A", isText: true } as const;

  test.each([
    ["the same text", text, text, 0],
    ["an error for an error", error, { value: "#VALUE!" }, 0],
    ["an error for the text", text, error, 1],
    ["the text for an error", error, text, 1],
    ["another text that reads like one", text, { value: "#VALUE!", isText: true } as const, 1],
  ])("shows %s", (_, was, is, wrong) => {
    expect(proved(was, is)).toBe(wrong);
  });
});

test("a plan of values keeps the text and refuses the error", () => {
  const sheet = at(
    "Lawn",
    { formula: '="#N/A"', value: "#N/A", isText: true },
    { formula: "=NA()", value: "#N/A" },
  );
  const { conversions, stopped } = planValues(sheet, new Knowledge([sheet]));
  expect(conversions.map(({ native }) => native)).toEqual(["#N/A"]);
  expect(stopped.map(({ address }) => address)).toEqual(["B1"]);
});

describe("a zone of a bid", () => {
  const nameOfFirst = () =>
    Excel.run(async (context) => {
      const [found] = await findBids(context);
      if (found === undefined) throw new Error("No bid was found.");
      return (await readFound(context, found, ["site"])).rows(zones)[0]?.get("name");
    });
  const { us } = sampleProperty;
  beforeEach(async () => {
    await writeBid({ system: "us", currency: "$", property: "", sample: false, job: us }, unwatched);
  });

  test.each(["#N/A", "#REF!", "#BUSY!"])("may be called %s", async (name) => {
    bid.fill(zones, 0, { name });
    await bench.calculated();
    expect(await nameOfFirst()).toBe(name);
  });

  test("has no name where its cell shows an error", async () => {
    bid.fill(zones, 0, { name: "=1/0" });
    await bench.calculated();
    const at = qualified(bid.at(zones, "name", 0));
    await expect(nameOfFirst()).rejects.toThrow(`${at} shows #DIV/0!: put that right first.`);
  });
});
