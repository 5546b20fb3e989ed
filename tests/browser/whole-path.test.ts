/** The whole path once: the sample bid, a changed area, a function of one's own, handed over, recalculated elsewhere, back. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Machine, OpenWorkbench } from "./open-workbench";
import { startMachine } from "./open-workbench";
import { recalculate } from "../support/libreoffice";

let machine: Machine;
beforeAll(async () => {
  machine = await startMachine();
});
afterAll(() => machine.close());

const columns = "ABCDEFGHIJKLM";

interface Contents {
  readonly formulas: Record<string, string>;
  readonly values: Record<string, unknown>;
}

/** Every formula and value of the named sheets. */
const contents = (bench: OpenWorkbench, sheets: readonly string[]): Promise<Contents> =>
  bench.page.evaluate(
    ([names, letters]) => {
      const formulas: Record<string, string> = {};
      const values: Record<string, unknown> = {};
      for (const sheet of names) {
        for (let row = 1; row <= 60; row++) {
          for (const letter of letters) {
            const place = `${sheet}!${letter}${row}`;
            const formula = window.workbench?.formula(sheet, `${letter}${row}`);
            if (typeof formula === "string") formulas[place] = formula;
            const value = window.workbench?.value(sheet, `${letter}${row}`);
            if (value !== null && value !== "") values[place] = value;
          }
        }
      }
      return { formulas, values };
    },
    [sheets, columns] as const,
  );

async function download(bench: OpenWorkbench): Promise<Uint8Array> {
  const bytes = await bench.page.evaluate(async () => [...((await window.workbench?.exportXlsx()) ?? [])]);
  return Uint8Array.from(bytes);
}

/** Compares every number that the functions gave with what LibreOffice makes of the downloaded file. */
async function compare(said: Contents, file: Uint8Array): Promise<{ numbers: number; difference: number }> {
  const there = await recalculate(file);
  let numbers = 0;
  let difference = 0;
  for (const [place, value] of Object.entries(said.values)) {
    if (typeof value !== "number") continue;
    const [sheet = "", address = ""] = place.split("!");
    const other = there.get(sheet)?.[Number(address.slice(1)) - 1]?.[columns.indexOf(address.charAt(0))];
    expect(typeof other, `${place} is ${String(other)}`).toBe("number");
    numbers++;
    difference = Math.max(difference, Math.abs(Number(other) - value) / Math.max(Math.abs(value), 1e-12));
  }
  return { numbers, difference };
}

test("an area in a cell becomes bags on a bid, recalculates, is handed over and comes back", async () => {
  const bench = await machine.open(350);
  const { pane } = bench;

  // The bid, written from the pane.
  await pane.locator("#tab-bid").click();
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();
  const sheets = (await bench.sheetNames()).filter((name) => name !== "Sheet1");
  const first = await contents(bench, sheets);

  // The back lawn is typed in: 4,200 ft2 becomes 5,200, and what hangs on it follows.
  const typed = Object.entries(first.values).find(
    ([place, value]) => place.startsWith("Site!") && value === 4200,
  );
  const backLawn = typed?.[0].split("!")[1] ?? "";
  await bench.set({ [backLawn]: "5200" }, "Site");
  const grown = await contents(bench, sheets);
  const numbersOf = ({ values }: Contents) =>
    Object.values(values).filter((value) => typeof value === "number");
  // Topdressing: 3,160 + 522 + 4,200 ft2 at 1/4 in from 2.4 ft3 a bag is 69 bags, with 1,000 ft2 more 78.
  expect(numbersOf(first)).toContain(Math.ceil(((3160 + 522 + 4200) * 0.25) / 12 / 2.4));
  expect(numbersOf(grown)).toContain(Math.ceil(((3160 + 522 + 5200) * 0.25) / 12 / 2.4));
  const changed = Object.entries(first.values).filter(([place, value]) => grown.values[place] !== value);
  expect(changed.length).toBeGreaterThan(10);

  // A function of one's own in a blank sheet.
  await bench.set({ A1: "2500" });
  await bench.select("B1");
  await pane.locator("#tab-functions").click();
  await pane.locator("#open-TOPDRESS_BAGS").click();
  await pane.locator("#field-area input").fill("Sheet1!A1");
  await pane.locator("#field-depth input").fill("0.25");
  await pane.locator("#field-bag_volume input").fill("3");
  await pane.locator("#field-screen_loss input").fill("20%");
  await pane.locator("#put").click();
  await pane.getByText("Sheet1!B1 holds").waitFor();
  expect(await bench.value("B1")).toBe(Math.ceil((2500 * 0.25) / 12 / (3 * 0.8)));

  // Handed over: no function of ours is left, and another spreadsheet gets the same numbers.
  const all = ["Sheet1", ...sheets];
  const before = await contents(bench, all);
  await pane.locator("#tab-hand-over").click();
  await bench.handOverInPlace();
  await pane.locator("#hand-over").click();
  await pane.locator("#bring-back").waitFor({ timeout: 120_000 });
  // What stood there is told as a text in the cell: no call is left beside it.
  const callsLeft = async () =>
    Object.values((await contents(bench, all)).formulas).filter((formula) =>
      formula.replace(/"[^"]*"/g, "").includes("SWARD."),
    );
  await expect.poll(callsLeft).toEqual([]);
  const same = await compare(before, await download(bench));

  await bench.set({ [backLawn]: "4200" }, "Site");
  const file = await download(bench);
  await pane.locator("#bring-back").click();
  await expect.poll(async () => (await contents(bench, all)).formulas).toEqual(before.formulas);
  const after = await compare(await contents(bench, all), file);
  const difference = Math.max(same.difference, after.difference);
  console.log(
    `whole path: ${same.numbers + after.numbers} numbers compared with LibreOffice, largest relative difference ${difference}`,
  );
  expect(difference).toBeLessThan(1e-9);
  expect(bench.faults).toEqual([]);
  expect(bench.outside).toEqual([]);
}, 180_000);
