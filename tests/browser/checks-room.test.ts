/** The room of the checks beside the sample bid: a fault is pointed out, jumped to, set aside, taken up and put right. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { violations } from "./accessibility";
import type { Machine } from "./open-workbench";
import { startMachine } from "./open-workbench";
import { isHarsh } from "../support/built-workbench";

let machine: Machine;
beforeAll(async () => {
  machine = await startMachine();
});
afterAll(() => machine.close());

test("a fault is pointed out, set aside with a reason, taken up again and put right", async () => {
  const bench = await machine.open(320);
  const { pane } = bench;
  /** Where calculation is manual, the list waits for it. */
  const lookAgain = async () => {
    if (!isHarsh) return;
    await pane.getByText("Calculation is manual in this workbook: this list is as of the last one").waitFor();
    await pane.locator("#calculate").click();
  };
  await pane.locator("#tab-bid").click();
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();

  await pane.locator("#tab-checks").click();
  await pane.getByText("Nothing to point out").waitFor();

  await bench.set({ C16: "30", C24: "0.5" }, "Quantities");
  await lookAgain();
  await pane.getByText("2 things to look at").waitFor();
  // Worst first: the label before what is only worth a second look.
  expect(await pane.locator(".findings h4").allInnerTexts()).toEqual([
    "The spray volume is under the label's least",
    "The topdressing is deeper than seed should be covered",
  ]);

  await pane.locator("fluent-button").filter({ hasText: "Go to Quantities!C24" }).click();
  await bench.quiet();
  await pane.locator("#tab-this-cell").click();
  await pane.getByText("Quantities!C24").first().waitFor();
  await pane.locator("#tab-checks").click();

  await pane.getByRole("button", { name: /^Set aside: The topdressing/ }).click();
  const reason = pane.locator("#reason input");
  expect(await pane.evaluate(() => document.activeElement?.id)).toBe("reason");
  await pane.locator("form").getByText("Set aside").click();
  await pane.getByText("Say in a few words").waitFor();
  await reason.fill("raked in before it is spread");
  await reason.press("Enter");
  await pane.getByText("Quantities!C24 is set aside").waitFor();
  await pane.getByText("1 thing to look at").waitFor();

  expect(await violations(pane)).toEqual([]);

  await pane.getByText("Set aside", { exact: false }).locator("xpath=self::summary").click();
  await pane.getByText("raked in before it is spread").waitFor();
  await pane.locator("#list-checks").click();
  await pane.getByText("The list is on the new sheet Checks").waitFor();
  expect(await bench.sheetNames()).toContain("Checks");

  await pane.getByRole("button", { name: /^Take up again/ }).click();
  await pane.getByText("2 things to look at").waitFor();
  await bench.set({ C16: "43.56", C24: "0.25" }, "Quantities");
  await lookAgain();
  await pane.getByText("Nothing to point out").waitFor();
  expect(bench.faults).toEqual([]);
  expect(bench.outside).toEqual([]);
}, 120_000);
