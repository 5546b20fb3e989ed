import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start({ enforceRequirementSets: true });
});
beforeEach(() => bench.reset());

const inBatch = <T>(work: (context: Excel.RequestContext, sheet: Excel.Worksheet) => Promise<T>) =>
  Excel.run((context) => work(context, context.workbook.worksheets.getActiveWorksheet()));

describe("worksheets", () => {
  it("adds, finds, names, moves, colours and deletes", () =>
    inBatch(async (context) => {
      const { worksheets } = context.workbook;
      const bid = worksheets.add("Bid");
      bid.position = 0;
      bid.tabColor = "#336633";
      bid.showGridlines = false;
      bid.activate();
      const missing = worksheets.getItemOrNullObject("Nowhere");
      worksheets.load("items/name,items/position,items/tabColor,items/showGridlines");
      const active = worksheets.getActiveWorksheet();
      active.load("name");
      const count = worksheets.getCount();
      await context.sync();
      expect(worksheets.items.map((sheet) => sheet.name)).toEqual(["Bid", "Sheet1"]);
      expect(worksheets.items[0]).toMatchObject({ position: 0, tabColor: "#336633", showGridlines: false });
      expect(active.name).toBe("Bid");
      expect(missing.isNullObject).toBe(true);
      expect(count.value).toBe(2);
      bid.name = "Bid 2";
      worksheets.getItem("Sheet1").delete();
      await context.sync();
      expect(bench.sheetNames()).toEqual(["Bid 2"]);
      await context.sync();
    }));

  it("hides, hides deeply and shows", () =>
    inBatch(async (context) => {
      const ledger = context.workbook.worksheets.add("Ledger");
      ledger.visibility = "VeryHidden";
      ledger.load("visibility");
      await context.sync();
      expect(ledger.visibility).toBe("VeryHidden");
      ledger.visibility = "Visible";
      ledger.load("visibility");
      await context.sync();
      expect(ledger.visibility).toBe("Visible");
    }));

  it("says which resource is missing", () =>
    inBatch(async (context) => {
      context.workbook.worksheets.getItem("Nowhere").load("name");
      await expect(context.sync()).rejects.toMatchObject({ code: "ItemNotFound" });
    }));
});

