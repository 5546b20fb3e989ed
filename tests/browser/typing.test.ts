/** Cells with limits, by keyboard: typed into, pasted into, filled down, emptied, undone. */
import { describe, expect, test } from "vitest";
import { Keyboard } from "./keyboard";
import { workbenches } from "./workbenches";

const open = workbenches();

interface Limit {
  readonly address: string;
  readonly rule: Excel.DataValidationRule;
  readonly message?: string;
  readonly style?: "Stop" | "Warning" | "Information";
  readonly ignoreBlanks?: boolean;
}

async function limited(limits: readonly Limit[], cells: Readonly<Record<string, string>> = {}) {
  const bench = await open(320);
  if (Object.keys(cells).length > 0) await bench.set(cells);
  await bench.pane.evaluate(
    (given) =>
      Excel.run(async (context) => {
        const sheet = context.workbook.worksheets.getItem("Sheet1");
        for (const { address, rule, message = "", style = "Stop", ignoreBlanks = true } of given) {
          const { dataValidation } = sheet.getRange(address);
          dataValidation.rule = rule;
          dataValidation.errorAlert = { showAlert: true, style, title: "", message };
          dataValidation.ignoreBlanks = ignoreBlanks;
        }
        await context.sync();
      }),
    limits,
  );
  const keys = new Keyboard(bench);
  await keys.toGrid();
  const said = () => bench.page.locator("#message").innerText();
  /** What the cell holds after something was typed into it, and what was said. */
  const after = async (address: string, text: string): Promise<unknown> => {
    await bench.page.locator("#message").evaluate((place) => (place.textContent = ""));
    await keys.offer("Sheet1", address, text);
    return (await said()) || (await bench.value(address));
  };
  return { bench, keys, said, after };
}

const positive = (cell: string): Excel.DataValidationRule => ({
  custom: { formula: `=AND(ISNUMBER(${cell}),${cell}>0)` },
});
const length = "Length must be above 0, in feet.";

