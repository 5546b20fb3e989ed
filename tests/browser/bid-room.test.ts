/** What the bid's room does with files and after the job, in the workbench. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Machine } from "./open-workbench";
import { startMachine } from "./open-workbench";

let machine: Machine;
beforeAll(async () => {
  machine = await startMachine();
});
afterAll(() => machine.close());

const outlineFile = fileURLToPath(new URL("../workbook/outlines/files/larkfield-house.kml", import.meta.url));

test("a map file is brought in, a broken one is refused with a sentence, a review is carried over", async () => {
  const bench = await machine.open(320);
  const { pane } = bench;
  await pane.locator("#tab-bid").click();
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();

  await pane.locator("#outline-file").setInputFiles(outlineFile);
  await pane.getByText("brought into the sheet Outlines").waitFor();
  // The sample's own outline stands in the first block; those of the file follow it.
  expect(await bench.value("D7", "Outlines")).toBe("coordinates");
  expect(Number(await bench.value("D10", "Outlines"))).toBeGreaterThan(1000);

  // Front lawn had an outline of its own, and two areas of one zone are added up: that must be said.
  await pane.getByText("Front lawn had an outline already").waitFor();

  const torn = Buffer.from(readFileSync(outlineFile).subarray(0, 300));
  await pane.locator("#outline-file").setInputFiles({ name: "torn.kml", mimeType: "text/xml", buffer: torn });
  await pane.locator('fluent-message-bar[intent="error"]').waitFor();

  await bench.set({ C16: "200", D16: "50" }, "Review");
  await pane.locator("#carry-review").click();
  await pane.getByText("Carried over").waitFor();
  // The whole site at 1/4 in from 3 ft3 bags of which a quarter stays on the screen.
  const areas = await Promise.all(
    ["P8", "P9", "P10"].map(async (cell) => Number(await bench.value(cell, "Site"))),
  );
  const site = areas.reduce((sum, area) => sum + area, 0);
  expect(await bench.value("M10", "Order")).toBe(Math.ceil((site * 0.25) / 12 / (3 * 0.75)));
  expect(bench.faults).toEqual([]);
  expect(bench.outside).toEqual([]);
}, 120_000);
