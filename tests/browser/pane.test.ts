import type { Frame, Locator } from "playwright-core";
import { describe, expect, it } from "vitest";
import { mayHoldCalls } from "../../src/workbook/formulas/calls";
import { isHarsh } from "../support/built-workbench";
import { violations } from "./accessibility";
import type { OpenWorkbench } from "./open-workbench";
import { workbenches } from "./workbenches";

const open = workbenches();

const field = (pane: Frame, id: string): Locator => pane.locator(`#field-${id} input`);
const text = (locator: Locator): Promise<string> => locator.innerText();
const has = (locator: Locator, wanted: string | RegExp) =>
  locator.filter({ hasText: wanted }).first().waitFor();

async function openFunction(pane: Frame, id: string): Promise<void> {
  await pane.locator("#tab-functions").click();
  await pane.locator(`#open-${id}`).click();
  await pane.locator("#put").waitFor();
}

/** 4,000 ft² at 7 lb per 1000 ft², from a lot with 85 % pure live seed. */
const seedToBuy = (4000 * 7) / 1000 / 0.85;

/** What a form does before it asks the host for anything is looked at in front of one. */
const inOne = it.skipIf(isHarsh);

describe("the room of the functions", () => {
  it("finds a function, takes figures from the sheet and puts the formula into the selected cell", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ B2: "4000", B3: "7" });

    await pane.locator("#search input").fill("bulk seed to buy");
    expect(await pane.locator(".row").count()).toBe(1);
    await pane.locator(".row").click();
    // The workbook is asked what is selected: the next selection must wait for the answer, as a hand does.
    for (const [parameter, cell] of [
      ["area", "B2"],
      ["rate", "B3"],
    ] as const) {
      await workbench.select(cell);
      await pane.getByRole("button", { name: `Use selection for ${parameter}` }).click();
      await expect.poll(() => field(pane, parameter).inputValue()).toBe(`Sheet1!${cell}`);
    }
    await field(pane, "pure_live_seed").fill("85 %");
    await has(pane.locator(".result"), "32.94 lb");
    await has(pane.locator(".working"), "4,000 ft² × 7 lb per 1000 ft²");

    await workbench.select("D5");
    await has(pane.locator(".put"), "Sheet1!D5");
    await pane.locator("#put").click();
    await has(pane.locator(".message"), "Sheet1!D5 holds");
    expect(await workbench.formula("D5")).toBe("=SWARD.SEED_WEIGHT(Sheet1!B2,Sheet1!B3,0.85)");
    expect(await workbench.value("D5")).toBeCloseTo(seedToBuy, 9);
  });

  inOne("works in metric units", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await openFunction(pane, "SEED_WEIGHT");
    await pane.locator("#units-metric").click();
    await field(pane, "area").fill("400");
    await field(pane, "rate").fill("35");
    await has(pane.locator(".result"), "14 kg");
    await pane.locator("#put").click();
    await has(pane.locator(".message"), "holds");
    // 400 m² at 35 g per m² is 14,000 g.
    expect(await workbench.value("A1")).toBeCloseTo(14, 9);
  });

  it("follows a cell behind a figure when it is changed", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ B2: "1000" });
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("Sheet1!B2");
    await field(pane, "rate").fill("7");
    await has(pane.locator(".result"), "7 lb");
    await workbench.set({ B2: "2000" });
    await workbench.select("B3");
    await has(pane.locator(".result"), "14 lb");
  });

  inOne("says beside the field what is wrong with it", async () => {
    const { pane } = await open();
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "pure_live_seed").fill("95");
    const wrong = pane.locator(".field.wrong");
    await has(wrong, "95 would mean 9500 %");
    expect(await wrong.count()).toBe(1);
    expect(await field(pane, "pure_live_seed").getAttribute("aria-invalid")).toBe("true");
    expect(await field(pane, "pure_live_seed").getAttribute("aria-description")).toContain("9500 %");
  });

  inOne("goes to the first field that is needed when there is nothing to put yet", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await openFunction(pane, "SEED_WEIGHT");
    await pane.locator("#put").click();
    await has(pane.locator(".field.wrong"), "Area is needed");
    await pane.locator("#field-area:focus-within").waitFor();
    expect(await workbench.formula("A1")).toBeNull();
  });

  it("asks before it overwrites, and drops the question when another cell is selected", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ A1: "kept" });
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("1000");
    await field(pane, "rate").fill("5");
    await pane.locator("#put").click();
    await has(pane.locator(".message"), "It holds kept");
    expect(await workbench.value("A1")).toBe("kept");

    await workbench.select("A2");
    await pane.locator("#keep").waitFor({ state: "detached" });

    await workbench.select("A1");
    await has(pane.locator(".put"), "Sheet1!A1");
    await pane.locator("#put").click();
    await pane.getByText("Overwrite it").click();
    await has(pane.locator(".message"), "Sheet1!A1 holds");
    expect(await workbench.value("A1")).toBeCloseTo(5, 9);
    expect(await workbench.value("A2")).not.toBe(5);
  });

  inOne("does not put a formula into one of its own figures", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ B2: "1000" });
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("B1:B2");
    await field(pane, "area").fill("B2");
    await field(pane, "rate").fill("7");
    await workbench.select("B2");
    await pane.locator("#put").click();
    await has(pane.locator(".message"), "Sheet1!B2 is one of the figures");
    expect(await workbench.value("B2")).toBe(1000);
  });

  inOne("keeps what was typed while the pane is open", async () => {
    const { pane } = await open();
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("1234");
    await pane.getByText("All functions").click();
    await openFunction(pane, "PACKS");
    await pane.locator("#tab-bid").click();
    await openFunctionAgain(pane, "SEED_WEIGHT");
    expect(await field(pane, "area").inputValue()).toBe("1234");
  });

  inOne("shows the caution with every line in the page's text, folded or not", async () => {
    const { pane } = await open();
    await openFunction(pane, "LABEL_DOSE");
    const caution = pane.getByRole("complementary", { name: "Caution" });
    const first = caution.getByRole("listitem").first();
    expect(await text(first)).toContain("label you hold is the law");
    expect((await first.boundingBox())?.height).toBeGreaterThan(10);
    expect(await caution.getByRole("listitem").count()).toBe(6);
    const last = caution.getByRole("listitem").last();
    expect((await last.boundingBox())?.height).toBeLessThan(2);
    await caution.getByRole("button").click();
    expect((await last.boundingBox())?.height).toBeGreaterThan(10);
    // The form goes on working, and the caution stays as it was left.
    await field(pane, "area").fill("43560");
    await field(pane, "label_rate").fill("8");
    await has(pane.locator(".result"), "8 fl oz");
    expect((await last.boundingBox())?.height).toBeGreaterThan(10);
  });

  async function openFunctionAgain(pane: Frame, id: string): Promise<void> {
    await pane.locator("#tab-functions").click();
    await pane.getByText("All functions").click();
    await pane.locator(`#open-${id}`).click();
  }
});

