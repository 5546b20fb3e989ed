/** The harsh host: each switch does what the real host is known to do. */
import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import { harshnessFrom, harsh, kind } from "../../src/workbench/host/harshness";
import { manifestSets } from "../../src/workbench/host/manifest-sets";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let workbench: Workbench;
beforeAll(async () => {
  workbench = await start({ harshness: "harsh" });
});
beforeEach(async () => {
  await workbench.calculated();
  workbench.reset();
  Object.assign(workbench.situation, { cellEditing: false, pictureSelected: false, answersHeld: false });
});

const code = async (work: (context: Excel.RequestContext) => unknown): Promise<string> => {
  try {
    await Excel.run(async (context) => {
      work(context);
      await context.sync();
    });
    return "none";
  } catch (error) {
    return (error as { code?: string }).code ?? String(error);
  }
};

const sheet = (context: Excel.RequestContext) => context.workbook.worksheets.getItem("Sheet1");

const state = () =>
  Excel.run(async ({ application }) => {
    application.load("calculationState,calculationMode");
    await application.context.sync();
    return [application.calculationMode, application.calculationState];
  });

describe("calculation", () => {
  it("answers later than the edit, busy between", async () => {
    workbench.situation.answersHeld = true;
    workbench.setCells("Sheet1", { A1: "14", B1: "=SWARD.TRIPLE(A1)" });
    expect(workbench.value("Sheet1", "B1")).toBe("#BUSY!");
    expect(await state()).toEqual(["Manual", "Calculating"]);
    workbench.situation.answersHeld = false;
    await workbench.calculated();
    expect(workbench.value("Sheet1", "B1")).toBe(42);
  });

  it("follows no edit until it is asked, and says what is pending", async () => {
    workbench.setCells("Sheet1", { A1: "14", B1: "=SWARD.TRIPLE(A1)", C1: "=B1+1" });
    await workbench.calculated();
    expect(workbench.value("Sheet1", "C1")).toBe(43);
    workbench.setCell("Sheet1", "A1", "2");
    expect([workbench.value("Sheet1", "A1"), workbench.value("Sheet1", "C1")]).toEqual([2, 43]);
    expect(await state()).toEqual(["Manual", "Pending"]);
    workbench.situation.answersHeld = true;
    await Excel.run(async ({ application }) => {
      application.calculate("Recalculate");
      await application.context.sync();
    });
    expect(workbench.value("Sheet1", "B1")).toBe("#BUSY!");
    workbench.situation.answersHeld = false;
    await workbench.calculated();
    expect(workbench.value("Sheet1", "C1")).toBe(7);
    expect(await state()).toEqual(["Manual", "Done"]);
  });

  it("follows every edit where the workbook is set back to automatic", async () => {
    workbench.setCells("Sheet1", { A1: "14", B1: "=A1*2" });
    workbench.setCell("Sheet1", "A1", "1");
    await Excel.run(async ({ application }) => {
      application.calculationMode = "Automatic";
      await application.context.sync();
    });
    expect(workbench.value("Sheet1", "B1")).toBe(2);
    workbench.setCell("Sheet1", "A1", "3");
    expect(workbench.value("Sheet1", "B1")).toBe(6);
  });

  it("tells of the edit at once and of each round of answers after it", async () => {
    const heard: string[] = [];
    await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      const answer = (what: string) => () => {
        heard.push(`${what} ${String(workbench.value("Sheet1", "C1"))}`);
        return Promise.resolve();
      };
      worksheets.onChanged.add(answer("changed"));
      worksheets.onCalculated.add(answer("calculated"));
      context.application.calculationMode = "Automatic";
      await context.sync();
    });
    workbench.setCells("Sheet1", { A1: "1", B1: "=SWARD.TRIPLE(A1)", C1: "=SWARD.TRIPLE(B1)" });
    await workbench.calculated();
    await new Promise((resolve) => setTimeout(resolve, 0));
    expect(heard.slice(0, 2)).toEqual(["changed #BUSY!", "calculated #BUSY!"]);
    expect(heard.at(-1)).toBe("calculated 9");
    expect(heard.filter((one) => one.startsWith("calculated")).length).toBeGreaterThanOrEqual(3);
  });
});

describe("what a function is given", () => {
  it("is 0 for a blank in a range", async () => {
    workbench.setCell("Sheet1", "A1", "=SWARD.ECHO_RANGE(B1:B2)");
    await workbench.calculated();
    expect(workbench.value("Sheet1", "A1")).toBe("[[0],[0]]");
  });
});

