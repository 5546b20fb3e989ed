import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bidSheets } from "../../../src/workbook/bid/bid-sheets";
import { prices } from "../../../src/workbook/bid/sheets/client-page";
import { needs } from "../../../src/workbook/bid/sheets/quantities";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { CellContent } from "../../support/libreoffice";
import { edited, plainWorkbook, recalculate, valueIn } from "../../support/libreoffice";

const native = { mode: "native formulas" } as const;
const values = { mode: "values" } as const;

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});
beforeEach(() => bench.reset());

const partsOf = (bytes: Uint8Array): Record<string, string> =>
  Object.fromEntries(Object.entries(unzipSync(bytes)).map(([name, part]) => [name, strFromU8(part)]));

const withParts = (bytes: Uint8Array, more: Record<string, string>): Uint8Array =>
  zipSync({
    ...unzipSync(bytes),
    ...Object.fromEntries(Object.entries(more).map(([name, text]) => [name, strToU8(text)])),
  });

/** A workbook as Excel stores our functions, written part by part, with a neighbour sheet that is none of ours. */
const stored: readonly CellContent[] = [
  { sheet: "Zones", address: "A1", content: 2500 },
  { sheet: "Zones", address: "B1", content: 0.25 },
  { sheet: "Zones", address: "C1", content: "=_xldudf_SWARD_TOPDRESS_BAGS(A1,B1,3,0.2)" },
  { sheet: "Zones", address: "D1", content: '=IF(C1>20,"a & b",SWARD.PACKS(A1,40))' },
  { sheet: "Other", address: "A1", content: "=1+1" },
];

describe("a copy of a file", () => {
  test("becomes native and recalculates in LibreOffice to what the functions would say", async () => {
    const copy = await rewriteFile(plainWorkbook(stored), native, unwatched);
    expect(copy).toMatchObject({ converted: 2, stopped: [] });
    const cells = await recalculate(copy.bytes);
    // 2,500 ft2 at 1/4 in from 3 ft3 bags of which a fifth stays on the screen.
    expect(cells.get("Zones")?.[0]?.[2]).toBe(Math.ceil((2500 * 0.25) / 12 / 2.4));
    expect(cells.get("Zones")?.[0]?.[3]).toBe("a & b");
  });

  test("leaves every part that is none of ours as it was, to the byte", async () => {
    const more = {
      "xl/charts/chart1.xml": "<c:chart xmlns:c='x'/>",
      "xl/media/image1.png": "\u0089PNG not really",
      "xl/vbaProject.bin": "macro",
      "xl/comments1.xml": "<comments/>",
    };
    const before = withParts(plainWorkbook(stored), more);
    const after = partsOf((await rewriteFile(before, native, unwatched)).bytes);
    const changed = Object.entries(partsOf(before)).filter(([name, text]) => after[name] !== text);
    expect(changed.map(([name]) => name)).toEqual(["xl/sheet1.xml"]);
    expect(Object.keys(after).sort()).toEqual(Object.keys(partsOf(before)).sort());
  });

  test("inside the sheet only our formulas and the limits on their inputs differ", async () => {
    const before = partsOf(plainWorkbook(stored))["xl/sheet1.xml"] ?? "";
    const after =
      partsOf((await rewriteFile(plainWorkbook(stored), native, unwatched)).bytes)["xl/sheet1.xml"] ?? "";
    const rest = (xml: string) =>
      xml.replace(/<f>[\s\S]*?<\/f>/g, "").replace(/<dataValidations[\s\S]*?<\/dataValidations>/, "");
    expect(rest(after)).toBe(rest(before));
    expect(after).toContain("<f>CHOOSE(1,ROUNDUP(ROUND(A1*B1/12/(3*(1-0.2)),9),0),");
    expect(after).toContain('sqref="B1"');
  });

  test("as values keeps the cached values, the look and the texts, and drops the chain of calculation", async () => {
    await writeBid({ system: "us", currency: "$", property: "Larkfield House", sample: true }, unwatched);
    const before = await bench.exportXlsx();
    const copy = await rewriteFile(before, values, unwatched);
    expect(copy.stopped).toEqual([]);
    const after = partsOf(copy.bytes);
    for (const [name, xml] of Object.entries(after))
      if (name.startsWith("xl/worksheets/sheet")) expect(xml).not.toMatch(/<f[ >]/);
    expect(after["xl/styles.xml"]).toBe(partsOf(before)["xl/styles.xml"]);
    await bench.importXlsx(copy.bytes);
    expect(bid.value(prices, "price", "withTax")).toBe(3615.69);
    expect(bid.formula(prices, "price", "withTax")).toBeNull();
  });

  test("of the sample bid, saved by the workbench and by LibreOffice, agrees with the functions", async () => {
    const { sheets } = await writeBid(
      { system: "us", currency: "$", property: "Larkfield House", sample: true },
      unwatched,
    );
    expect(new Set(sheets).size).toBe(bidSheets.length);
    const [total, seed] = [bid.at(prices, "price", "withTax"), bid.at(needs, "seed", "all")];
    const [asked, needed] = [bid.number(prices, "price", "withTax"), bid.number(needs, "seed", "all")];
    const fromWorkbench = await bench.exportXlsx();
    const copy = await rewriteFile(fromWorkbench, native, unwatched);
    expect(copy.stopped).toEqual([]);
    const cells = await recalculate(copy.bytes);
    expect(valueIn(cells, total)).toBeCloseTo(asked, 9);
    expect(valueIn(cells, seed)).toBeCloseTo(needed, 9);
    // Saved where the functions are not known, the file has lost what the search over packs had found.
    const known = await rewriteFile(await edited(fromWorkbench, []), native, unwatched);
    expect(known.converted).toBeGreaterThan(30);
    expect([...new Set(known.stopped.map(({ sheet }) => sheet))]).toEqual(["Order"]);
    expect(valueIn(await recalculate(known.bytes), seed)).toBeCloseTo(needed, 9);
  });

  test("a shared formula is written out for each of its cells", async () => {
    const file = plainWorkbook([
      { sheet: "S", address: "A1", content: 10 },
      { sheet: "S", address: "A2", content: 21 },
      { sheet: "S", address: "B1", content: "=SWARD.PACKS(A1,10)" },
      { sheet: "S", address: "B2", content: "=SWARD.PACKS(A2,10)" },
    ]);
    const xml = partsOf(file)["xl/sheet1.xml"] ?? "";
    const shared = xml
      .replace("<f>SWARD.PACKS(A1,10)</f>", '<f t="shared" ref="B1:B2" si="0">SWARD.PACKS(A1,10)</f>')
      .replace("<f>SWARD.PACKS(A2,10)</f>", '<f t="shared" si="0"/>');
    expect(shared).not.toBe(xml);
    const copy = await rewriteFile(withParts(file, { "xl/sheet1.xml": shared }), native, unwatched);
    const cells = (await recalculate(copy.bytes)).get("S");
    expect([cells?.[0]?.[1], cells?.[1]?.[1]]).toEqual([1, 3]);
  });
});