describe("by keyboard alone", () => {
  inOne("finds a function, fills its form, puts it and comes back to the list", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    await workbench.select("C3");
    const tabUntil = async (selector: string) => {
      for (let i = 0; i < 40; i++) {
        await page.keyboard.press("Tab");
        if (await pane.locator(`${selector}:focus-within, ${selector}:focus`).count()) return;
      }
      throw new Error(`The keyboard does not reach ${selector}.`);
    };
    // The host hands the keyboard to the pane at its first control.
    await pane.locator("#tab-functions").focus();
    await page.keyboard.press("ArrowRight");
    await pane.locator("#room-this-cell").waitFor();
    await page.keyboard.press("ArrowLeft");
    await tabUntil("#search");
    await page.keyboard.type("topdress bags");
    await tabUntil("#open-TOPDRESS_BAGS");
    await page.keyboard.press("Enter");
    expect(await pane.locator("h3:focus").innerText()).toBe("SWARD.TOPDRESS_BAGS");
    await tabUntil("#field-area");
    await page.keyboard.type("2000");
    await tabUntil("#field-depth");
    await page.keyboard.type("1/4");
    await tabUntil("#field-bag_volume");
    await page.keyboard.type("1.5");
    await tabUntil("#put");
    await page.keyboard.press("Enter");
    await has(pane.locator(".message"), "Sheet1!C3 holds");
    expect(await workbench.value("C3")).toBe(Math.ceil((2000 * 0.25) / 12 / 1.5));

    await page.keyboard.press("Escape");
    expect(await pane.locator(".row:focus").getAttribute("id")).toBe("open-TOPDRESS_BAGS");
  });

  inOne("answers the question about an occupied cell, with Escape meaning keep", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    await workbench.set({ A1: "kept" });
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("1000");
    await field(pane, "rate").fill("5");
    await pane.locator("#put").focus();
    await page.keyboard.press("Enter");
    await pane.locator("#keep:focus").waitFor();
    await page.keyboard.press("Escape");
    await pane.locator("#put:focus").waitFor();
    expect(await workbench.value("A1")).toBe("kept");
  });
});

