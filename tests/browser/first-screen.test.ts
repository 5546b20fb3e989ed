/** What a newcomer meets: the bid itself, and one line that says what this is and where to begin. */
import { expect, test } from "vitest";
import { zones } from "../../src/workbook/bid/sheets/zones";
import { columnOf } from "../support/written-columns";
import { Keyboard } from "./keyboard";
import { workbenches } from "./workbenches";

const open = workbenches();

test("the workbench opens on the bid, says where to begin, and what it says is so", async () => {
  const bench = await open(320);
  const { page } = bench;
  await page.goto(`${bench.origin}/workbench/?pane=320`);
  await page.waitForFunction(() => window.workbench?.sheetNames()[0] === "Site");
  const names = await bench.sheetNames();
  // The bid stands first, and the empty sheet that was there is there still.
  expect(names.slice(0, 6)).toEqual(["Site", "Outlines", "Materials", "Quantities", "Order", "Bid"]);
  expect(names.at(-1)).toBe("Sheet1");
  const active = () =>
    page.evaluate(() => {
      const getters = window.workbench?.model.getters;
      return getters?.getSheetName(getters.getActiveSheetId());
    });
  expect(await active()).toBe("Site");

  const about = page.locator("#about");
  expect(await about.innerText()).toContain("4200 ft² of the back lawn, and the price on Bid follows");
  const [line, grid] = await Promise.all([about.boundingBox(), page.locator("#spreadsheet").boundingBox()]);
  expect((line?.y ?? 0) + (line?.height ?? Infinity)).toBeLessThanOrEqual(grid?.y ?? 0);

  // On a screen of the usual width it is one line.
  await page.setViewportSize({ width: 1366, height: 768 });
  expect(
    await about.evaluate(
      (it) => it.getBoundingClientRect().height / parseFloat(getComputedStyle(it).lineHeight),
    ),
  ).toBeLessThan(1.5);

  // Done as it says, by keyboard: 1,000 ft² more of the back lawn are 1,000 / 12 / 4 more cubic feet in bags of 2.4.
  const keys = new Keyboard(bench);
  await keys.toGrid();
  const price = await bench.value("C26", "Bid");
  await keys.type("Site", `${columnOf(zones, "typedArea")}10`, "5200");
  expect(await bench.value("M10", "Order")).toBe(Math.ceil(((3160 + 522 + 5200) * 0.25) / 12 / 2.4));
  expect(Number(await bench.value("C26", "Bid"))).toBeGreaterThan(Number(price));
}, 60_000);

test("F6 goes from the sheet to the pane, to the buttons above, and back to the sheet", async () => {
  const bench = await open(320);
  const keys = new Keyboard(bench);
  await keys.toGrid();
  const at = () =>
    bench.page.evaluate(() =>
      document.activeElement?.matches(".o-grid .o-composer") ? "sheet" : document.activeElement?.id,
    );
  const seen = [await at()];
  for (let i = 0; i < 3; i++) {
    await keys.press("F6");
    seen.push(await at());
  }
  expect(seen).toEqual(["sheet", "pane", "open", "sheet"]);
  // A new workbook is opened with another line, for it has no sample in it.
  expect(await bench.page.locator("#about").innerText()).toContain("choose Bid there");
}, 60_000);