describe("a file that is not to be trusted", () => {
  const good = plainWorkbook(stored);
  const refusal = async (bytes: Uint8Array): Promise<string> => {
    try {
      await rewriteFile(bytes, native, unwatched);
    } catch (error) {
      return error instanceof Error ? `${error.name}: ${error.message}` : "";
    }
    return "it was opened";
  };

  test("cut short", async () =>
    expect(await refusal(good.subarray(0, good.length - 200))).toMatch(
      /^WorkbookTrouble: .*not a whole workbook/,
    ));
  test("not a workbook at all", async () =>
    expect(await refusal(strToU8("hello"))).toMatch(/not a whole workbook/));
  test("a zip that holds no workbook", async () =>
    expect(await refusal(zipSync({ "a.txt": strToU8("a") }))).toMatch(/holds no workbook/));
  test("a part that leads out of the package", async () =>
    expect(await refusal(withParts(good, { "../outside.xml": "x" }))).toMatch(/which no workbook has/));
  test("entities", async () =>
    expect(
      await refusal(withParts(good, { "xl/workbook.xml": '<!DOCTYPE a [<!ENTITY b "c">]><workbook/>' })),
    ).toMatch(/entities/));
  test("a hundred thousand sheets, of which it reads no more than a thousand and one", async () => {
    const sheets = Array.from(
      { length: 100_000 },
      (_, i) => `<sheet name="s${i}" sheetId="${i + 1}" r:id="rId1"/>`,
    );
    // What stands behind them would be damage, if anyone came to it.
    const xml = `<workbook><sheets>${sheets.join("")}</not-closed>`;
    expect(await refusal(withParts(good, { "xl/workbook.xml": xml }))).toMatch(/more than 1000 sheets/);
  });
  test("a bomb", async () => {
    const zeros = new Uint8Array(260e6);
    expect(await refusal(zipSync({ "xl/workbook.xml": zeros }, { level: 1 }))).toMatch(/unpacks to far more/);
  });
});