describe("the room of the selected cell", () => {
  it("shows every function in the formula with its working, its figures and the native formula", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ B2: "4000", B3: "7", C1: "=SWARD.PACKS(SWARD.SEED_WEIGHT(B2,B3,0.85),25)+1" });
    await pane.locator("#tab-this-cell").click();
    await workbench.select("C1");
    await has(pane.locator(".place"), "Sheet1!C1 shows 3");
    expect(await pane.locator(".call h3").allInnerTexts()).toEqual(["SWARD.PACKS", "SWARD.SEED_WEIGHT"]);
    expect(await pane.locator(".call .result").allInnerTexts()).toEqual([
      `${Math.ceil(seedToBuy / 25)} packs`,
      "32.94 lb",
    ]);
    const seed = pane.locator(".call").nth(1);
    expect(await text(seed.locator(".working"))).toContain("28 lb ÷ 85 %");
    expect(await text(seed.locator("tr", { hasText: "Area" }))).toMatch(/Area\s+B2\s+4,000 ft²/);

    // The native formula is right when the spreadsheet itself gets the same from it.
    const native = await text(pane.locator(".copy code"));
    expect(native).not.toContain("SWARD");
    await workbench.set({ D1: native });
    expect(await workbench.value("D1")).toBe(Math.ceil(seedToBuy / 25) + 1);
  });

  inOne("names the figure that a refusal is about", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ B2: "4000", C1: "=SWARD.LABEL_DOSE(B2,B9)" });
    await pane.locator("#tab-this-cell").click();
    await workbench.select("C1");
    await has(pane.locator(".call .message"), "Label rate is blank");
    await has(pane.locator(".call .message"), "Label rate (B9)");
    await has(pane.locator("tr.wrong"), "Label rate");
    await has(pane.getByRole("complementary", { name: "Caution" }), "No herbicide rate is supplied");
  });

  inOne("says what to select when the cell has none of the functions", async () => {
    const workbench = await open();
    await workbench.pane.locator("#tab-this-cell").click();
    await workbench.select("F9");
    await has(workbench.pane.locator("#room-this-cell"), "Sheet1!F9 holds none of the functions");
  });
});