describe("a value that is typed is judged itself", () => {
  test("by a formula of ours: blank, filled, refused, filled again", async () => {
    const { after, bench, keys, said } = await limited([
      { address: "C3:D9", rule: positive("C3"), message: length },
    ]);
    expect(await after("C3", "36")).toBe(36);
    expect(await after("C3", "-5")).toBe(length);
    expect(await bench.value("C3")).toBe(36);
    expect(await after("C3", "180")).toBe(180);
    expect(await after("C4", "abc")).toBe(length);
    expect(await bench.value("C4")).toBe("");
    expect(await after("D5", "0")).toBe(length);
    expect(await after("D5", "0.5")).toBe(0.5);
    expect(await after("D6", "=6*6")).toBe(36);
    expect(await after("D6", "=C3-500")).toBe(length);
    expect(await after("D6", "=C3+D5")).toBe(180.5);
    expect(await after("D7", "=1/0")).toBe(length);
    expect(await after("D7", "TRUE")).toBe(length);
    expect(await after("D7", "20%")).toBe(0.2);
    expect(await after("D8", "36 ft")).toBe(length);
    expect(await after("D8", "1e3")).toBe(1000);
    // Cells outside the limit are nobody's business.
    expect(await after("E3", "-5")).toBe(-5);
    // Emptied by Delete, and by erasing the text.
    await keys.goTo("Sheet1", "C3");
    await keys.press("Delete");
    expect(await bench.value("C3")).toBe("");
    await keys.goTo("Sheet1", "D8");
    await keys.erase();
    expect(await bench.value("D8")).toBe("");
    expect(await after("D8", "-1")).toBe(length);
    // Changed in place with F2.
    await keys.goTo("Sheet1", "D5");
    await keys.edit();
    await keys.press("Home");
    await bench.page.keyboard.type("-");
    await keys.press("Enter");
    expect([await said(), await bench.value("D5")]).toEqual([length, 0.5]);
  }, 60_000);

  test("by whole and decimal numbers, dates, lengths of text and other cells", async () => {
    const { after } = await limited(
      [
        { address: "A1", rule: { wholeNumber: { formula1: 1, formula2: 12, operator: "Between" } } },
        { address: "A2", rule: { decimal: { formula1: 0.5, operator: "GreaterThanOrEqualTo" } } },
        { address: "A3", rule: { date: { formula1: "=46000", operator: "GreaterThan" } } },
        { address: "A4", rule: { textLength: { formula1: 3, operator: "LessThanOrEqualTo" } } },
        { address: "A5:A6", rule: { custom: { formula: "=A5<=$F$1" } } },
        { address: "A7:A9", rule: { custom: { formula: "=COUNTIF(A$7:A$9,A7)=1" } } },
        { address: "B1:B3", rule: { custom: { formula: "=B1>A1" } } },
      ],
      { F1: "10", A7: "oak", A8: "elm" },
    );
    const refused = "This value doesn't match the data validation restrictions defined for this cell.";
    expect(await after("A1", "2.5")).toBe(refused);
    expect(await after("A1", "13")).toBe(refused);
    expect(await after("A1", "12")).toBe(12);
    expect(await after("A1", "1")).toBe(1);
    expect(await after("A2", "0.4")).toBe(refused);
    expect(await after("A2", "0.5")).toBe(0.5);
    expect(await after("A3", "4/1/2025")).toBe(refused);
    expect(await after("A3", "4/1/2026")).toBe(46113);
    expect(await after("A4", "four")).toBe(refused);
    expect(await after("A4", "one")).toBe("one");
    expect(await after("A6", "11")).toBe(refused);
    expect(await after("A6", "10")).toBe(10);
    expect(await after("A9", "elm")).toBe(refused);
    expect(await after("A9", "ash")).toBe("ash");
    expect(await after("A8", "elm")).toBe("elm");
    expect(await after("B1", "1")).toBe(refused);
    expect(await after("B1", "2")).toBe(2);
    expect(await after("B2", "0.6")).toBe(0.6);
  }, 60_000);

  test("by a list, written out or in cells", async () => {
    const { after, bench, keys } = await limited(
      [
        {
          address: "A1:A2",
          rule: { list: { inCellDropDown: true, source: "US,metric" } },
          message: "US or metric.",
        },
        { address: "B1", rule: { list: { inCellDropDown: true, source: "=F1:F3" } } },
      ],
      { F1: "Rye", F2: "Fescue", F3: "10" },
    );
    expect(await after("A1", "metric")).toBe("metric");
    expect(await after("A1", "Metric")).toBe("US or metric.");
    expect(await after("A1", "acre")).toBe("US or metric.");
    expect(await after("A1", "US")).toBe("US");
    expect(await after("B1", "fescue")).toBe("fescue");
    expect(await after("B1", "10")).toBe(10);
    expect(await after("B1", "Blue")).toMatch(/restrictions/);
    // Delete twice: the second time the cell is blank already, and its list stays.
    await keys.goTo("Sheet1", "A1");
    await keys.press("Delete", 2);
    expect(await after("A1", "acre")).toBe("US or metric.");
    expect(await bench.value("A1")).toBe("");
  }, 60_000);

  test("a warning lets the value through, and blanks are refused where they do not count as nothing", async () => {
    const { after, bench, keys, said } = await limited([
      { address: "A1", rule: positive("A1"), message: "Odd.", style: "Warning" },
      { address: "A2", rule: positive("A2"), message: "Wanted.", ignoreBlanks: false },
    ]);
    expect(await after("A1", "-3")).toBe(-3);
    expect(await after("A2", "3")).toBe(3);
    await keys.goTo("Sheet1", "A2");
    await keys.erase();
    expect([await said(), await bench.value("A2")]).toEqual(["Wanted.", 3]);
  }, 60_000);
});

