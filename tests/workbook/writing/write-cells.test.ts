import fc from "fast-check";
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { asWork } from "../../../src/workbook/work/as-work";
import { asFormula, mostText } from "../../../src/workbook/writing/content";
import { writeAndLook as writeMarked, writeCells } from "../../../src/workbook/writing/write-cells";
import type { Cells } from "../../../src/workbook/writing/stretch";
import type { Content } from "../../../src/workbook/host/content";
import { openWorkbench } from "../../support/built-workbench";
import { recalculate } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  // The limits and the filling of tables are the real host's; the calculation is not what is tested here.
  bench = await openWorkbench({ harshness: { limits: true, calculatedColumns: true, payloads: true } });
});
beforeEach(() => bench.reset());

/** Texts that a host reads as dates, numbers, formulas, errors or truths when they are typed. */
const hostile = [
  "10-18-22",
  "12-14",
  "1/2",
  "3-4-5",
  "007",
  "3E5",
  "1e3",
  "5%",
  "$5",
  "€5",
  "1,000",
  "(5)",
  "=1+1",
  "+1",
  "-1",
  "@x",
  "@SUM(A1)",
  "=",
  "'quoted",
  "''twice",
  "'",
  "TRUE",
  "false",
  "VRAI",
  "#N/A",
  "#REF!",
  "1:30",
  "5 PM",
  "5 March 2026",
  "Jan-5",
  "Dec 2604",
  " 12 ",
  "  blank before",
  "blank after  ",
  "Zone 2",
  "Front lawn",
  "a\nb",
  "=SWARD.PACKS(1,2)",
  '="x"',
  "{1,2}",
  "1_000",
  "0x10",
  "٣",
  "Infinity",
  "-",
  "+",
  "Ω",
  "a'b",
  "{=1}",
  "1 1/2",
] as const;

type Writer = (context: Excel.RequestContext, cells: readonly Cells[]) => Promise<void>;

/** As a work of the pane, which takes back what it cannot finish. */
const writeAndLook: Writer = (_, cells) =>
  asWork({ work: "put" }, (context, mark) => {
    const sheet = context.workbook.worksheets.getItem("Sheet1");
    return writeMarked(
      context,
      mark,
      cells.map((one) => ({ ...one, sheet })),
    );
  });

const write = (rows: readonly (readonly Content[])[], how: Writer = writeCells, left = 0) =>
  Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem("Sheet1");
    await how(context, [{ sheet, top: 0, left, rows }]);
  });

const format = (address: string, code: string) =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem("Sheet1").getRange(address);
    range.load("rowCount,columnCount");
    await context.sync();
    range.numberFormat = Array.from({ length: range.rowCount }, () =>
      Array<string>(range.columnCount).fill(code),
    );
    await context.sync();
  });

const held = (
  address: string,
): Promise<{ values: unknown[][]; formulas: unknown[][]; formats: unknown[][] }> =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem("Sheet1").getRange(address);
    range.load("values,formulas,numberFormat");
    await context.sync();
    return { values: range.values, formulas: range.formulas, formats: range.numberFormat };
  });

describe.each([
  ["our own cells", writeCells],
  ["somebody's cells", writeAndLook],
] as const)("a text in %s", (_, how) => {
  test("stays that text, whatever could be read in it", async () => {
    await write(
      hostile.map((text) => [text]),
      how,
    );
    const { values } = await held(`A1:A${hostile.length}`);
    expect(values.flat()).toEqual([...hostile]);
  });

  test("is any text at all", async () => {
    const text = fc.oneof(
      fc.string({ unit: "binary", maxLength: 30 }),
      fc.stringMatching(/^['=+@#-]?[0-9 .,:/%$€()eE-]{1,12}$/),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(text, { minLength: 1, maxLength: 40 }), async (texts) => {
        bench.reset();
        const clean = texts.map((one) => one.replace(/[\u0000-\u001f\ufffe\uffff]|[\ud800-\udfff]/g, "x"));
        await write(
          clean.map((one) => [one]),
          how,
        );
        const { values } = await held(`A1:A${clean.length}`);
        expect(values.flat()).toEqual(clean);
      }),
      { numRuns: 40 },
    );
  });
});