describe("names of a sheet", () => {
  const refersTo = (sheet: string) =>
    Excel.run(async (context) => {
      const { names } = context.workbook.worksheets.getItem(sheet);
      names.load("items/name,items/formula");
      await context.sync();
      return Object.fromEntries(names.items.map(({ name, formula }) => [name, String(formula)]));
    });
  const twoSheets = () =>
    Excel.run(async (context) => {
      const one = context.workbook.worksheets.getItem("Sheet1");
      const other = context.workbook.worksheets.add("Back lawn");
      one.names.add("Area", one.getRange("B2:B9"));
      one.names.add("Neighbor", other.getRange("A1"));
      other.names.add("Area", other.getRange("C3"));
      context.workbook.names.add("Area", one.getRange("D4"));
      await context.sync();
    });

  it("may be alike on two sheets and in the workbook, and follow rows and the names of sheets", async () => {
    await twoSheets();
    await Excel.run(async (context) => {
      const one = context.workbook.worksheets.getItem("Sheet1");
      one.getRange("4:5").insert("Down");
      one.name = "Front";
      context.workbook.worksheets.getItem("Back lawn").getRange("A:A").insert("Right");
      await context.sync();
    });
    expect(await refersTo("Front")).toEqual({ Area: "=Front!$B$2:$B$11", Neighbor: "='Back lawn'!$B$1" });
    expect(await refersTo("Back lawn")).toEqual({ Area: "='Back lawn'!$D$3" });
    await Excel.run(async (context) => {
      const all = context.workbook.names.getItem("Area");
      all.load("formula");
      await context.sync();
      expect(all.formula).toBe("=Front!$D$6");
    });
  });

  it("go along with a copy of the sheet, those of its own cells to the copy", async () => {
    await twoSheets();
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").copy("End");
      await context.sync();
    });
    expect(await refersTo("Sheet1 (2)")).toEqual({
      Area: "='Sheet1 (2)'!$B$2:$B$9",
      Neighbor: "='Back lawn'!$A$1",
    });
    expect(await refersTo("Sheet1")).toEqual({ Area: "=Sheet1!$B$2:$B$9", Neighbor: "='Back lawn'!$A$1" });
  });

  // What Excel shows for each: a name is that of the sheet before it, or its own sheet's, or else the workbook's.
  it("are in formulas those of the formula's own sheet, or of the sheet before them, or the workbook's", async () => {
    await twoSheets();
    bench.setCells("Sheet1", { B2: "1", B3: "2", D4: "100" });
    bench.setCells("Back lawn", { A1: "7", C3: "30" });
    const formulas = {
      F1: "=SUM(Area)",
      F2: "=SUM(Sheet1!Area)",
      F3: "=SUM('Back lawn'!Area)+1",
      F4: "=Neighbor+SUM(area)",
    };
    await Excel.run(async (context) => {
      context.workbook.worksheets.add("Third");
      await context.sync();
    });
    const sheets = ["Sheet1", "Back lawn", "Third"];
    for (const sheet of sheets) bench.setCells(sheet, formulas);
    const shown = (sheet: string) => Object.keys(formulas).map((at) => bench.value(sheet, at));
    const expected = {
      Sheet1: [3, 3, 31, 10],
      "Back lawn": [30, 3, 31, "#NAME?"],
      Third: [100, 3, 31, "#NAME?"],
    };
    const shows = () => Object.fromEntries(sheets.map((sheet) => [sheet, shown(sheet)]));
    expect(shows()).toEqual(expected);
    expect(["F1", "F2", "F4"].map((at) => bench.formula("Back lawn", at))).toEqual([
      "=SUM(Area)",
      "=SUM(Sheet1!Area)",
      "=Neighbor+SUM(Area)",
    ]);
    expect(bench.formula("Third", "F3")).toBe("=SUM('Back lawn'!Area)+1");
    await bench.importXlsx(await bench.exportXlsx());
    expect(shows()).toEqual(expected);
    expect(bench.formula("Third", "F3")).toBe("=SUM('Back lawn'!Area)+1");
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").copy("End");
      context.workbook.worksheets.getItem("Back lawn").name = "Rear";
      await context.sync();
    });
    bench.setCells("Sheet1 (2)", { B2: "11" });
    expect(["F1", "F4"].map((at) => bench.value("Sheet1 (2)", at))).toEqual([13, 20]);
    expect(shown("Sheet1")).toEqual([3, 3, 31, 10]);
    expect(bench.formula("Third", "F3")).toBe("=SUM(Rear!Area)+1");
    await Excel.run(async (context) => {
      const cells = ["Sheet1", "Rear", "Third"].map((sheet) => {
        const range = context.workbook.worksheets.getItem(sheet).getRange("Area");
        range.load("address");
        return range;
      });
      await context.sync();
      expect(cells.map(({ address }) => address)).toEqual(["Sheet1!B2:B9", "Rear!C3", "Sheet1!D4"]);
    });
  });

  it("say that what they stood for is gone, and go with their sheet", async () => {
    await twoSheets();
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Back lawn").getRange("1:1").delete("Up");
      await context.sync();
    });
    expect((await refersTo("Sheet1")).Neighbor).toMatch(/#REF!$/);
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").delete();
      await context.sync();
      context.workbook.names.load("items/name,items/formula");
      await context.sync();
      const { items } = context.workbook.names;
      expect(items.map(({ name, formula }) => [name, String(formula)])).toEqual([
        ["Area", expect.stringMatching(/#REF!$/)],
      ]);
    });
    expect(await refersTo("Back lawn")).toEqual({ Area: "='Back lawn'!$C$2" });
  });

  it("are the same after a file went down and up", async () => {
    await twoSheets();
    await bench.importXlsx(await bench.exportXlsx());
    expect(await refersTo("Sheet1")).toEqual({ Area: "=Sheet1!$B$2:$B$9", Neighbor: "='Back lawn'!$A$1" });
    expect(await refersTo("Back lawn")).toEqual({ Area: "='Back lawn'!$C$3" });
  });
});

describe("names", () => {
  it("adds, finds, follows and deletes", () =>
    inBatch(async (context, sheet) => {
      const { names } = context.workbook;
      names.add("Rate", sheet.getRange("B2"), "seed rate");
      names.add("Crew", "=Sheet1!$C$3:$C$4");
      sheet.names.add("Local", sheet.getRange("D4"));
      sheet.getRange("B2").values = [[7]];
      sheet.getRange("A1").formulas = [["=Rate*2"]];
      names.load("items/name,items/formula,items/comment,items/type,items/value,items/scope");
      sheet.names.load("items/name");
      const missing = names.getItemOrNullObject("Nothing");
      await context.sync();
      expect(names.items.map((item) => [item.name, String(item.formula), item.comment, item.scope])).toEqual([
        ["Rate", "=Sheet1!$B$2", "seed rate", "Workbook"],
        ["Crew", "=Sheet1!$C$3:$C$4", "", "Workbook"],
      ]);
      expect(sheet.names.items.map((item) => item.name)).toEqual(["Local"]);
      expect(missing.isNullObject).toBe(true);
      expect(bench.value("Sheet1", "A1")).toBe(14);
      sheet.getRange("1:1").insert("Down");
      const moved = names.getItem("rate").getRange();
      moved.load("address");
      names.getItem("Crew").delete();
      const gone = names.getItemOrNullObject("Crew");
      await context.sync();
      expect(moved.address).toBe("Sheet1!B3");
      expect(gone.isNullObject).toBe(true);
    }));

  it("refuses a name that is taken or stands for no cells", () =>
    inBatch(async (context, sheet) => {
      context.workbook.names.add("Rate", sheet.getRange("B2"));
      await context.sync();
      context.workbook.names.add("rate", sheet.getRange("B3"));
      await expect(context.sync()).rejects.toMatchObject({ code: "ItemAlreadyExists" });
      context.workbook.names.add("Constant", "=7");
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    }));
});

