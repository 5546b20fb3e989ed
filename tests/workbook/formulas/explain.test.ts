import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { explainSelectedCell } from "../../../src/workbook/formulas/explain";
import { formulaText, putInSelectedCell, readAddress } from "../../../src/workbook/own-sheets/put";
import { readSelection, watchSelection } from "../../../src/workbook/host/selection";
import { functionNamed } from "../../../src/engine/catalogue";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { withEdited } from "../../support/file-parts";
import { plainWorkbook } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

async function explain(cells: Record<string, string>, at: string) {
  bench.setCells("Sheet1", cells);
  bench.select("Sheet1", at);
  return explainSelectedCell();
}

describe("this cell", () => {
  test("a call shows its values, working and native formula", async () => {
    const cell = await explain(
      { A1: "2500", B1: "0.25", C1: "0.2", D1: "=SWARD.TOPDRESS_BAGS(A1,B1,3,C1)" },
      "D1",
    );
    expect(cell).toMatchObject({ sheet: "Sheet1", address: "D1", shown: "22" });
    const [call] = cell.calls;
    expect(call?.outcome).toMatchObject({ kind: "answer", value: 22, text: "22 bags" });
    expect(
      call?.arguments.map(({ parameter, text, value }) => [parameter.id, text, value]).slice(0, 4),
    ).toEqual([
      ["area", "A1", 2500],
      ["depth", "B1", 0.25],
      ["bag_volume", "3", 3],
      ["screen_loss", "C1", 0.2],
    ]);
    expect(cell.native).toEqual({ text: "=ROUNDUP(ROUND(A1*B1/12/(3*(1-C1)),9),0)", told: [] });
  });

  test("a function down the rows shows every argument under the name that the function gives it, and each row's sum", async () => {
    const cell = await explain(
      { A1: "4000", A2: "2500", B1: "0.85", B2: "0.8", C1: '=SWARD.EACH_ROW("SEED_WEIGHT",A1:A2,7,B1:B2)' },
      "C1",
    );
    const [call] = cell.calls;
    expect(call?.arguments.map(({ parameter, text }) => [parameter.id, text])).toEqual([
      ["function", '"SEED_WEIGHT"'],
      ["area", "A1:A2"],
      ["rate", "7"],
      ["pure_live_seed", "B1:B2"],
      ["units", ""],
    ]);
    expect(call?.outcome).toMatchObject({
      working: {
        lines: [
          { name: "row 1", gives: "32.94 lb" },
          { name: "row 2", gives: "21.88 lb" },
        ],
      },
    });
    expect(JSON.stringify(call?.outcome)).toContain("÷ 85 %");
  });

  test("the native formula of a measured outline says how near it is and what it does not check", async () => {
    const points = { A1: "42", B1: "-93", A2: "42", B2: "-92.9997", A3: "42.0003", B3: "-92.9997" };
    const cell = await explain({ ...points, D1: "=SWARD.GEO_AREA(A1:B3)" }, "D1");
    expect(cell.native).toMatchObject({
      told: [expect.stringContaining("cross itself"), expect.stringContaining("2 millionths")],
    });
  });

  test("nested calls in a larger formula are each explained", async () => {
    const cell = await explain(
      { A1: "4000", B1: "=1+SWARD.PACKS(SWARD.SEED_WEIGHT(SUM(A1,1000),7),25)" },
      "B1",
    );
    expect(
      cell.calls.map(({ definition, outcome }) => [
        definition.id,
        outcome.kind === "answer" && outcome.value,
      ]),
    ).toEqual([
      ["PACKS", 2],
      ["SEED_WEIGHT", 35],
    ]);
  });

  test("a name that stands for a formula is told as one that has no cells to be read", async () => {
    const file = withEdited(
      plainWorkbook([{ sheet: "Sheet1", address: "A1", content: "=SWARD.PACKS(Need,2)" }]),
      {
        "xl/workbook.xml": (xml) =>
          xml.replace(
            "</sheets>",
            '</sheets><definedNames><definedName name="Need">3+4</definedName></definedNames>',
          ),
      },
    );
    await bench.importXlsx(file);
    bench.select("Sheet1", "A1");
    const cell = await explainSelectedCell();
    expect(cell.calls[0]?.arguments.map(({ text }) => text).slice(0, 2)).toEqual(["Need", "2"]);
    expect(cell.native).toMatchObject({ text: expect.stringContaining("Need") as string });
  });

  test("a refusal names the argument and says what to enter", async () => {
    const cell = await explain({ A1: "4000", B1: "95", C1: "=SWARD.SEED_WEIGHT(A1,7,B1)" }, "C1");
    expect(cell.calls[0]?.outcome).toMatchObject({ kind: "refusal", argument: "pure_live_seed" });
    expect(JSON.stringify(cell.calls[0]?.outcome)).toContain("9500 %");
    expect(bench.value("Sheet1", "C1")).toBe("#VALUE!");
    expect(bench.errorMessage("Sheet1", "C1")).toContain("9500 %");
  });

  test("an argument that only the spreadsheet can work out is said to be so", async () => {
    const cell = await explain({ A1: "4", B1: "=SWARD.SEED_WEIGHT(VLOOKUP(4,A1:A1,1,FALSE),7)" }, "B1");
    expect(JSON.stringify(cell.calls[0]?.outcome)).toContain("VLOOKUP is worked out by the spreadsheet");
  });

  test("a whole column is read as far as its sheet is used", async () => {
    const cell = await explain({ A1: "1.5", A2: "0.5", A70: "1", C1: "=SWARD.SEASON_ROOM(5,A:A)" }, "C1");
    expect(cell.calls[0]?.outcome).toMatchObject({ kind: "answer", value: 2 });
    const elsewhere = await explain({ C1: "=SWARD.SEASON_ROOM(5,F:G,80:90)" }, "C1");
    expect(elsewhere.calls[0]?.outcome).toMatchObject({ kind: "answer", value: 5 });
  });

  test("more cells than are read are told, and the rest is shown", async () => {
    const cell = await explain(
      { Z9000: "1", A1: "1", C1: "=SWARD.SEASON_ROOM(SWARD.PACKS(A1,2),A2:B9,D1:Z9000)" },
      "C1",
    );
    expect(cell.calls.map(({ outcome }) => outcome)).toMatchObject([
      {
        kind: "refusal",
        sentence: expect.stringMatching(/^D1:Z9000: .* more than the 200,000 cells/) as string,
      },
      { kind: "answer", value: 1 },
    ]);
    expect(cell.native).toMatchObject({ text: expect.stringContaining("D1:Z9000") as string });
  });

  test("so many calls inside one another that no cell holds their native form are told", async () => {
    const cell = await explain(
      { A1: "100", B1: "2", C1: `=${"SWARD.PACKS(".repeat(18)}A1${",B1)".repeat(18)}` },
      "C1",
    );
    expect(cell.calls).toHaveLength(18);
    expect(cell.calls[17]?.outcome).toMatchObject({ kind: "answer", value: 50 });
    expect(cell.native).toEqual({
      why: expect.stringMatching(/more than 8 of our functions inside one another/) as string,
    });
  });

  test("a cell without our functions has nothing to explain", async () => {
    expect((await explain({ A1: "=1+1" }, "A1")).calls).toEqual([]);
  });
});

