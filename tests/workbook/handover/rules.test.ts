/** Our functions in conditional formats and data validations: handed over where they are or in a copy, and brought back. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { looseReturn as returnOf } from "../../../src/workbook/handover/loose-return";
import { Trust } from "../../../src/workbook/handover/trusted";
import type { Progress } from "../../../src/workbook/host/progress";
import { Stopped } from "../../../src/workbook/host/progress";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { edited } from "../../support/libreoffice";
import { libraryWorkbooks } from "../../support/other-libraries";

let files: ReturnType<typeof libraryWorkbooks>;
let bench: Workbench;
beforeAll(async () => {
  files = libraryWorkbooks();
  bench = await openWorkbench();
});

/** What the workbooks of the files have sheets for. */
const trust = new Trust({ sheets: ["Order", "Stock", "Site"], names: [], tables: [] });
const looseReturn = (formula: string) => returnOf(formula, trust, "Order");

const unescaped = (xml: string): string =>
  xml.replaceAll("&quot;", '"').replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");

const sheetIn = (file: Uint8Array): string => {
  const texts = textsOf(file);
  return texts["xl/worksheets/sheet0.xml"] ?? texts["xl/worksheets/sheet1.xml"] ?? "";
};

/** Every rule of a file's first sheet: where it holds, and what it compares with. */
function rulesOf(file: Uint8Array): Record<string, readonly string[]> {
  const found: Record<string, string[]> = {};
  const holders = /<(conditionalFormatting|dataValidation) [^>]*?sqref="([^"]*)"[\s\S]*?<\/\1>/g;
  for (const [whole, kind = "", sqref = ""] of sheetIn(file).matchAll(holders)) {
    // LibreOffice writes a second figure of 0 where there is none to compare with.
    const formulas = [
      ...whole.replace("<formula2>0</formula2>", "").matchAll(/<formula\d?>([^<]*)<\/formula/g),
    ];
    const key = `${kind === "dataValidation" ? "limit" : "format"} ${sqref}`;
    (found[key] ??= []).push(...formulas.map(([, formula = ""]) => `=${unescaped(formula)}`));
  }
  return found;
}

/** All that a file says of its formats and limits, letter by letter. */
const rulesText = (file: Uint8Array): string =>
  /<conditionalFormatting[\s\S]*<\/dataValidations>/.exec(sheetIn(file))?.[0] ?? "";

/** What the open workbook holds of the same, without a file being made of it. */
function held(): string {
  const { sheets } = bench.model.exportData();
  return JSON.stringify(
    sheets.map(({ conditionalFormats, dataValidationRules, cells }) => [
      conditionalFormats.map(({ ranges, rule }) => [ranges, rule]),
      dataValidationRules.map(({ ranges, criterion }) => [ranges, criterion]).sort(),
      cells,
    ]),
  );
}

const back = (original: string) => ({ original, isUnchanged: true });

const packs = (given: string) => `=_xldudf_SWARD_PACKS(${given})`;

/** What rules.xlsx holds in the first sheet, and can be handed over. */
const convertible = {
  "format A2:A9 E2:E9": ["=SWARD.PACKS($A2,1000)>$C2"],
  "format C1:C9": [
    "=SWARD.PACKS($A$1,1000)",
    "=SWARD.PACKS(Stock!$A$2,5)",
    "=SWARD.PACKS(A1,500)",
    undefined,
  ],
  "limit B1:B3": ["=SWARD.PACKS(B1,1)<10"],
  "limit B4:B6": [undefined, "=SWARD.PACKS($A$1,500)"],
  "limit B7": ["=SWARD.PACKS(Stock!A1,10)"],
} as const;

const leftAlone = ["conditional format of G1:G3", "conditional format of G4", "validation of B9"];

function expectHanded(file: Uint8Array): void {
  const rules = rulesOf(file);
  for (const [key, originals] of Object.entries(convertible))
    for (const [i, original] of originals.entries())
      expect(looseReturn(rules[key]?.[i] ?? ""), `${key} ${i}`).toEqual(
        original === undefined ? undefined : back(original),
      );
}