describe("what is written", () => {
  it("is read anew: a date, a number without its zeros, an exponent, a formula", async () => {
    const read = await Excel.run(async (context) => {
      const range = sheet(context).getRange("A1:E1");
      range.values = [["10-18-22", "007", "3E5", "=1+1", "'007"]];
      range.load("values");
      await context.sync();
      return range.values as unknown[][];
    });
    // 18 October 2022 is day 44,852 of the sheet's calendar.
    expect(read).toEqual([[44852, 7, 300_000, 2, "007"]]);
  });

  it("stays text in a cell formatted as text, and looks like a formula there", async () => {
    const read = await Excel.run(async (context) => {
      const range = sheet(context).getRange("A1");
      range.numberFormat = [["@"]];
      range.formulas = [["=1+1"]];
      range.load("values,formulas");
      await context.sync();
      return [range.values[0]?.[0], range.formulas[0]?.[0]] as unknown[];
    });
    expect(read).toEqual(["=1+1", "=1+1"]);
  });

  it("is refused beyond the limits of a cell", async () => {
    const write = (text: string) => code((context) => (sheet(context).getRange("A1").formulas = [[text]]));
    const nested = (levels: number) => `=${"ABS(".repeat(levels)}1${")".repeat(levels)}`;
    const summed = (count: number) => `=SUM(${Array(count).fill("1").join(",")})`;
    const long = (length: number) => `=1${`+${"1".repeat(15)}`.repeat(511)}`.padEnd(length, "0");
    expect(await write(long(8192))).toBe("none");
    expect(await write(long(8193))).toBe("InvalidArgument");
    expect(await write(`=LEN("${"x".repeat(255)}")`)).toBe("none");
    expect(await write(`=LEN("${"x".repeat(256)}")`)).toBe("InvalidArgument");
    expect(await write(nested(64))).toBe("none");
    expect(await write(nested(65))).toBe("InvalidArgument");
    expect(await write(summed(255))).toBe("none");
    expect(await write(summed(256))).toBe("InvalidArgument");
    expect(await write(`=SUM(${Array(200).fill("1").join(",")},LEN("${",".repeat(200)}"))`)).toBe("none");
    expect(await write("x".repeat(32_767))).toBe("none");
    expect(await write("x".repeat(32_768))).toBe("InvalidArgument");
  });

  it("fills the column of a table where it holds nothing but formulas", async () => {
    workbench.setCells("Sheet1", {
      A1: "Area",
      B1: "Twice",
      C1: "Note",
      A2: "1",
      A3: "2",
      A4: "3",
      C3: "mine",
    });
    const read = await Excel.run(async (context) => {
      const table = sheet(context).tables.add("A1:C4", true);
      table.name = "Zones";
      sheet(context).getRange("B3").formulas = [["=A3*2"]];
      sheet(context).getRange("C2").formulas = [["=A2&B2"]];
      const body = table.getDataBodyRange();
      body.load("formulas");
      const met = sheet(context).getRange("B2:B3").getTables();
      met.load("items/name");
      await context.sync();
      expect(met.items.map(({ name }) => name)).toEqual(["Zones"]);
      return body.formulas as unknown[][];
    });
    expect(read).toEqual([
      [1, "=A2*2", "=A2&B2"],
      [2, "=A3*2", "mine"],
      [3, "=A4*2", ""],
    ]);
  });
});

