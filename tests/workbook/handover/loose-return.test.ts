/** Formulas of names, conditional formats and table columns: handed over, worked on by others, and read back. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { looseReturn as returnOf } from "../../../src/workbook/handover/loose-return";
import { Trust } from "../../../src/workbook/handover/trusted";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { edited, recalculate } from "../../support/libreoffice";
import { libraryWorkbooks } from "../../support/other-libraries";

let files: ReturnType<typeof libraryWorkbooks>;
let bench: Workbench;
beforeAll(async () => {
  files = libraryWorkbooks();
  bench = await openWorkbench();
});

/** The workbook of the files, with its one table. */
const trust = new Trust({
  sheets: ["Site"],
  names: [{ name: "Rate", formula: "=Site!$C$1" }],
  tables: [{ name: "Beds", columns: ["Area", "Seed"] }],
});
const looseReturn = (formula: string) => returnOf(formula, trust, "Site");

const copyOf = (file: Uint8Array, mode: "native formulas" | "short native formulas" = "native formulas") =>
  rewriteFile(file, { mode }, unwatched);

const unescaped = (xml: string): string =>
  xml.replaceAll("&quot;", '"').replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");

const found = (text: string | undefined, pattern: RegExp): string =>
  `=${unescaped(pattern.exec(text ?? "")?.[1] ?? "")}`;

const nameIn = (file: Uint8Array, name: string): string =>
  found(
    textsOf(file)["xl/workbook.xml"],
    new RegExp(`<definedName[^>]*name="${name}"[^>]*>([^<]*)</definedName>`),
  );

const formatIn = (file: Uint8Array, column: string): string =>
  found(
    textsOf(file)["xl/worksheets/sheet1.xml"],
    new RegExp(`<conditionalFormatting sqref="${column}[\\s\\S]*?<formula>([^<]*)</formula>`),
  );

const back = (original: string) => ({ original, isUnchanged: true });

describe("names and conditional formats of a copy", () => {
  test("carry their originals, and work out in LibreOffice what the functions would", async () => {
    const { bytes } = await copyOf(files["loose.xlsx"]);
    expect(looseReturn(nameIn(bytes, "Bags"))).toEqual(back("=SWARD.PACKS(Site!$A$1,1000)"));
    expect(looseReturn(nameIn(bytes, "Local"))).toEqual(back("=SWARD.PACKS(Site!$A$2,1000)"));
    expect(looseReturn(formatIn(bytes, "A"))).toEqual(back("=SWARD.PACKS($A1,1000)>2"));
    // 2,500 ft2 in packs for 1,000 ft2, twice; then of 5,200 ft2.
    expect((await recalculate(bytes)).get("Site")?.[0]?.[1]).toBe(2 * 3);
    const changed = await edited(bytes, [["set", "Site", "A1", "5200"]]);
    expect((await recalculate(changed)).get("Site")?.[0]?.[1]).toBe(2 * 6);
  });

  test("come back letter by letter after LibreOffice has saved them, their references where they are now", async () => {
    const { bytes } = await copyOf(files["loose.xlsx"]);
    const moved = await edited(bytes, [
      ["insert", "Site", 0, 2],
      ["insert columns", "Site", 0, 1],
    ]);
    expect(looseReturn(nameIn(moved, "Bags"))).toEqual(back("=SWARD.PACKS(Site!$B$3,1000)"));
    expect(looseReturn(nameIn(moved, "Local"))).toEqual(back("=SWARD.PACKS(Site!$B$4,1000)"));
    expect(looseReturn(formatIn(moved, "B"))).toEqual(back("=SWARD.PACKS($B3,1000)>2"));
  });

  test("that someone edited are told apart from those as they were", async () => {
    const { bytes } = await copyOf(files["loose.xlsx"]);
    const written = nameIn(bytes, "Bags");
    expect(looseReturn(written.replace("ROUNDUP", "ROUNDDOWN"))).toEqual({
      original: "=SWARD.PACKS(Site!$A$1,1000)",
      isUnchanged: false,
    });
  });

  test("that only look like ours give nothing back", () => {
    for (const forged of [
      '=CHOOSE(1,2,"=SWARD.PACKS({1},{2})",A1)',
      '=CHOOSE(1,2,"=SWARD.PACKS(1,2)+WEBSERVICE({1})",A1)',
      '=CHOOSE(1,2,"three")',
      "=A1*2",
    ])
      expect(looseReturn(forged), forged).toBeUndefined();
  });

  test("are bare in a copy that does not come back", async () => {
    const { bytes, bare } = await copyOf(files["loose.xlsx"], "short native formulas");
    for (const formula of [nameIn(bytes, "Bags"), formatIn(bytes, "A")]) {
      expect(formula).toMatch(/ROUNDUP/);
      expect(formula).not.toMatch(/CHOOSE|SWARD/);
    }
    expect(bare).toEqual([]);
  });
});

