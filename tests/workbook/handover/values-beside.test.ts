import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { valuesBeside } from "../../../src/workbook/handover/values-beside";
import type { Progress } from "../../../src/workbook/host/progress";
import { Stopped } from "../../../src/workbook/host/progress";
import type { Workbench } from "../../../src/workbench/node";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const names = () =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    return worksheets.items.map(({ name }) => name);
  });

/** Every cell of a sheet, as typed and as shown. */
const held = (sheet: string) =>
  Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem(sheet).getUsedRange();
    range.load("address,formulas,values,numberFormat");
    await context.sync();
    const { address, formulas, values, numberFormat } = range;
    return { address: address.replace(/^.*!/, ""), formulas, values, numberFormat };
  });

describe("values beside", () => {
  test("are a copy with the same look, every figure the same, no formula; the sheet itself is as it was", async () => {
    await writeBid({ system: "us", currency: "$", property: "Larkfield House", sample: true }, unwatched);
    const before = { bid: await held("Bid"), order: await held("Order") };
    const made = await valuesBeside(["Bid", "Order"], false, unwatched);
    expect(made.sheets).toEqual(["Order as values", "Bid as values"]);
    expect(await held("Bid")).toEqual(before.bid);
    expect(await held("Order")).toEqual(before.order);
    for (const [name, was] of [
      ["Bid as values", before.bid],
      ["Order as values", before.order],
    ] as const) {
      const now = await held(name);
      expect(now.values).toEqual(was.values);
      expect(now.numberFormat).toEqual(was.numberFormat);
      expect(now.formulas.flat().filter((one) => String(one).startsWith("="))).toEqual([]);
    }
  });

  test("keep texts that look like dates, numbers and formulas, spilled cells and long names", async () => {
    const long = "A sheet whose name has thirty-one".slice(0, 31);
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem("Sheet1").name = long;
      await context.sync();
    });
    bench.setCells(long, {
      A1: "'10-18-22",
      A2: "'007",
      A3: "'=1+1",
      A4: '="3E"&"5"',
      A5: '="=SUM(1"&")"',
      B1: "5",
      D1: "=SWARD.TANK_LOADS(21780,8,40,9)",
    });
    await bench.calculated();
    const before = await held(long);
    const { sheets } = await valuesBeside([long], false, unwatched);
    const [copy = ""] = sheets;
    expect(copy.length).toBeLessThanOrEqual(31);
    const now = await held(copy);
    expect(now.values).toEqual(before.values);
    expect(now.values.flat().filter((one) => one === "3E5" || one === "=SUM(1)")).toHaveLength(2);
    const again = await valuesBeside([long], false, unwatched);
    expect(again.sheets[0]).not.toBe(copy);
  });

  test("with the working say of each function what it was given", async () => {
    bench.setCells("Sheet1", { A1: "7", B1: "=SWARD.PACKS(A1,2)" });
    const { sheets } = await valuesBeside(["Sheet1"], true, unwatched);
    expect(sheets).toEqual(["Sheet1 as values", "Working"]);
    expect(bench.value("Working", "C2")).toBe("SWARD.PACKS(A1,2)");
    expect(bench.formula("Sheet1", "B1")).toBe("=SWARD.PACKS(A1,2)");
  });

  test("of a sheet that shows an error are refused in one sentence, and no sheet is added", async () => {
    bench.setCells("Sheet1", { A1: "=1/0" });
    await expect(valuesBeside(["Sheet1"], false, unwatched)).rejects.toThrow(
      "Sheet1!A1 shows #DIV/0!: put that right, then hand over.",
    );
    expect(await names()).toEqual(["Sheet1"]);
  });

  test("that are stopped leave no sheet behind", async () => {
    bench.setCells("Sheet1", { A1: "=1+1" });
    const stopping: Progress = {
      report: () => undefined,
      get stopped() {
        return true;
      },
    };
    await expect(valuesBeside(["Sheet1"], false, stopping)).rejects.toBeInstanceOf(Stopped);
    expect(await names()).toEqual(["Sheet1"]);
  });
});
