/** Files made by a newcomer from the sample, with keys alone: the workbench gives out its own file, and nothing is acted. */
import { readFile } from "node:fs/promises";
import { strFromU8, unzipSync } from "fflate";
import { expect, test } from "vitest";
import { zones } from "../../src/workbook/bid/sheets/zones";
import { columnOf } from "../support/written-columns";
import { isHarsh } from "../support/built-workbench";
import type { SheetValues } from "../support/libreoffice";
import { edited, recalculate } from "../support/libreoffice";
import { Keyboard } from "./keyboard";
import type { OpenWorkbench } from "./open-workbench";
import { workbenches } from "./workbenches";

const open = workbenches();

/** A wage and a margin that stand nowhere else in the workbook. */
const wage = 41.37;
const margin = 0.371;

/** Where the terms stand that only the estimator may see, and the cells of the price. */
const at = { wage: "D17", margin: "D19", price: "C26", area: `${columnOf(zones, "typedArea")}10` } as const;

async function sample(): Promise<Keyboard> {
  const bench = await open(350);
  const { page } = bench;
  await page.goto(`${bench.origin}/workbench/`);
  await page.waitForFunction(() => window.workbench?.sheetNames()[0] === "Site");
  await bench.quiet();
  expect(await bench.value(at.wage.replace("D", "A"), "Order")).toContain("person-hour");
  expect(await bench.value(at.margin.replace("D", "A"), "Order")).toContain("Margin");
  expect(await bench.value(at.price.replace("C", "A"), "Bid")).toBe("Price with tax");
  const keys = new Keyboard(bench);
  await keys.toGrid();
  const before = await bench.value(at.price, "Bid");
  await keys.type("Order", at.wage, String(wage));
  // The cell shows per cent, and puts the sign there itself.
  await keys.type("Order", at.margin, String(margin * 100));
  expect(await bench.value(at.margin, "Order")).toBeCloseTo(margin, 12);
  expect(Number(await bench.value(at.price, "Bid"))).toBeGreaterThan(Number(before));
  return keys;
}

/** Goes to the hand-over room, chooses for whom, makes the file and saves it. */
async function saved(keys: Keyboard, downs: number): Promise<{ name: string; bytes: Uint8Array }> {
  const { page, pane } = keys.bench;
  await keys.toPane("#tab-functions");
  await keys.press("End");
  await pane.locator("#room-hand-over .sheet").first().waitFor();
  await keys.toPane("#for");
  await keys.press("ArrowDown", downs);
  await keys.toPane("#hand-over");
  await keys.press("Enter");
  await pane.locator("#save-file").waitFor();
  await keys.toPane("#save-file");
  const [download] = await Promise.all([page.waitForEvent("download"), keys.press("Enter")]);
  return { name: download.suggestedFilename(), bytes: new Uint8Array(await readFile(await download.path())) };
}

const partsOf = (bytes: Uint8Array): Record<string, string> =>
  Object.fromEntries(Object.entries(unzipSync(bytes)).map(([name, part]) => [name, strFromU8(part)]));

const numberAt = (cells: SheetValues, sheet: string, address: string): unknown =>
  cells.get(sheet)?.[Number(address.slice(1)) - 1]?.[address.charCodeAt(0) - 65];

const priceOf = (bench: OpenWorkbench) => bench.value(at.price, "Bid").then(Number);

/** What tells of the wage or the margin, in whatever part of a file it stands. */
const telling = new RegExp(`${wage}|${margin}|${margin * 100}|\\bmargin\\b|\\bwage|person-hour|markup`, "i");

test.skipIf(isHarsh)(
  "the client's file holds the bid and the watering alone, at the price on Bid, and no word of wage or margin",
  async () => {
    const keys = await sample();
    const { name, bytes } = await saved(keys, 2);
    expect(name).toBe("For the client.xlsx");
    const parts = partsOf(bytes);
    expect(Object.keys(parts).filter((part) => part.includes("worksheets/sheet"))).toHaveLength(2);
    expect(Object.entries(parts).filter(([, part]) => telling.test(part))).toEqual([]);
    const cells = await recalculate(bytes);
    expect([...cells.keys()]).toEqual(["Bid", "Watering"]);
    expect(numberAt(cells, "Bid", at.price)).toBeCloseTo(await priceOf(keys.bench), 9);
  },
  120_000,
);

test.skipIf(isHarsh)(
  "the office's copy has ordinary formulas alone, and another spreadsheet follows them to the same price",
  async () => {
    const keys = await sample();
    const { bench } = keys;
    const { name, bytes } = await saved(keys, 0);
    expect(name).toBe("Handed over.xlsx");
    const parts = partsOf(bytes);
    const formulas = Object.values(parts).flatMap((part) => part.match(/<f[ >][^]*?<\/f>/g) ?? []);
    expect(formulas.length).toBeGreaterThan(300);
    // What stood in a cell is kept beside its formula, as a text.
    const withoutTexts = formulas.map((formula) => formula.replace(/&quot;[^]*?&quot;/g, ""));
    expect(withoutTexts.find((formula) => /SWARD/i.test(formula))).toBeUndefined();
    // The office sees what the client does not: so the search of the client's file could have found it.
    expect(Object.values(parts).some((part) => part.includes(String(wage)))).toBe(true);
    const before = await priceOf(bench);
    expect(numberAt(await recalculate(bytes), "Bid", at.price)).toBeCloseTo(before, 9);

    // This workbook still has our functions: a larger back lawn makes the same price here and there.
    await keys.toGrid();
    await keys.type("Site", at.area, "5200");
    const larger = await edited(bytes, [["set", "Site", at.area, "5200"]]);
    const price = await priceOf(bench);
    expect(price).toBeGreaterThan(before);
    expect(numberAt(await recalculate(larger), "Bid", at.price)).toBeCloseTo(price, 9);
  },
  120_000,
);

test.skipIf(!isHarsh)("a host that gives out no file says so, and what can be done instead", async () => {
  const { pane } = await open(320);
  await pane.locator("#tab-hand-over").click();
  await pane.locator("#for-client").click();
  const says = pane.locator("#room-hand-over .message");
  await says.waitFor();
  expect(await says.innerText()).toContain("Excel does not give this workbook's file to the pane here");
});