describe("rules handed over where they are", () => {
  beforeEach(() => bench.importXlsx(files["rules.xlsx"]));

  test("carry their originals, say where they cannot, and come back as they were, letter by letter", async () => {
    const before = await bench.exportXlsx();
    expect(rulesOf(before)["format A2:A9 E2:E9"]).toEqual([`${packs("$A2,1000")}>$C2`]);
    const report = await handOver(["Order"], unwatched);
    expect(report).toMatchObject({ converted: 1, rules: 6, stopped: [], bare: [] });
    expect(report.left.map(({ address }) => address)).toEqual(leftAlone);
    for (const { note } of report.left) expect(note).toMatch(/^Left as it was: .+\.$/);
    const handed = await bench.exportXlsx();
    expectHanded(handed);
    expect(sheetIn(handed)).toMatch(/error="Fewer"[\s\S]*errorTitle="Bags"/);
    expect(sheetIn(handed)).toMatch(/operator="between"[\s\S]*operator="lessThan"[\s\S]*dataBar/);
    const returned = await bringBack(["Order"], unwatched);
    expect(returned).toMatchObject({ restored: 1, changed: [], foreign: [] });
    expect(returned.rules).toEqual([
      "conditional format of A2:A9 E2:E9 on Order",
      "conditional format of C1:C9 on Order",
      "conditional format of C1:C9 on Order",
      "validation of B1:B3 on Order",
      "validation of B4:B6 on Order",
      "validation of B7 on Order",
    ]);
    expect(rulesText(await bench.exportXlsx())).toBe(rulesText(before));
  });

  test("color the cells that they colored, and take and refuse what they did", async () => {
    bench.setCells("Order", { C2: "3", C3: "1", B1: "9", B2: "12", B4: "5", B5: "6", B7: "4", B8: "spring" });
    const shown = () =>
      Excel.run(async (context) => {
        const sheet = context.workbook.worksheets.getItem("Order");
        const limited = ["B1", "B2", "B4", "B5", "B7"].map((xc) => sheet.getRange(xc).dataValidation);
        for (const one of limited) one.load("valid");
        await context.sync();
        const { getters } = bench.model;
        const sheetId = getters.getSheetIds()[0] ?? "";
        const color = (col: number, row: number) =>
          getters.getCellComputedStyle({ sheetId, col, row }).textColor;
        return {
          valid: limited.map(({ valid }) => valid),
          // A2 takes four packs, A3 one; three in stock are too few for the first, one is enough for the second.
          colors: [color(0, 1), color(0, 2), color(4, 1), color(4, 2)].map((one) => one !== undefined),
        };
      });
    const expected = { valid: [true, false, true, false, true], colors: [true, false, true, false] };
    // A host whose functions answer later knows none of them in a rule: only the native forms do anything there.
    if (!isHarsh) expect(await shown()).toEqual(expected);
    await handOver(["Order"], unwatched);
    await bench.calculated();
    expect(await shown()).toEqual(expected);
  });

  // LibreOffice reads its sheets at the same time, and may tie the references of a limit to another one of them: where
  // limits have gone is looked at in a workbook of one sheet, below.
  test("follow inserted rows and columns, and come back where they are now", async () => {
    await handOver(["Order"], unwatched);
    await bench.importXlsx(
      await edited(await bench.exportXlsx(), [
        ["insert", "Order", 0, 2],
        ["insert columns", "Order", 0, 1],
        ["insert", "Stock", 0, 3],
      ]),
    );
    const report = await bringBack(["Order"], unwatched);
    expect(report).toMatchObject({ restored: 1, changed: [], foreign: [] });
    expect(rulesOf(await bench.exportXlsx())).toMatchObject({
      "format B4:B11 F4:F11": [`${packs("$B4,1000")}>$D4`],
      "format D3:D11": [packs("$B$3,1000"), packs("Stock!$A$5,5"), packs("B3,500"), "=100"],
    });
    expect(report.rules).toHaveLength(6);
  });

  test("are short where nothing is to come back", async () => {
    const report = await handOver(["Order"], unwatched, "short native formulas");
    expect(report).toMatchObject({ rules: 6, bare: [] });
    for (const key of Object.keys(convertible))
      expect(rulesOf(await bench.exportXlsx())[key]?.join()).toMatch(/^(?![^]*(?:CHOOSE|SWARD))[^]*ROUNDUP/);
    expect((await bringBack(["Order"], unwatched)).rules).toBeUndefined();
  });

  test("that someone edited are listed and stay, and come back when that is asked for", async () => {
    await handOver(["Order"], unwatched);
    await bench.importXlsx(
      withEdited(await bench.exportXlsx(), {
        "xl/worksheets/sheet0.xml": (xml) => xml.replace(/(sqref="A2:A9[\s\S]*?)ROUNDUP/, "$1ROUNDDOWN"),
      }),
    );
    const report = await bringBack(["Order"], unwatched);
    expect(report.changed).toMatchObject([
      { address: "conditional format of A2:A9 E2:E9", formula: "=SWARD.PACKS($A2,1000)>$C2" },
    ]);
    expect(rulesOf(await bench.exportXlsx())["format A2:A9 E2:E9"]?.join()).toMatch(/ROUNDDOWN/);
    const all = await bringBack(["Order"], unwatched, { editedToo: true });
    expect(all.rules).toEqual(["conditional format of A2:A9 E2:E9 on Order"]);
  });

  /** With each request in turn refused, until none is left to refuse. */
  async function refusingEach(work: () => Promise<unknown>): Promise<number> {
    const copy = bench.copy();
    const before = held();
    for (let batch = 1; batch < 100; batch++) {
      bench.open(copy);
      bench.failAt(batch);
      const failed = await work().then(
        () => false,
        () => true,
      );
      bench.clearFail();
      if (!failed) return batch - 1;
      expect(held(), `batch ${batch}`).toBe(before);
    }
    return expect.unreachable();
  }

  test("whatever request fails, they are as before or all as meant, and never between", async () => {
    expect(await refusingEach(() => handOver(["Order"], unwatched))).toBeGreaterThan(15);
    expectHanded(await bench.exportXlsx());
    expect(await refusingEach(() => bringBack(["Order"], unwatched))).toBeGreaterThan(15);
  });

  test("a stop among them leaves everything as it was", async () => {
    const before = held();
    const stopping = (): Progress => {
      let stopped = false;
      return {
        report: (done, _total, what) => (stopped ||= /rules/.test(what) && done >= 2),
        get stopped() {
          return stopped;
        },
      };
    };
    await expect(handOver(["Order"], stopping())).rejects.toBeInstanceOf(Stopped);
    expect(held()).toBe(before);
    await handOver(["Order"], unwatched);
    const handed = held();
    await expect(bringBack(["Order"], stopping())).rejects.toBeInstanceOf(Stopped);
    expect(held()).toBe(handed);
  });

  test("on a protected sheet nothing is begun", async () => {
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Order").protection.protect();
      await context.sync();
    });
    await expect(handOver(["Order"], unwatched)).rejects.toThrow(/Order is protected/);
  });
});

