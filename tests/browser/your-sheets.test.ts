/** The room of the estimator's own sheets, through the pane as it is built. */
import { isHarsh } from "../support/built-workbench";
import type { Frame } from "playwright-core";
import { describe, expect, it } from "vitest";
import { violations } from "./accessibility";
import type { OpenWorkbench } from "./open-workbench";
import { workbenches } from "./workbenches";

const open = workbenches();

const table = {
  A1: "Juniper Hill",
  A3: "Zone",
  B3: "Area (sq ft)",
  C3: "Rate lb/1000",
  D3: "PLS %",
  E3: "Label rate (fl oz/ac)",
  A4: "Front",
  B4: "4000",
  C4: "7",
  D4: "85",
  E4: "21",
  A5: "Side",
  B5: "-5",
  C5: "7",
  D5: "85",
  E5: "21",
  G3: "gate code in the van",
  B7: "=SUM(B4:B5)",
  A7: "Total",
};

async function openRoom(workbench: OpenWorkbench): Promise<Frame> {
  const { pane } = workbench;
  await pane.locator("#tab-your-sheets").click();
  await pane.locator("#look-again").waitFor();
  return pane;
}

async function readAt(workbench: OpenWorkbench, address: string): Promise<Frame> {
  const pane = await openRoom(workbench);
  await workbench.select(address);
  await pane.locator("#read-table").click();
  await pane.locator("#own-table").waitFor();
  return pane;
}

const overflow = (pane: Frame) =>
  pane.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

describe("a table of the estimator's own", () => {
  it("is read, told in words, shown with its first results and written beside what is there", async () => {
    const workbench = await open();
    await workbench.set(table);
    const pane = await readAt(workbench, "B3");
    await pane.getByText("Row 7 is taken for the totals").waitFor();
    const why = (column: number) => pane.locator(`#column-${column}-why`).innerText();
    expect(await why(0)).toContain("Left out");
    expect(await why(1)).toBe("The heading says “area”; in ft².");
    expect(await why(3)).toContain("divided by 100");
    await pane.getByText("=SWARD.SEED_WEIGHT(B4,C4,D4/100)").waitFor();
    await pane.getByText("Area is -5").first().waitFor();
    await pane.getByRole("complementary", { name: "Caution" }).first().waitFor();
    expect(await workbench.formula("F4")).toBeNull();

    // G3 is taken, so that two columns side by side are free from H on.
    await pane.getByText("They go into Sheet1!H3:I5").waitFor();
    await pane.locator("#write-columns").click();
    await pane.getByText("Written to Sheet1!H3:I5").waitFor();
    expect(await workbench.value("H3")).toBe("Bulk seed to buy (lb)");
    expect(await workbench.value("H4")).toBeCloseTo((4000 * 7) / 1000 / 0.85, 9);
    expect(await workbench.value("I4")).toBeCloseTo((4000 / 43_560) * 21, 9);
    expect(await workbench.value("H5")).toBe("#VALUE!");
    expect(await workbench.value("G3")).toBe("gate code in the van");

    // The list below shows them at once; where a batch can be undone, one undo takes them back.
    await pane.locator(".row", { hasText: "H4" }).filter({ hasText: "= 32.94 lb" }).waitFor();
    await pane.locator(".row", { hasText: "H5" }).filter({ hasText: "Area is -5" }).waitFor();
    if (isHarsh) return;
    await workbench.page.evaluate(() => window.workbench?.undo());
    expect(await workbench.formula("H4")).toBeNull();
    expect(await workbench.value("B4")).toBe(4000);
  });

  it("takes a column for what the person says, and leaves out what is unticked", async () => {
    const workbench = await open();
    await workbench.set({ A1: "Ground (rods)", B1: "lb/M", C1: "N %", A2: "5000", B2: "1", C2: "24" });
    const pane = await readAt(workbench, "A1");
    await pane.locator("#column-0-why", { hasText: "“rods” is no unit known here" }).waitFor();
    expect(await pane.locator("#write-columns").count()).toBe(0);
    await pane.locator("#column-0-unit").selectOption("ft²");
    await pane.getByText("=SWARD.FERTILISER_WEIGHT(A2,B2,C2/100)").waitFor();
    await pane.locator("#column-1").selectOption("seeding rate");
    await pane.getByText("=SWARD.SEED_WEIGHT(A2,B2)").waitFor();
    await pane.locator("#add-SEED_WEIGHT").click();
    await pane.getByText("Tick what is to be added").waitFor();
    await pane.locator("#add-SEED_WEIGHT").click();
    await pane.locator("#own-units-metric").click();
    await pane.getByText('=SWARD.SEED_WEIGHT(A2*0.09290304,B2*4.88242763638305,,"metric")').waitFor();
  });

  it("says what to select where there is no table, and what has changed since", async () => {
    const workbench = await open();
    const pane = await openRoom(workbench);
    await workbench.select("C9");
    await pane.locator("#read-table").click();
    await pane.getByText("No headings were understood at C9").waitFor();
    await workbench.set(table);
    await readAt(workbench, "C4");
    await workbench.set({ B3: "Area (m2)" });
    await pane.locator("#write-columns").click();
    await pane.getByText("has changed since it was read").waitFor();
    expect(await workbench.formula("H4")).toBeNull();
  });
});