test("a text reads the same in another program that opens the file", async () => {
  const rows = hostile.map((text) => [text]);
  await write(rows);
  await write(rows, writeAndLook, 1);
  const cells = (await recalculate(await bench.exportXlsx())).get("Sheet1");
  for (const column of [0, 1]) {
    expect(hostile.map((_text, i) => cells?.[i]?.[column])).toEqual([...hostile]);
  }
});

describe("numbers and formulas", () => {
  test("are numbers, and are worked out", async () => {
    await write([[1.5, 0, -3, asFormula("1+1"), asFormula('="=1+1"'), true]]);
    expect((await held("A1:F1")).values).toEqual([[1.5, 0, -3, 2, "=1+1", true]]);
  });

  test("live in cells that were formatted as text, which then are no more", async () => {
    await format("A1:C2", "@");
    await write([[asFormula("1+1"), 7, "007"]], writeAndLook);
    const { values, formulas, formats } = await held("A1:C1");
    expect(values).toEqual([[2, 7, "007"]]);
    expect(formulas[0]?.[0]).toBe("=1+1");
    expect(formats).toEqual([["General", "General", "@"]]);
    expect((await held("A2:C2")).formats).toEqual([["@", "@", "@"]]);
  });

  test("may be spelled by the host as it spells them", async () => {
    await write([[asFormula("sum( b9:B2 ,.5, 1e2 )"), asFormula("Sheet1!C1&'Sheet1'!c2")]], writeAndLook);
    expect((await held("A1")).values).toEqual([[100.5]]);
  });
});

describe("what a cell cannot hold is told before anything is written", () => {
  const beyond: readonly (readonly [string, Content, RegExp])[] = [
    ["a long text", "x".repeat(mostText + 1), /32,768 characters/],
    ["a long formula", asFormula(`1${"+1".repeat(4100)}`), /characters/],
    ["a deep formula", asFormula(`${"ABS(".repeat(65)}1${")".repeat(65)}`), /65/],
    ["a call of too many arguments", asFormula(`SUM(${Array(256).fill("1").join(",")})`), /256/],
    ["a long text in a formula", asFormula(`LEN("${"x".repeat(256)}")`), /256/],
  ];
  test.each(beyond)("%s", async (_, content, told) => {
    for (const how of [writeCells, writeAndLook]) {
      await expect(write([["first"], [content]], how)).rejects.toThrow(told);
      await expect(write([["first"], [content]], how)).rejects.toThrow(/^A2: /);
      expect((await held("A1:A2")).values).toEqual([[""], [""]]);
    }
  });

  test("what it just can hold is written", async () => {
    await write(
      [["x".repeat(mostText)], [asFormula(`${"ABS(".repeat(64)}1${")".repeat(64)}`)]],
      writeAndLook,
    );
    expect((await held("A2")).values).toEqual([[1]]);
  });
});