describe("what was not typed is not judged, as in Excel", () => {
  test("pasted from outside, over limits and looks that stay", async () => {
    const { bench, keys, after } = await limited([
      { address: "C3:C6", rule: positive("C3"), message: length },
    ]);
    await bench.pane.evaluate(() =>
      Excel.run(async (context) => {
        const range = context.workbook.worksheets.getItem("Sheet1").getRange("C3:D6");
        range.format.fill.color = "#FFF2CC";
        range.numberFormat = [
          ["0.00", "@"],
          ["0.00", "@"],
          ["0.00", "@"],
          ["0.00", "@"],
        ];
        await context.sync();
      }),
    );
    await keys.paste("Sheet1", "C3", [
      ["5", "10-18-22"],
      ["-5", "007"],
      ["many", "3E5"],
      ["1,250", "'quoted"],
    ]);
    expect(await Promise.all(["C3", "C4", "C5", "C6"].map((cell) => bench.value(cell)))).toEqual([
      5,
      -5,
      "many",
      1250,
    ]);
    expect(await Promise.all(["D3", "D4", "D5", "D6"].map((cell) => bench.value(cell)))).toEqual([
      "10-18-22",
      "007",
      "3E5",
      "'quoted",
    ]);
    const looks = await bench.pane.evaluate(() =>
      Excel.run(async (context) => {
        const range = context.workbook.worksheets.getItem("Sheet1").getRange("C3:D6");
        range.load("format/fill/color,numberFormat");
        await context.sync();
        return [range.format.fill.color, range.numberFormat[3]];
      }),
    );
    expect(looks).toEqual(["#FFF2CC", ["0.00", "@"]]);
    expect(await after("C4", "-6")).toBe(length);
  }, 60_000);

  test("copied, filled down and pasted inside, the limit goes along; undo takes each back in one step", async () => {
    const { bench, keys, after } = await limited([{ address: "C3", rule: positive("C3"), message: length }]);
    await after("C3", "36");
    await keys.fillDown("Sheet1", "C3:C6");
    expect(await bench.value("C6")).toBe(36);
    expect(await after("C6", "-1")).toBe(length);
    expect(await after("C6", "7")).toBe(7);
    await keys.select("Sheet1", "C3:C4");
    await keys.press("Control+c");
    await keys.goTo("Sheet1", "G9");
    await keys.press("Control+v");
    await bench.page.waitForTimeout(100);
    expect(await bench.value("G10")).toBe(36);
    expect(await after("G10", "-1")).toBe(length);
    expect(await after("G10", "8")).toBe(8);
    await keys.press("Control+z", 2);
    expect(await bench.value("G10")).toBe("");
    expect(await bench.value("C6")).toBe(7);
    await keys.press("Control+z", 2);
    expect(await bench.value("C6")).toBe("");
    await keys.press("Control+y", 2);
    expect(await bench.value("C6")).toBe(7);
    expect(await after("C6", "-1")).toBe(length);
  }, 60_000);

  test("rows put in, taken out and a file on the way: the limit still means its own cell", async () => {
    const { bench, keys, after } = await limited([
      { address: "C3:C6", rule: positive("C3"), message: length },
    ]);
    const row = async (key: string, address: string) => {
      await keys.goTo("Sheet1", address);
      await keys.press("Shift+Space");
      await keys.press(key);
    };
    await row("Control+Alt+=", "C2");
    expect(await after("C4", "-1")).toBe(length);
    expect(await after("C7", "5")).toBe(5);
    // The first limited row goes, and with it the cell that the formula was written for.
    await row("Control+Alt+-", "C4");
    expect(await after("C4", "6")).toBe(6);
    expect(await after("C5", "-1")).toBe(length);
    const bytes = await bench.page.evaluate(async () => [...((await window.workbench?.exportXlsx()) ?? [])]);
    await bench.page.setInputFiles("#file", {
      name: "limits.xlsx",
      mimeType: "",
      buffer: Buffer.from(Uint8Array.from(bytes)),
    });
    await bench.page.getByText("limits.xlsx is open.").waitFor();
    await keys.toGrid();
    expect(await after("C5", "-1")).toBe(length);
    expect(await after("C5", "4")).toBe(4);
    expect(await after("C7", "-4")).toBe(-4);
  }, 60_000);
});