describe("every call in the workbook", () => {
  it("is listed by sheet, a hundred at first, and each leads to its cell", async () => {
    const workbench = await open();
    const cells: Record<string, string> = { A1: "7" };
    // No two alike stand one above another, so that nothing is told as one.
    for (let row = 1; row <= 250; row++) cells[`B${row}`] = `=SWARD.PACKS($A$1,${(row % 2) + 1})`;
    await workbench.set(cells);
    const pane = await openRoom(workbench);
    await pane.getByText("250 calls, all answer").waitFor();
    expect(await pane.locator("#room-your-sheets .row").count()).toBe(100);
    await pane.getByRole("button", { name: "Show 100 more of 150 in Sheet1" }).click();
    expect(await pane.locator("#room-your-sheets .row").count()).toBe(200);
    expect(await pane.locator(".row:focus").getAttribute("id")).toBe("call-0-100");
    await pane.locator("#call-0-149").click();
    await workbench.quiet();
    await pane.locator("#tab-this-cell").click();
    await pane.getByText("Sheet1!B150").first().waitFor();
  });
});

describe("for everyone", () => {
  it("can be read and written by keyboard alone, focus where the work goes on", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    await workbench.set(table);
    await workbench.select("B3");
    const tabUntil = async (selector: string) => {
      for (let i = 0; i < 60; i++) {
        await page.keyboard.press("Tab");
        if (await pane.locator(`${selector}:focus-within, ${selector}:focus`).count()) return;
      }
      throw new Error(`The keyboard does not reach ${selector}.`);
    };
    await pane.locator("#tab-functions").focus();
    const chosen = pane.locator('#tab-your-sheets[aria-selected="true"]');
    for (let i = 0; i < 6 && (await chosen.count()) === 0; i++) {
      await page.keyboard.press("ArrowRight");
      await page.waitForTimeout(100);
    }
    await pane.locator("#look-again").waitFor();
    await tabUntil("#read-table");
    await page.keyboard.press("Enter");
    await pane.locator("#own-table:focus").waitFor();
    await tabUntil("#column-2");
    await page.keyboard.type("left out");
    await pane.locator("#column-2-why", { hasText: "as you chose" }).waitFor();
    expect(await pane.locator("#column-2:focus").count()).toBe(1);
    // A list takes what is typed after a pause for another word.
    await page.waitForTimeout(1500);
    await page.keyboard.type("seeding");
    await pane.getByText("=SWARD.SEED_WEIGHT(B4,C4,D4/100)").waitFor();
    await tabUntil("#add-LABEL_DOSE");
    await page.keyboard.press("Space");
    await pane.getByText("It goes into Sheet1!F3:F5").waitFor();
    await tabUntil("#write-columns");
    await page.keyboard.press("Enter");
    await pane.getByText("Written to Sheet1!F3:F5").waitFor();
    await pane.locator("#read-table:focus").waitFor();
    expect(await workbench.value("F4")).toBeCloseTo((4000 * 7) / 1000 / 0.85, 9);
    await pane.locator("#call-0-0").waitFor();
    await tabUntil("#call-0-0");
  });

  it.skipIf(isHarsh)("has no fault that axe finds, in light and dark", async () => {
    const workbench = await open();
    await workbench.set(table);
    const pane = await readAt(workbench, "B3");
    const looked = async () => {
      for (const colorScheme of ["light", "dark"] as const) {
        await workbench.page.emulateMedia({ colorScheme });
        await workbench.page.waitForTimeout(400);
        expect(await violations(pane), colorScheme).toEqual([]);
      }
    };
    await looked();
    await pane.locator("#write-columns").click();
    await pane.getByText("Written to").waitFor();
    await pane.locator("#call-0-0").waitFor();
    await workbench.quiet();
    await looked();
  });

  it.skipIf(isHarsh).each([240, 320])(
    "fits a pane of %i pixels without scrolling sideways",
    async (width) => {
      const workbench = await open(width);
      await workbench.set({
        ...table,
        B3: "Area of everything that is mown every week without the verge (sq ft)",
      });
      const pane = await readAt(workbench, "C3");
      expect(await overflow(pane)).toBeLessThanOrEqual(0);
      await pane.locator("#write-columns").click();
      await pane.locator("#call-0-0").waitFor();
      expect(await overflow(pane)).toBeLessThanOrEqual(0);
    },
  );
});