describe("the bid and the hand-over", () => {
  it("writes the sheets, hands them over as native formulas with the same values, and brings them back", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await pane.locator("#tab-bid").click();
    await pane.locator("#property input").fill("12 Long Meadow Lane");
    await pane.locator("#write-bid").click();
    await has(pane.locator("#room-bid .message"), "Written, in this order");
    const told = await pane.locator("#room-bid .message li").allInnerTexts();
    const names = await workbench.sheetNames();
    expect(names).toEqual(["Sheet1", ...told]);

    const bidSheet = told[told.length - 1] ?? "";
    const formulas = await formulasOf(workbench, bidSheet);
    expect(Object.values(formulas).some((formula) => formula.includes("SWARD."))).toBe(true);
    const values = await valuesOf(workbench, bidSheet, Object.keys(formulas));

    await pane.locator("#tab-hand-over").click();
    await has(pane.locator(".sheet"), "with our functions");
    await workbench.handOverInPlace();
    await pane.locator("#hand-over").click();
    await has(pane.locator("#room-hand-over .message"), "converted");
    const native = await formulasOf(workbench, bidSheet);
    expect(Object.values(native).filter((formula) => mayHoldCalls(formula))).toEqual([]);
    const after = await valuesOf(workbench, bidSheet, Object.keys(formulas));
    Object.entries(values).forEach(([address, value]) => {
      if (typeof value === "number") expect(after[address], address).toBeCloseTo(value, 9);
    });

    await pane.locator("#bring-back").click();
    await has(pane.locator("#room-hand-over .message"), "function back");
    expect(await formulasOf(workbench, bidSheet)).toEqual(formulas);
  });

  it("hands over in the workbook, and lists what others changed since", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ A1: "4000", A2: "7", B1: "=SWARD.SEED_WEIGHT(A1,A2)" });
    await pane.locator("#tab-hand-over").click();
    await has(pane.locator(".sheet"), "1 formula with our functions");
    await workbench.handOverInPlace();
    await pane.locator("#hand-over").click();
    await has(pane.locator("#room-hand-over .message"), "What was typed is listed on the sheet");
    expect(mayHoldCalls(await workbench.formula("B1"))).toBe(false);
    expect(await workbench.value("B1")).toBeCloseTo((4000 * 7) / 1000, 9);
    const list = await text(pane.locator("#room-hand-over .message b"));
    expect(await workbench.sheetNames()).toContain(list);

    await workbench.set({ A1: "5000" });
    await pane.locator("#see-edits").click();
    await has(pane.locator(".notes"), "A1: 4000 → 5000");
    await pane.locator("#bring-back").click();
    await has(pane.locator("#room-hand-over .message"), "1 cell has its function back");
    expect(await workbench.value("B1")).toBeCloseTo((5000 * 7) / 1000, 9);
    expect(await workbench.sheetNames()).not.toContain(list);
  });

  it("adds values on a sheet beside, with the working, by keyboard alone, and leaves the sheet as it was", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    await workbench.set({ A1: "4000", A2: "7", B1: "=SWARD.SEED_WEIGHT(A1,A2)" });
    await pane.locator("#tab-hand-over").click();
    await has(pane.locator(".sheet"), "1 formula with our functions");
    await pane.locator("#for-native-formulas").focus();
    await page.keyboard.press("ArrowUp");
    await has(pane.locator("#hand-over"), "Add the sheets");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Space");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Space");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await has(pane.locator("#room-hand-over .message"), "Sheet1 as values");
    expect(await workbench.formula("B1")).toBe("=SWARD.SEED_WEIGHT(A1,A2)");
    const [, copy = "", working = ""] = await workbench.sheetNames();
    expect([copy, working]).toEqual(["Sheet1 as values", "Working"]);
    expect(await workbench.formula("B1", copy)).toBeNull();
    expect(await workbench.value("B1", copy)).toBeCloseTo((4000 * 7) / 1000, 9);
  });

  it("takes all sheets away again when the bid is stopped", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await pane.locator("#tab-bid").click();
    await pane.locator("#property input").fill("12 Long Meadow Lane");
    await pane.evaluate(() => {
      document.querySelector<HTMLElement>("#write-bid")?.click();
      document.querySelector<HTMLElement>(".progress fluent-button")?.click();
    });
    await has(pane.locator("#room-bid .message"), "Stopped");
    expect(await workbench.sheetNames()).toEqual(["Sheet1"]);
    expect(await pane.locator("#property input").inputValue()).toBe("12 Long Meadow Lane");
  });

  it("says in a sentence what the workbook refused, and keeps what was typed", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("1000");
    await field(pane, "rate").fill("5");
    await workbench.quiet();
    await page.evaluate(() => window.workbench?.failAt(1));
    await pane.locator("#put").click();
    const told = pane.locator('#room-functions .message[intent="error"]');
    await told.waitFor();
    expect((await text(told)).trim()).toMatch(/^[A-Z].*[.]$/s);
    expect(await field(pane, "area").inputValue()).toBe("1000");
    await pane.locator("#put").click();
    await has(pane.locator(".message"), "Sheet1!A1 holds");
    expect(await workbench.value("A1")).toBeCloseTo(5, 9);
  });

  it("offers to take back or to finish what the workbook broke off, by keyboard too", async () => {
    const workbench = await open(320);
    const { pane, page } = workbench;
    await openFunction(pane, "SEED_WEIGHT");
    await field(pane, "area").fill("1000");
    await field(pane, "rate").fill("5");
    for (const [choice, told, value] of [
      ["Take it back", "is taken back.", ""],
      ["Finish it", "is finished.", 5],
    ] as const) {
      await workbench.quiet();
      // From the moment that the formula stands in its cell, the workbook answers no more.
      await page.evaluate(() =>
        window.workbench?.disturb({
          failsAt: () => (window.workbench?.formula("Sheet1", "A1") ?? null) !== null,
        }),
      );
      await pane.locator("#put").click();
      await has(pane.locator("#room-functions .message"), "Excel stopped answering part of the way");
      await page.evaluate(() => window.workbench?.disturb());
      const offer = pane.locator("#unfinished .message");
      await has(offer, "stopped part of the way: some of it is in this workbook and some is not.");
      expect(await violations(pane)).toEqual([]);
      expect(await pane.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
      await pane.locator("#unfinished fluent-button", { hasText: choice }).focus();
      await page.keyboard.press("Enter");
      await has(offer, told);
      expect(await pane.locator("#unfinished fluent-button").count()).toBe(0);
      expect(await pane.evaluate(() => document.activeElement?.id)).toBe("settled");
      expect(await workbench.value("A1")).toBe(value);
    }
  });

  it("leaves a sheet alone that is not ticked, and says so when none is", async () => {
    const workbench = await open();
    const { pane } = workbench;
    await workbench.set({ A1: "=SWARD.PACKS(90,25)" });
    await pane.locator("#tab-hand-over").click();
    await has(pane.locator(".sheet"), "1 formula with our functions");
    await pane.locator("#sheet-0").click();
    await pane.locator("#hand-over").click();
    await has(pane.locator("#room-hand-over .message"), "None of the sheets that are ticked");
    expect(await workbench.formula("A1")).toBe("=SWARD.PACKS(90,25)");
  });

  /** The formulas of the first rows and columns: enough to hold a bid. */
  async function formulasOf(workbench: OpenWorkbench, sheet: string): Promise<Record<string, string>> {
    return workbench.page.evaluate((name) => {
      const found: Record<string, string> = {};
      for (let row = 1; row <= 80; row++) {
        for (const column of "ABCDEFGH") {
          const formula = window.workbench?.formula(name, `${column}${row}`);
          if (typeof formula === "string") found[`${column}${row}`] = formula;
        }
      }
      return found;
    }, sheet);
  }

  async function valuesOf(
    workbench: OpenWorkbench,
    sheet: string,
    addresses: readonly string[],
  ): Promise<Record<string, unknown>> {
    return workbench.page.evaluate(
      ([name, all]) =>
        Object.fromEntries(all.map((address) => [address, window.workbench?.value(name, address)])),
      [sheet, addresses] as const,
    );
  }
});

