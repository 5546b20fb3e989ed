/** What a person does beside the pane: a picture is selected, a cell is edited, calculation is manual, sheets protected. */
import { expect, test } from "vitest";
import type { Situation } from "../../src/workbench/host/harshness";
import type { OpenWorkbench } from "./open-workbench";
import { workbenches } from "./workbenches";

const open = workbenches();

const situation = (bench: OpenWorkbench, change: Partial<Situation>): Promise<void> =>
  bench.page.evaluate((given) => {
    if (window.workbench) Object.assign(window.workbench.situation, given);
  }, change);

const aPicture = "A picture or another object is selected: select a cell, then try again.";
const anEditedCell = "A cell is being edited: finish with Enter or Escape, then try again.";

test("a picture that is selected is told, and the pane goes on when a cell is selected", async () => {
  const bench = await open();
  const { pane } = bench;
  await bench.set({ B2: "=SWARD.PACKS(100,25)" });
  await situation(bench, { pictureSelected: true });
  await pane.locator("#tab-this-cell").click();
  await bench.select("B2");
  await pane.locator("#room-this-cell").getByText(aPicture).waitFor();

  await pane.locator("#tab-functions").click();
  await pane.locator("#open-PACKS").click();
  await pane.locator("#field-need input").fill("90");
  await pane.locator("#field-pack input").fill("25");
  await pane.locator("#put").click();
  await pane.locator("#room-functions").getByText(aPicture).waitFor();
  expect(await bench.formula("B2")).toBe("=SWARD.PACKS(100,25)");

  await situation(bench, { pictureSelected: false });
  await bench.select("C3");
  await pane.locator("#put").click();
  await pane.getByText("Sheet1!C3 holds").waitFor();
  expect(await bench.value("C3")).toBe(Math.ceil(90 / 25));
});

test("opened while a cell is edited, the pane says so and follows the selection once it is left", async () => {
  const bench = await open();
  await bench.set({ B2: "=SWARD.PACKS(100,25)" });
  await situation(bench, { cellEditing: true });
  await bench.page.evaluate(() => {
    const frame = document.querySelector<HTMLIFrameElement>("#pane");
    frame?.contentWindow?.location.reload();
  });
  const pane = bench.page.frameLocator("#pane");
  await pane.locator("#tab-this-cell").click();
  await pane.locator("#room-this-cell").getByText(anEditedCell).waitFor();
  await situation(bench, { cellEditing: false });
  // The library itself asks for something as it starts, and leaves the refusal to nobody.
  bench.faults.length = 0;
  const room = pane.locator("#room-this-cell");
  await expect
    .poll(async () => {
      // Somebody moves about until the pane follows.
      await bench.select("A1");
      return room.innerText();
    })
    .toContain("A1");
  await bench.select("B2");
  await room.getByText("SWARD.PACKS").first().waitFor();
});

test("a protected workbook refuses the bid with a sentence, and takes it once it is unprotected", async () => {
  const bench = await open();
  const { pane } = bench;
  const protect = (on: boolean) =>
    pane.evaluate(
      (isOn) =>
        Excel.run(async (context) => {
          if (isOn) context.workbook.protection.protect();
          else context.workbook.protection.unprotect();
          await context.sync();
        }),
      on,
    );
  await protect(true);
  await pane.locator("#tab-bid").click();
  await pane.locator("#write-bid").click();
  await pane.getByText("The workbook's structure is protected").waitFor();
  expect(await bench.sheetNames()).toEqual(["Sheet1"]);
  await protect(false);
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();
});