describe("settings and application", () => {
  it("keeps settings of any plain shape", () =>
    inBatch(async (context) => {
      const { settings } = context.workbook;
      settings.add("one", { a: [1, "two", null] });
      settings.add("two", "text");
      settings.getItem("two").value = "changed";
      settings.load("items/key,items/value");
      const missing = settings.getItemOrNullObject("three");
      await context.sync();
      expect(settings.toJSON().items).toMatchObject([
        { key: "one", value: { a: [1, "two", null] } },
        { key: "two", value: "changed" },
      ]);
      expect(missing.isNullObject).toBe(true);
      settings.getItem("one").delete();
      const gone = settings.getItemOrNullObject("one");
      await context.sync();
      expect(gone.isNullObject).toBe(true);
    }));

  it("answers the calculation mode and calculates", () =>
    inBatch(async (context) => {
      const { application } = context.workbook;
      application.load("calculationMode");
      await context.sync();
      expect(application.calculationMode).toBe("Automatic");
      application.calculationMode = "Manual";
      application.calculate("Full");
      application.load("calculationMode");
      await context.sync();
      expect(application.calculationMode).toBe("Manual");
    }));
});

describe("panes and pages", () => {
  it("freezes rows, columns or both, and lets go", () =>
    inBatch(async (context, sheet) => {
      const { freezePanes } = sheet;
      const location = async () => {
        const range = freezePanes.getLocationOrNullObject();
        range.load("address");
        await context.sync();
        return range.isNullObject ? null : range.address;
      };
      freezePanes.freezeRows(2);
      expect(await location()).toBe("Sheet1!1:2");
      freezePanes.freezeColumns(1);
      expect(await location()).toBe("Sheet1!A:A");
      freezePanes.freezeAt(sheet.getRange("A1:B3"));
      expect(await location()).toBe("Sheet1!A1:B3");
      freezePanes.unfreeze();
      expect(await location()).toBeNull();
    }));

  it("keeps the page layout", () =>
    inBatch(async (context, sheet) => {
      const { pageLayout } = sheet;
      pageLayout.orientation = "Landscape";
      pageLayout.zoom = { horizontalFitToPages: 1, verticalFitToPages: 0 };
      pageLayout.setPrintMargins("Inches", { top: 0.5, left: 0.25 });
      pageLayout.setPrintTitleRows(sheet.getRange("1:2"));
      pageLayout.setPrintArea(sheet.getRange("A1:F40"));
      const rows = pageLayout.getPrintTitleRowsOrNullObject();
      const area = pageLayout.getPrintAreaOrNullObject();
      const columns = pageLayout.getPrintTitleColumnsOrNullObject();
      pageLayout.load("orientation,zoom,topMargin,leftMargin");
      rows.load("address");
      await context.sync();
      expect(pageLayout.orientation).toBe("Landscape");
      expect(pageLayout.zoom).toEqual({ horizontalFitToPages: 1, verticalFitToPages: 0 });
      expect([pageLayout.topMargin, pageLayout.leftMargin]).toEqual([36, 18]);
      expect(rows.address).toBe("Sheet1!1:2");
      expect([area.isNullObject, columns.isNullObject]).toEqual([false, true]);
    }));
});

describe("comments", () => {
  it("keeps one a cell, tells where it is, and loses it with an undo or its sheet", async () => {
    await inBatch(async (context, sheet) => {
      const { comments } = context.workbook;
      comments.add("Sheet1!B2", "first");
      comments.add(sheet.getRange("C3"), "second");
      const count = comments.getCount();
      const second = comments.getItemByCell("Sheet1!C3");
      second.load("content");
      const place = second.getLocation();
      place.load("address");
      await context.sync();
      expect([count.value, second.content, place.address]).toEqual([2, "second", "Sheet1!C3"]);
      comments.add("Sheet1!B2", "again");
      await expect(context.sync()).rejects.toMatchObject({ code: "InvalidArgument" });
    });
    const left = () =>
      inBatch(async (context) => {
        const { comments } = context.workbook;
        comments.load("items/content");
        await context.sync();
        return comments.items.map(({ content }) => content);
      });
    await inBatch(async (context) => {
      context.workbook.comments.getItemByCell("Sheet1!B2").delete();
      await context.sync();
    });
    expect(await left()).toEqual(["second"]);
    bench.undo();
    expect((await left()).sort()).toEqual(["first", "second"]);
    await inBatch(async (context, sheet) => {
      context.workbook.worksheets.add("Other");
      sheet.delete();
      await context.sync();
    });
    expect(await left()).toEqual([]);
  });
});
