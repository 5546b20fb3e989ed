import { strFromU8, unzipSync } from "fflate";
import { beforeAll, beforeEach, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

/** One transparent pixel as PNG: the smallest file of the format, from its specification. */
const pixel =
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";

const addPicture = () =>
  Excel.run(async (context) => {
    const { shapes } = context.workbook.worksheets.getItem("Sheet1");
    const shape = shapes.addImage(pixel);
    shape.name = "Plan <1>";
    shape.lockAspectRatio = false;
    shape.set({ left: 90, top: 60, width: 300, height: 120 });
    shape.altTextTitle = "Plan";
    shape.altTextDescription = 'A lawn & a "verge"';
    await context.sync();
  });

const pictures = () =>
  Excel.run(async (context) => {
    const { shapes } = context.workbook.worksheets.getItem("Sheet1");
    shapes.load(
      "items/name,items/left,items/top,items/width,items/height,items/altTextTitle,items/altTextDescription,items/type",
    );
    await context.sync();
    return shapes.items.map(({ name, left, top, width, height, altTextTitle, altTextDescription, type }) => ({
      name,
      at: [left, top, width, height].map(Math.round),
      told: [altTextTitle, altTextDescription],
      type,
    }));
  });

const picture = {
  name: "Plan <1>",
  at: [90, 60, 300, 120],
  told: ["Plan", 'A lawn & a "verge"'],
  type: "Image",
};

it("keeps a picture where it was put, with its name and what it shows", async () => {
  await addPicture();
  expect(await pictures()).toEqual([picture]);
});

it("refuses what is no picture", async () => {
  const adding = Excel.run(async (context) => {
    context.workbook.worksheets.getItem("Sheet1").shapes.addImage("PHN2Zy8+");
    await context.sync();
  });
  await expect(adding).rejects.toMatchObject({ code: "InvalidArgument" });
});

it("finds a picture by its name, deletes it, and takes both steps back", async () => {
  await addPicture();
  await Excel.run(async (context) => {
    const { shapes } = context.workbook.worksheets.getItem("Sheet1");
    shapes.getItemOrNullObject("Plan <1>").delete();
    await context.sync();
  });
  expect(await pictures()).toEqual([]);
  bench.undo();
  expect(await pictures()).toEqual([picture]);
  bench.undo();
  expect(await pictures()).toEqual([]);
});

it("keeps its sides in proportion when that is asked for", async () => {
  await addPicture();
  await Excel.run(async (context) => {
    const shape = context.workbook.worksheets.getItem("Sheet1").shapes.getItem("Plan <1>");
    shape.lockAspectRatio = true;
    shape.width = 150;
    await context.sync();
  });
  expect((await pictures())[0]?.at).toEqual([90, 60, 150, 60]);
});

it("carries pictures in a file and back, bytes, name and texts", async () => {
  await addPicture();
  const bytes = await bench.exportXlsx();
  const files = unzipSync(bytes);
  const media = Object.keys(files).filter((path) => path.startsWith("xl/media/"));
  expect(media).toHaveLength(1);
  expect(Buffer.from(files[media[0] ?? ""] ?? []).toString("base64")).toBe(pixel);
  expect(strFromU8(files["[Content_Types].xml"] ?? new Uint8Array())).toContain('Extension="png"');
  await bench.importXlsx(bytes);
  expect(await pictures()).toEqual([picture]);
});

it("tells where a range stands: its rows and columns added up", async () => {
  const places = await Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem("Sheet1");
    sheet.getRange("A1:C1").format.columnWidth = 60;
    sheet.getRange("A1:A3").format.rowHeight = 30;
    await context.sync();
    const range = sheet.getRange("C3:D4");
    range.load("left,top,width,height");
    const rest = sheet.getRange("D4");
    rest.load("width,height");
    await context.sync();
    return { range, rest };
  });
  expect([places.range.left, places.range.top]).toEqual([120, 60]);
  expect(places.range.width).toBeCloseTo(60 + places.rest.width, 6);
  expect(places.range.height).toBeCloseTo(30 + places.rest.height, 6);
});