describe("a table", () => {
  const table = async (columns: readonly (readonly string[])[]) => {
    const cells = columns.flatMap((column, i) =>
      column.map((content, row) => [`${"ABCDEF"[i] ?? ""}${row + 1}`, content] as const),
    );
    bench.setCells("Sheet1", Object.fromEntries(cells));
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getItem("Sheet1");
      const last = "ABCDEF"[columns.length - 1] ?? "A";
      sheet.tables.add(`A1:${last}${columns[0]?.length ?? 1}`, true).name = "Zones";
      await context.sync();
    });
  };
  const areas = ["Area", "1", "2", "3", "4"];

  test("that would fill a column with one formula has it taken back, and one sentence tells so", async () => {
    await table([areas, ["Seed", "", "", "", ""]]);
    const one = (context: Excel.RequestContext) =>
      writeAndLook(context, [
        {
          sheet: context.workbook.worksheets.getItem("Sheet1"),
          top: 2,
          left: 1,
          rows: [[asFormula("A3*7")]],
        },
      ]);
    await expect(Excel.run(one)).rejects.toThrow(
      /^The table Zones filled B2 and 2 more cells by itself, so all of it was taken back: [^.]*\.$/,
    );
    expect((await held("B1:B5")).formulas.flat()).toEqual(["Seed", "", "", "", ""]);
  });

  test("whose formulas would be written over keeps them", async () => {
    const old = ["Seed", "=A2*5", "=A3*5", "=A4*5", "=A5*5"];
    await table([areas, old]);
    await expect(
      Excel.run((context) =>
        writeAndLook(context, [
          {
            sheet: context.workbook.worksheets.getItem("Sheet1"),
            top: 2,
            left: 1,
            rows: [[asFormula("A3*7")]],
          },
        ]),
      ),
    ).rejects.toThrow(/taken back/);
    expect((await held("B1:B5")).formulas.flat()).toEqual(old);
  });

  test("takes a whole column of formulas, and gaps in it are found when the host fills them", async () => {
    await table([areas, ["Seed", "", "", "", ""]]);
    const column = (rows: readonly Content[]) => (context: Excel.RequestContext) =>
      writeAndLook(context, [
        {
          sheet: context.workbook.worksheets.getItem("Sheet1"),
          top: 0,
          left: 1,
          rows: rows.map((one) => [one]),
        },
      ]);
    const full = ["Seed", asFormula("A2*7"), asFormula("A3*7"), asFormula("A4*7"), asFormula("A5*7")];
    await Excel.run(column(full));
    expect((await held("B2:B5")).values.flat()).toEqual([7, 14, 21, 28]);
    bench.setCells("Sheet1", { B2: "", B3: "", B4: "", B5: "" });
    await expect(
      Excel.run(column(["Seed", asFormula("A2*7"), "", asFormula("A4*7"), asFormula("A5*7")])),
    ).rejects.toThrow(/^The table Zones filled B3 by itself/);
    expect((await held("B2:B5")).formulas.flat()).toEqual(["", "", "", ""]);
  });

  test("keeps text that only looks like a formula when all is taken back", async () => {
    await table([areas, ["Seed", "'=SWARD.PACKS(1,2)", "", "", ""]]);
    bench.failAt(5);
    await expect(
      Excel.run((context) =>
        writeAndLook(context, [
          {
            sheet: context.workbook.worksheets.getItem("Sheet1"),
            top: 1,
            left: 1,
            rows: [[asFormula("A2*7")], [asFormula("A3*7")], [asFormula("A4*7")], [asFormula("A5*7")]],
          },
        ]),
      ),
    ).rejects.toThrow();
    bench.clearFail();
    expect((await held("B2")).values).toEqual([["=SWARD.PACKS(1,2)"]]);
    expect(bench.formula("Sheet1", "B2")).toBeNull();
  });
});

test("whatever request is refused, the sheet is as before", async () => {
  const start = () => {
    bench.reset();
    bench.setCells("Sheet1", { A1: "3", A2: "=A1*2", A3: "'=1+1", B1: "left" });
  };
  const rows = [["007"], [asFormula("1+1")], [4]];
  start();
  await format("A3", "@");
  const before = await held("A1:B4");
  let refused = 0;
  for (let batch = 1; batch <= 12; batch++) {
    start();
    await format("A3", "@");
    bench.failAt(batch);
    const outcome = await write(rows, writeAndLook).then(
      () => "written",
      () => "refused",
    );
    bench.clearFail();
    if (outcome === "written") break;
    refused++;
    expect(await held("A1:B4"), `batch ${batch}`).toEqual(before);
  }
  expect(refused).toBeGreaterThanOrEqual(4);
});

test("40,000 cells of long text are sent in requests that the host takes, and read again in answers that it gives", async () => {
  const rows = Array.from({ length: 20_000 }, (_, i) => [`${i} ${"a field of lawn ".repeat(20)}`, i]);
  bench.traffic.request = 0;
  bench.traffic.response = 0;
  await write(rows, writeAndLook);
  expect(bench.value("Sheet1", "B20000")).toBe(19_999);
  expect(bench.traffic.request).toBeLessThan(4_000_000);
  expect(bench.traffic.response).toBeLessThan(4_000_000);
  expect(bench.traffic.request).toBeGreaterThan(500_000);
});