// What the pane looks like is the same in front of every host.
describe.skipIf(isHarsh)("for everyone", () => {
  const rooms = ["functions", "this-cell", "bid", "your-sheets", "checks", "drawings", "hand-over"] as const;

  async function filled(workbench: OpenWorkbench): Promise<void> {
    const { pane } = workbench;
    await workbench.set({ B2: "4000", C1: "=SWARD.LABEL_DOSE(B2,8)", C2: "=SWARD.LABEL_DOSE(B2,B9)" });
    await openFunction(pane, "GRADE");
    await field(pane, "grade").fill("60-60-60");
    await has(pane.locator(".field"), "Use selection");
    await workbench.select("C2");
  }

  it("has no fault that axe finds in any room, in light and dark", async () => {
    const workbench = await open();
    const { pane, page } = workbench;
    expect(await violations(pane)).toEqual([]);
    await filled(workbench);
    for (const room of rooms) {
      await pane.locator(`#tab-${room}`).click();
      await pane.locator(`#room-${room}`).waitFor();
      for (const colorScheme of ["light", "dark"] as const) {
        await page.emulateMedia({ colorScheme });
        await page.waitForTimeout(400);
        expect(await violations(pane), `${room} in ${colorScheme}`).toEqual([]);
      }
    }
  });

  it.each([
    [240, 1],
    [320, 1],
    [350, 1],
    [320, 2],
  ])("fits a pane of %i pixels, zoomed %i times, without scrolling sideways", async (width, zoom) => {
    const workbench = await open(width);
    const { pane } = workbench;
    await pane.evaluate((times) => document.documentElement.style.setProperty("zoom", String(times)), zoom);
    const overflow = () =>
      pane.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(await overflow()).toBe(0);
    await filled(workbench);
    await workbench.set({
      C3: `=SWARD.TOPDRESS_BAGS(${"B2+".repeat(30)}0,0.25,1.5,0.1)`,
    });
    await workbench.select("C3");
    for (const room of rooms) {
      await pane.locator(`#tab-${room}`).click();
      await workbench.page.waitForTimeout(300);
      expect(await overflow(), room).toBeLessThanOrEqual(0);
    }
  });

  it("keeps every tab in reach at 320 pixels", async () => {
    const { pane } = await open(320);
    for (const room of rooms) {
      const box = await pane
        .locator(`#tab-${room}`)
        .evaluate((tab) => tab.getBoundingClientRect().toJSON() as DOMRect);
      expect(box.right, room).toBeLessThanOrEqual(320);
    }
  });
});
