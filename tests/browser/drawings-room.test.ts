/** The room of drawings in the workbench: it follows the sheets, and puts its pictures on them. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { violations } from "./accessibility";
import type { Machine } from "./open-workbench";
import { startMachine } from "./open-workbench";

let machine: Machine;
beforeAll(async () => {
  machine = await startMachine();
});
afterAll(() => machine.close());

test("the drawings follow the sheets, are put on them, and hold for every reader", async () => {
  const bench = await machine.open(320);
  const { pane } = bench;
  await pane.locator("#tab-drawings").click();
  await pane.getByText("There is no bid to draw yet").waitFor();
  await pane.locator("#tab-bid").click();
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();
  await pane.locator("#tab-drawings").click();
  const plan = pane.locator("#drawing-plan-head ~ svg");
  await plan.getByText("3,160 ft²", { exact: true }).waitFor();

  // The back lawn is typed: twice the ground is drawn once the person has typed it.
  await bench.set({ I10: "8400" }, "Site");
  await plan.getByText("8,400 ft²", { exact: true }).waitFor();

  await pane.locator("#bags-per-load input").fill("40");
  await pane.locator("svg text", { hasText: "At 40 bags a load" }).waitFor();
  await pane.locator("#bags-per-load input").fill("few");
  await pane.getByText("Enter a whole number of bags, such as 40, or leave it blank.").waitFor();

  for (const [id, sheet] of [
    ["plan", "Crew"],
    ["timeline", "Crew"],
    ["money", "Order"],
    ["bags", "Quantities"],
  ] as const) {
    const button = pane.locator(`#put-${id}-${sheet.toLowerCase()}`);
    await button.focus();
    await bench.page.keyboard.press("Enter");
    await pane
      .locator(`section[aria-labelledby="drawing-${id}-head"]`)
      .getByText(`It is on ${sheet}`)
      .waitFor();
    expect(await pane.evaluate(() => document.activeElement?.id)).toBe(`put-${id}-${sheet.toLowerCase()}`);
  }
  const onCrew = await pane.evaluate(() =>
    Excel.run(async (context) => {
      const { shapes } = context.workbook.worksheets.getItem("Crew");
      shapes.load("items/name,items/altTextDescription");
      await context.sync();
      return shapes.items.map(({ name, altTextDescription }) => [name, altTextDescription] as const);
    }),
  );
  expect(onCrew.map(([name]) => name)).toEqual(["Swardsheet plan", "Swardsheet timeline"]);
  expect(onCrew[0]?.[1]).toContain("Back lawn, 8,400 ft²");

  // No text of a drawing is cut off, nor smaller than 11 pixels on the screen.
  const texts = await pane.locator("section.drawing svg[role=img] text").evaluateAll((all) =>
    all.map((text) => {
      const box = text.getBoundingClientRect();
      const svg = text.closest("svg");
      const frame = svg?.getBoundingClientRect();
      const scale = (frame?.width ?? 0) / Number(svg?.getAttribute("width"));
      return {
        text: text.textContent,
        size: Number(text.getAttribute("font-size")) * scale,
        within: frame !== undefined && box.left >= frame.left - 0.5 && box.right <= frame.right + 0.5,
      };
    }),
  );
  expect(texts.length).toBeGreaterThan(60);
  expect(texts.filter(({ size, within }) => size < 10.99 || !within)).toEqual([]);

  expect(await violations(pane)).toEqual([]);
  expect(bench.faults).toEqual([]);
  expect(bench.outside).toEqual([]);
}, 180_000);