describe("put it in the cell", () => {
  const seedWeight = functionNamed("SEED_WEIGHT");

  test("left-out arguments at the end are dropped, those between stay empty", () => {
    expect(seedWeight && formulaText(seedWeight, ["A1", "7", "", ""])).toBe("=SWARD.SEED_WEIGHT(A1,7)");
    expect(seedWeight && formulaText(seedWeight, ["A1", "34", "", '"metric"'])).toBe(
      '=SWARD.SEED_WEIGHT(A1,34,,"metric")',
    );
  });

  test("an empty cell is written, a filled one only when told to", async () => {
    bench.setCells("Sheet1", { A1: "1000", B1: "mine" });
    bench.select("Sheet1", "C1");
    expect(await putInSelectedCell("=SWARD.SEED_WEIGHT(A1,7)", unwatched)).toMatchObject({ kind: "written" });
    expect(bench.value("Sheet1", "C1")).toBe(7);
    bench.select("Sheet1", "B1");
    expect(await putInSelectedCell("=1", unwatched)).toEqual({
      kind: "occupied",
      sheet: "Sheet1",
      address: "B1",
      holds: "mine",
    });
    expect(bench.value("Sheet1", "B1")).toBe("mine");
    expect(await putInSelectedCell("=1", unwatched, { overwrite: true })).toMatchObject({ kind: "written" });
    expect(bench.value("Sheet1", "B1")).toBe(1);
  });
});

describe("selection", () => {
  test("is read with its values, and a new one is told of", async () => {
    bench.setCells("Sheet1", { A1: "1", A2: "=A1+1" });
    let told = 0;
    const stop = await watchSelection(() => void told++);
    bench.select("Sheet1", "A1:A2");
    await new Promise((resolve) => setTimeout(resolve, 400));
    expect(told).toBe(1);
    expect(await readSelection()).toEqual({
      sheet: "Sheet1",
      address: "A1:A2",
      values: [[1], [2]],
      formulas: [[1], ["=A1+1"]],
    });
    await stop();
    bench.select("Sheet1", "B1");
    await new Promise((resolve) => setTimeout(resolve, 400));
    expect(told).toBe(1);
  });

  test("a typed reference gives its values, anything else a sentence", async () => {
    bench.setCells("Sheet1", { A1: "1", A2: "2" });
    expect(await readAddress("Sheet1!A1:A2")).toEqual([[1], [2]]);
    await expect(readAddress("not a place")).rejects.toThrow(/is not a reference: type an address/);
  });
});