describe("what the host refuses", () => {
  it("is every request while a cell is edited", async () => {
    workbench.situation.cellEditing = true;
    expect(await code((context) => sheet(context).load("name"))).toBe("InvalidOperationInCellEditMode");
  });

  it("is the selected range while a picture is selected", async () => {
    workbench.situation.pictureSelected = true;
    expect(await code((context) => context.workbook.getSelectedRange().load("address"))).toBe(
      "InvalidSelection",
    );
  });

  it("is every change of a protected sheet, and none of another", async () => {
    const write = () => code((context) => (sheet(context).getRange("A1").values = [[1]]));
    expect(await code((context) => sheet(context).protection.protect())).toBe("none");
    expect(await write()).toBe("AccessDenied");
    expect(await code((context) => (sheet(context).getRange("A1").numberFormat = [["0"]]))).toBe(
      "AccessDenied",
    );
    expect(await code((context) => sheet(context).getRange("1:1").insert("Down"))).toBe("AccessDenied");
    expect(await code((context) => sheet(context).getRange("A1").load("values"))).toBe("none");
    expect(await code((context) => context.workbook.worksheets.add("Other"))).toBe("none");
    expect(await code((context) => sheet(context).protection.unprotect())).toBe("none");
    expect(await write()).toBe("none");
  });

  it("is every new, removed or renamed sheet of a protected workbook", async () => {
    expect(await code((context) => context.workbook.protection.protect())).toBe("none");
    expect(await code((context) => context.workbook.worksheets.add("Other"))).toBe("AccessDenied");
    expect(await code((context) => (sheet(context).name = "Mine"))).toBe("AccessDenied");
    expect(await code((context) => (sheet(context).visibility = "Hidden"))).toBe("AccessDenied");
    expect(await code((context) => (sheet(context).getRange("A1").values = [[1]]))).toBe("none");
  });

  it("is a request or an answer above 5 MB", async () => {
    const text = "x".repeat(30_000);
    const rows = (count: number) => Array.from({ length: count }, () => [text]);
    const write = (from: number, count: number) =>
      code((context) => (sheet(context).getRange(`A${from}:A${from + count - 1}`).values = rows(count)));
    expect(await write(1, 180)).toBe("RequestPayloadSizeLimitExceeded");
    expect(workbench.value("Sheet1", "A1")).toBe("");
    expect([await write(1, 90), await write(91, 90)]).toEqual(["none", "none"]);
    expect(await code((context) => sheet(context).getRange("A1:A180").load("values"))).toBe(
      "ResponsePayloadSizeLimitExceeded",
    );
    expect(workbench.traffic.request).toBeGreaterThan(5_000_000);
  });

  it("is what lies beyond the manifest's requirement sets", () => {
    const { requirements } = Office.context;
    expect(requirements.isSetSupported("ExcelApi", "1.10")).toBe(true);
    expect(requirements.isSetSupported("ExcelApi", "1.11")).toBe(false);
    expect(requirements.isSetSupported("SharedRuntime", "1.1")).toBe(false);
  });

  it("is to undo a batch of the add-in, though not what was typed after it", async () => {
    await code((context) => (sheet(context).getRange("A1").values = [[1]]));
    workbench.undo();
    expect(workbench.value("Sheet1", "A1")).toBe(1);
    workbench.setCell("Sheet1", "A1", "2");
    workbench.undo();
    expect(workbench.value("Sheet1", "A1")).toBe(1);
  });
});

describe("the switches", () => {
  it("are read from an address, all at once or one by one", () => {
    const read = (query: string) => harshnessFrom(new URLSearchParams(query));
    expect(read("")).toEqual(kind);
    expect(read("harsh")).toEqual(harsh);
    expect(read("harsh&answers=old&manualCalculation=no")).toEqual({
      ...harsh,
      answers: "old",
      manualCalculation: false,
    });
    expect(read("blanks=text&limits&answers=never")).toEqual({ ...kind, blanks: "text", limits: true });
  });

  it("take the requirement sets from a manifest, and not from a comment in it", () => {
    const manifest = `<A><!-- <Requirements><Sets><Set Name="No" MinVersion="9"/></Sets></Requirements> -->
      <Requirements><Sets DefaultMinVersion="1.2"><Set Name="One" /><Set Name="Two" MinVersion="1.4"/></Sets>
      </Requirements></A>`;
    expect(manifestSets(manifest)).toMatchObject({ One: "1.2", Two: "1.4" });
    expect(manifestSets(manifest)).not.toHaveProperty("No");
  });

  it("measure how long the add-in goes on without giving way, the host's own work left out", async () => {
    const { stretches } = workbench;
    const busy = (time: number) => {
      for (const begun = performance.now(); performance.now() - begun < time;);
    };
    stretches.start();
    await new Promise((resolve) => setTimeout(resolve, 10));
    busy(150);
    await new Promise((resolve) => setTimeout(resolve, 10));
    const byAddIn = stretches.longest;
    stretches.start();
    await new Promise((resolve) => setTimeout(resolve, 10));
    stretches.byHost(() => busy(150));
    await new Promise((resolve) => setTimeout(resolve, 10));
    stretches.stop();
    expect(byAddIn).toBeGreaterThan(100);
    expect(stretches.longest).toBeLessThan(byAddIn);
  });
});
