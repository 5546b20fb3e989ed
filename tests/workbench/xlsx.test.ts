import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { plainWorkbook } from "../support/libreoffice";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

const part = (bytes: Uint8Array, path: string) => strFromU8(unzipSync(bytes)[path] ?? new Uint8Array());

/** The file of the present workbook, and the workbook opened from it. */
async function thereAndBack(): Promise<Uint8Array> {
  const bytes = await bench.exportXlsx();
  await bench.importXlsx(bytes);
  return bytes;
}

describe("cells", () => {
  it("stores our functions under the host's name, with the value they had", async () => {
    bench.setCells("Sheet1", { A1: "7", B1: "=SWARD.TRIPLE(A1)+1", C1: '="SWARD.TRIPLE(1) ""q"""' });
    const sheet = part(await thereAndBack(), "xl/worksheets/sheet0.xml");
    expect(sheet).toMatch(/<f [^>]*>_xldudf_SWARD_TRIPLE\(A1\)\+1<\/f><v>22<\/v>/);
    expect(sheet).toContain('"SWARD.TRIPLE(1) ""q"""');
    expect(bench.value("Sheet1", "C1")).toBe('SWARD.TRIPLE(1) "q"');
    expect(bench.formula("Sheet1", "C1")).toBe('="SWARD.TRIPLE(1) ""q"""');
    expect(bench.formula("Sheet1", "B1")).toBe("=SWARD.TRIPLE(A1)+1");
    bench.setCell("Sheet1", "A1", "8");
    expect(bench.value("Sheet1", "B1")).toBe(25);
  });

  it("reads the dotted spelling as well", async () => {
    bench.setCells("Sheet1", { A1: "=SWARD.TRIPLE(2)" });
    const files = unzipSync(await bench.exportXlsx());
    const path = "xl/worksheets/sheet0.xml";
    const dotted = strFromU8(files[path] ?? new Uint8Array()).replace("_xldudf_SWARD_TRIPLE", "SWARD.TRIPLE");
    await bench.importXlsx(zipSync({ ...files, [path]: strToU8(dotted) }));
    expect(bench.formula("Sheet1", "A1")).toBe("=SWARD.TRIPLE(2)");
    expect(bench.value("Sheet1", "A1")).toBe(6);
  });

  it("stores an ordinary formula as a plain one, and a spilling one as an array with all its values", async () => {
    bench.setCells("Sheet1", { A1: "=1+1", B1: "=SWARD.GRID(2,2)", E1: "=SUM(A1:A3)" });
    const sheet = part(await thereAndBack(), "xl/worksheets/sheet0.xml");
    expect(sheet).toContain("<f>1+1</f>");
    expect(sheet).toContain("<f>SUM(A1:A3)</f>");
    expect(sheet).toMatch(/<f t="array" ref="B1:C2">/);
    expect(sheet).toMatch(/<c r="C2"[^>]*><v>11<\/v><\/c>|<c r="C2"[^>]*>\s*<v>11<\/v>\s*<\/c>/);
    expect(bench.value("Sheet1", "C2")).toBe(11);
  });

  it("stores errors as errors", async () => {
    bench.setCells("Sheet1", { A1: "=1/0", A2: "=SWARD.NO_ROW()" });
    const sheet = part(await thereAndBack(), "xl/worksheets/sheet0.xml");
    expect(sheet).toMatch(/r="A1"[^>]*t="e"/);
    expect(sheet).toMatch(/r="A2"[^>]*t="e"[^]*?<v>#N\/A<\/v>/);
    expect(bench.value("Sheet1", "A2")).toBe("#N/A");
  });

  it("keeps text that looks like something else", async () => {
    bench.setCells("Sheet1", { A1: "'007", A2: "'=1+1", A3: "'TRUE", A4: "plain", A5: "12.5" });
    await thereAndBack();
    expect(["A1", "A2", "A3", "A4", "A5"].map((xc) => bench.value("Sheet1", xc))).toEqual([
      "007",
      "=1+1",
      "TRUE",
      "plain",
      12.5,
    ]);
  });
});

describe("sheets and workbook", () => {
  it("keeps layout, panes, visibility, validation, names, formats and settings", async () => {
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getActiveWorksheet();
      sheet.showGridlines = false;
      sheet.tabColor = "#225522";
      sheet.freezePanes.freezeRows(2);
      const layout = sheet.pageLayout;
      layout.orientation = Excel.PageOrientation.landscape;
      layout.paperSize = Excel.PaperType.a4;
      layout.zoom = { horizontalFitToPages: 1 };
      layout.centerHorizontally = true;
      layout.setPrintArea("A1:D20");
      layout.setPrintTitleRows("$1:$2");
      layout.headersFooters.defaultForAllPages.leftHeader = "Bid & terms";
      layout.headersFooters.defaultForAllPages.rightFooter = "Page &P of &N";
      const cell = sheet.getRange("B3:B9");
      cell.dataValidation.rule = {
        wholeNumber: { formula1: 1, formula2: 9, operator: Excel.DataValidationOperator.between },
      };
      cell.dataValidation.errorAlert = {
        title: "Crew",
        message: "Enter 1 to 9.",
        showAlert: true,
        style: Excel.DataValidationAlertStyle.warning,
      };
      cell.dataValidation.prompt = { title: "Crew", message: "How many?", showPrompt: true };
      cell.numberFormat = Array.from({ length: 7 }, () => ["#,##0.00_);(#,##0.00)"]);
      cell.values = Array.from({ length: 7 }, (_, row) => [row - 3]);
      cell.format.indentLevel = 2;
      cell.format.font.name = "Georgia";
      cell.format.protection.locked = false;
      context.workbook.names.add("Crew", cell, "who works");
      context.workbook.settings.add("job", { site: "Elm Street", days: [1, 2] });
      context.workbook.worksheets.add("Lists").visibility = Excel.SheetVisibility.veryHidden;
      context.workbook.worksheets.add("Notes").visibility = Excel.SheetVisibility.hidden;
      await context.sync();
    });
    const bytes = await thereAndBack();
    const workbook = part(bytes, "xl/workbook.xml");
    expect(workbook).toContain('state="veryHidden"');
    expect(workbook).toContain("Sheet1!$A$1:$D$20");
    expect(workbook).toContain("Sheet1!$1:$2");
    expect(workbook).toContain("Sheet1!$B$3:$B$9");
    expect(part(bytes, "xl/worksheets/sheet0.xml")).toContain('promptTitle="Crew"');
    await Excel.run(async (context) => {
      const { worksheets, names, settings } = context.workbook;
      const sheet = worksheets.getItem("Sheet1");
      sheet.load("showGridlines,tabColor");
      const layout = sheet.pageLayout;
      layout.load("orientation,paperSize,zoom,centerHorizontally");
      const area = layout.getPrintAreaOrNullObject();
      const rows = layout.getPrintTitleRowsOrNullObject();
      const texts = layout.headersFooters.defaultForAllPages;
      const frozen = sheet.freezePanes.getLocationOrNullObject();
      [area, rows, frozen].forEach((range) => range.load("address"));
      texts.load("leftHeader,rightFooter");
      const cell = sheet.getRange("B3:B9");
      cell.load("text,numberFormat,format/indentLevel,format/font/name,format/protection/locked");
      cell.dataValidation.load("rule,errorAlert,prompt,type");
      worksheets.load("items/name,items/visibility");
      const name = names.getItem("Crew");
      name.load("formula,comment");
      const setting = settings.getItem("job");
      setting.load("value");
      await context.sync();
      expect([sheet.showGridlines, sheet.tabColor]).toEqual([false, "#225522"]);
      expect(layout).toMatchObject({ orientation: "Landscape", paperSize: "A4", centerHorizontally: true });
      expect(layout.zoom).toEqual({ horizontalFitToPages: 1 });
      expect(area.address).toBe("Sheet1!A1:D20");
      expect(rows.address).toBe("Sheet1!1:2");
      expect(frozen.address).toBe("Sheet1!1:2");
      expect([texts.leftHeader, texts.rightFooter]).toEqual(["Bid & terms", "Page &P of &N"]);
      expect(cell.numberFormat[0]).toEqual(["#,##0.00_);(#,##0.00)"]);
      expect(cell.text[0]).toEqual(["(3.00)"]);
      expect(cell.format.indentLevel).toBe(2);
      expect(cell.format.font.name).toBe("Georgia");
      expect(cell.format.protection.locked).toBe(false);
      expect(cell.dataValidation.type).toBe("WholeNumber");
      expect(cell.dataValidation.rule.wholeNumber).toMatchObject({ formula1: 1, formula2: 9 });
      expect(cell.dataValidation.errorAlert).toMatchObject({ message: "Enter 1 to 9.", style: "Warning" });
      expect(cell.dataValidation.prompt).toMatchObject({ message: "How many?" });
      expect(worksheets.items.map((item) => [item.name, item.visibility])).toEqual([
        ["Sheet1", "Visible"],
        ["Lists", "VeryHidden"],
        ["Notes", "Hidden"],
      ]);
      expect([name.formula, name.comment]).toEqual(["=Sheet1!$B$3:$B$9", "who works"]);
      expect(setting.value).toEqual({ site: "Elm Street", days: [1, 2] });
    });
  });

  it("opens a file that says nothing about looks", async () => {
    await bench.importXlsx(plainWorkbook([{ sheet: "Plain", address: "B2", content: 5 }]));
    expect(bench.value("Plain", "B2")).toBe(5);
  });

  it("refuses what is no workbook with a sentence", async () => {
    await expect(bench.importXlsx(strToU8("not a zip"))).rejects.toThrow("not an Excel workbook");
  });
});