/** A rule that only looks like one of ours. */
const forged = [
  'CHOOSE(1,2,"=SWARD.PACKS({1},{2})",A1)',
  'CHOOSE(1,2,"=SWARD.PACKS(1,2)+WEBSERVICE({1})",A1)',
  'CHOOSE(1,2,"three")',
];

test.each(forged)("a forged rule gives nothing back: %s", async (formula) => {
  const file = withEdited(files["loose.xlsx"], {
    "xl/worksheets/sheet1.xml": (xml) =>
      xml.replace(/(<conditionalFormatting sqref="A1:A3"[\s\S]*?<formula>)[^<]*/, (_, tag: string) =>
        tag.concat(formula.replaceAll('"', "&quot;")),
      ),
  });
  await bench.importXlsx(file);
  const before = held();
  expect((await bringBack(["Site"], unwatched)).rules).toBeUndefined();
  expect(held()).toBe(before);
});

test("a rule that the workbook does not take is left as it was, and the rest is handed over", async () => {
  const file = withEdited(files["loose.xlsx"], {
    "xl/worksheets/sheet1.xml": (xml) =>
      xml.replace("PACKS($A1,1000)&gt;2", "PACKS($A1,1000)&gt;SUM(Beds[Area])"),
  });
  await bench.importXlsx(file);
  const report = await handOver(["Site"], unwatched);
  expect(report.left.map(({ address }) => address)).toContain("conditional format of A1:A3");
  const rules = rulesOf(await bench.exportXlsx());
  expect(rules["format A1:A3"]).toEqual([`${packs("$A1,1000")}>SUM(Beds[Area])`]);
  expect(looseReturn(rules["limit C1"]?.[0] ?? "")).toEqual(back("=SWARD.PACKS(C1,1)<10"));
});

describe("rules of a copy made from the file", () => {
  const copyOf = async (file: Uint8Array) =>
    (await rewriteFile(file, { mode: "native formulas" }, unwatched)).bytes;

  test("come back after LibreOffice has saved them, with the cells", async () => {
    const copy = await copyOf(files["rules.xlsx"]);
    expectHanded(copy);
    await bench.importXlsx(await edited(copy, [["insert", "Order", 0, 1]]));
    expect(await bringBack(["Order"], unwatched)).toMatchObject({ restored: 1, changed: [], foreign: [] });
    expect(rulesOf(await bench.exportXlsx())).toMatchObject({
      "format A3:A10 E3:E10": [`${packs("$A3,1000")}>$C3`],
      "format C2:C10": [packs("$A$2,1000"), packs("Stock!$A$2,5"), packs("A2,500"), "=100"],
    });
  });

  test("of another library, with texts, lengths and days, on a sheet with a quoted name", async () => {
    const name = "Smith's beds";
    await bench.importXlsx(files["beds.xlsx"]);
    const before = rulesOf(await bench.exportXlsx());
    await bench.importXlsx(await edited(await copyOf(files["beds.xlsx"]), [["insert", name, 0, 1]]));
    expect(await bringBack([name], unwatched)).toMatchObject({ restored: 3, changed: [], foreign: [] });
    expect(rulesOf(await bench.exportXlsx())).toMatchObject({
      "limit A3:A5 A10": [packs("$B$3,500")],
      "limit D3": [`=45000+${packs("$B$3,500").slice(1)}`],
    });
    await bench.importXlsx(await edited(await bench.exportXlsx(), [["delete", name, 0, 1]]));
    expect(rulesOf(await bench.exportXlsx())).toEqual(before);
  });
});