describe("names of a copy that is opened again", () => {
  test("come back with the cells, those of the workbook and those of a sheet, where they are now", async () => {
    const { bytes } = await copyOf(files["loose.xlsx"]);
    await bench.importXlsx(await edited(bytes, [["insert", "Site", 0, 2]]));
    expect(await bringBack(["Site"], unwatched)).toMatchObject({ changed: [], names: ["Bags", "Local"] });
    const saved = await bench.exportXlsx();
    expect(nameIn(saved, "Bags")).toBe("=_xldudf_SWARD_PACKS(Site!$A$3,1000)");
    expect(nameIn(saved, "Local")).toBe("=_xldudf_SWARD_PACKS(Site!$A$4,1000)");
  });

  test("that were edited stay, and come back when that is asked for", async () => {
    const { bytes } = await copyOf(files["loose.xlsx"]);
    const touched = withEdited(bytes, {
      "xl/workbook.xml": (xml) => xml.replace(/(name="Bags"[^>]*>[^<]*?)ROUNDUP/, "$1ROUNDDOWN"),
    });
    await bench.importXlsx(touched);
    const report = await bringBack(["Site"], unwatched);
    expect(report.names).toEqual(["Local"]);
    expect(report.changed).toMatchObject([{ address: "name Bags", formula: "=SWARD.PACKS(Site!$A$1,1000)" }]);
    expect(nameIn(await bench.exportXlsx(), "Bags")).toMatch(/^=CHOOSE\(1,[^]*ROUNDDOWN/);
    expect((await bringBack(["Site"], unwatched, { editedToo: true })).names).toEqual(["Bags"]);
    expect(nameIn(await bench.exportXlsx(), "Bags")).toBe("=_xldudf_SWARD_PACKS(Site!$A$1,1000)");
  });
});

describe("names handed over where they are", () => {
  beforeEach(async () => {
    await bench.importXlsx(files["loose.xlsx"]);
    bench.setCell("Site", "D1", "=SWARD.PACKS(A1,1000)");
  });

  test("carry their originals, are listed where they cannot, and come back", async () => {
    const report = await handOver(["Site"], unwatched);
    expect(report).toMatchObject({ converted: 1, stopped: [], bare: [{ address: "validation of C3" }] });
    expect(report.left.map(({ address }) => address)).toEqual([
      "name Edition",
      "conditional format of B1",
      "validation of C2",
    ]);
    const saved = await bench.exportXlsx();
    expect(looseReturn(nameIn(saved, "Bags"))).toEqual(back("=SWARD.PACKS(Site!$A$1,1000)"));
    expect(looseReturn(nameIn(saved, "Local"))).toEqual(back("=SWARD.PACKS(Site!$A$2,1000)"));
    expect((await bringBack(["Site"], unwatched)).names).toEqual(["Bags", "Local"]);
    expect(nameIn(await bench.exportXlsx(), "Local")).toBe("=_xldudf_SWARD_PACKS(Site!$A$2,1000)");
  });

  test("are bare in the short form, and stay so", async () => {
    await handOver(["Site"], unwatched, "short native formulas");
    expect(nameIn(await bench.exportXlsx(), "Bags")).toMatch(/^=(?!CHOOSE)[^]*ROUNDUP/);
    expect((await bringBack(["Site"], unwatched)).names).toBeUndefined();
  });
});

test("a limit's rule that has no room for its original is converted, and listed", async () => {
  const { bytes, bare } = await copyOf(files["loose.xlsx"]);
  expect(bare.map(({ sheet, address, formula }) => [sheet, address, formula])).toEqual([
    ["Site", "validation of C3", "=SWARD.PACKS(A1,C1)+SWARD.PACKS(B1,C1)+SWARD.PACKS(A2,C1)>C3"],
  ]);
  const limits = textsOf(bytes)["xl/worksheets/sheet1.xml"] ?? "";
  expect(limits).toMatch(/sqref="C3"><formula1>(?![^<]*(?:CHOOSE|SWARD))[^<]+</);
  expect(looseReturn(found(limits, /sqref="C1"><formula1>([^<]*)/))).toEqual(back("=SWARD.PACKS(C1,1)<10"));
});

test("a name that has no room for its original beside it is converted, and listed", async () => {
  const others = Array.from({ length: 300 }, (_, i) => `Site!$A$${i + 1}`).join("+");
  const file = withEdited(files["loose.xlsx"], {
    "xl/workbook.xml": (xml) =>
      xml.replace(
        /(name="Bags"[^>]*>)[^<]*/,
        (_, tag: string) => `${tag}SWARD.PACKS(Site!$A$1,1000)+${others}`,
      ),
  });
  const { bytes, bare } = await copyOf(file);
  expect(bare.map(({ address }) => address).sort()).toEqual(["name Bags", "validation of C3"]);
  expect(nameIn(bytes, "Bags")).toMatch(/^=(?!CHOOSE)[^]*ROUNDUP/);
});

test("a table's column carries what its next rows are to be", async () => {
  const { bytes } = await copyOf(files["calculated.xlsm"]);
  const column = found(
    textsOf(bytes)["xl/tables/table1.xml"],
    /<calculatedColumnFormula>([^<]*)<\/calculatedColumnFormula>/,
  );
  expect(looseReturn(column)).toEqual(back("=SWARD.SEED_WEIGHT(Beds[[#This Row],[Area]],Rate)"));
});
