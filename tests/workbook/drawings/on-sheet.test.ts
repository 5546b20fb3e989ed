import fc from "fast-check";
import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { drawingIds, drawingKinds } from "../../../src/workbook/drawings/all-drawings";
import type { SheetPicture, Target } from "../../../src/workbook/drawings/on-sheet";
import { placeFor, putOnSheet } from "../../../src/workbook/drawings/on-sheet";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
  await writeBid({ system: "us", currency: "$", property: "", sample: true }, unwatched);
});
/** Every test begins without pictures. */
beforeEach(() =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    for (const { shapes } of worksheets.items) shapes.load("items/name");
    await context.sync();
    for (const { shapes } of worksheets.items) for (const shape of shapes.items) shape.delete();
    await context.sync();
  }),
);

/** One transparent pixel as PNG: the smallest file of the format, from its specification. */
const pixel =
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";

const picture = (height: number): SheetPicture => ({
  png: pixel,
  width: 525,
  height,
  title: "Plan of Larkfield House",
  description: "Front lawn, 3,160 ft².",
});
const target = (drawing: Target["drawing"], sheet: string): Target => ({ drawing, sheet });

const on = (name: string) =>
  Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem(name);
    const used = sheet.getUsedRange();
    used.load("top,height");
    sheet.shapes.load("items/name,items/top,items/height,items/altTextDescription");
    const printed = sheet.pageLayout.getPrintAreaOrNullObject();
    printed.load("address");
    await context.sync();
    const rows = Number(/(\d+)$/.exec(printed.address)?.[1]);
    const next = sheet.getCell(rows, 0);
    next.load("top");
    await context.sync();
    return { bottom: used.top + used.height, shapes: sheet.shapes.items, printedTo: next.top };
  });

test("a picture stands below the cells in use, with its name and its text, and is printed with the crew's sheet", async () => {
  expect(await putOnSheet(target("plan", "Crew"), picture(300))).toBe("Crew");
  const { bottom, shapes, printedTo } = await on("Crew");
  expect(shapes.map(({ name }) => name)).toEqual(["Swardsheet plan"]);
  expect(shapes[0]?.top).toBeGreaterThanOrEqual(bottom);
  expect(shapes[0]?.height).toBeCloseTo(300, 0);
  expect(shapes[0]?.altTextDescription).toBe("Front lawn, 3,160 ft².");
  expect(printedTo).toBeGreaterThanOrEqual((shapes[0]?.top ?? 0) + 300);
  expect(printedTo).toBeLessThan((shapes[0]?.top ?? 0) + 340);
  // On paper the pictures begin a page, which the file keeps: two areas, the second below the cells.
  const printed = async () =>
    Excel.run(async (context) => {
      const area = context.workbook.worksheets.getItem("Crew").pageLayout.getPrintAreaOrNullObject();
      area.load("address,areaCount");
      await context.sync();
      return [area.areaCount, area.address] as const;
    });
  const before = await printed();
  expect(before[0]).toBe(2);
  await bench.importXlsx(await bench.exportXlsx());
  expect(await printed()).toEqual(before);
});

test("put again it takes its own place, beside another it goes below", async () => {
  await putOnSheet(target("plan", "Crew"), picture(300));
  await putOnSheet(target("timeline", "Crew"), picture(400));
  const before = (await on("Crew")).shapes;
  await putOnSheet(target("plan", "Crew"), picture(280));
  const after = (await on("Crew")).shapes;
  const topOf = (shapes: typeof after, name: string) =>
    shapes.find((shape) => shape.name === name)?.top ?? Number.NaN;
  expect(after).toHaveLength(2);
  expect(topOf(after, "Swardsheet plan")).toBeCloseTo(topOf(before, "Swardsheet plan"), 6);
  expect(topOf(after, "Swardsheet timeline")).toBeGreaterThanOrEqual(topOf(after, "Swardsheet plan") + 280);
  // Taller than its old place: it moves below the other.
  await putOnSheet(target("plan", "Crew"), picture(500));
  const grown = (await on("Crew")).shapes;
  expect(topOf(grown, "Swardsheet plan")).toBeGreaterThanOrEqual(topOf(grown, "Swardsheet timeline") + 400);
});

test("the money is not printed with the order that goes to the supplier, and no drawing goes on the client's Bid", async () => {
  const before = (await on("Order")).printedTo;
  await putOnSheet(target("money", "Order"), picture(300));
  const { shapes, printedTo } = await on("Order");
  expect(printedTo).toBe(before);
  expect(shapes[0]?.top).toBeGreaterThan(printedTo);
  for (const id of drawingIds) expect(drawingKinds[id].sheets).not.toContain("bid");
  for (const name of ["Bid", "Watering"]) expect((await on(name)).shapes).toEqual([]);
});

test("cells stay as they were, and a sheet that is gone is a sentence", async () => {
  const values = () =>
    Excel.run(async (context) => {
      const used = context.workbook.worksheets.getItem("Crew").getUsedRange();
      used.load("formulas,address");
      await context.sync();
      return [used.address, used.formulas];
    });
  const before = await values();
  await putOnSheet(target("timeline", "Crew"), picture(400));
  expect(await values()).toEqual(before);
  await expect(putOnSheet(target("plan", "Crew 7"), picture(300))).rejects.toThrow(
    /There is no sheet Crew 7: it was deleted/,
  );
});

const size = fc.double({ min: 1, max: 900, noNaN: true });
const box = fc.record({ left: size, top: size, width: size, height: size });

test("a picture is never over cells in use nor over another picture", () => {
  fc.assert(
    fc.property(
      box,
      box,
      fc.option(box, { nil: undefined }),
      fc.array(box, { maxLength: 5 }),
      (given, used, before, others) => {
        const at = { ...given, ...placeFor(given, used, before, others) };
        const apart = (one: typeof given, other: typeof given) =>
          one.top + one.height <= other.top ||
          other.top + other.height <= one.top ||
          one.left + one.width <= other.left ||
          other.left + other.width <= one.left;
        expect(at.top).toBeGreaterThanOrEqual(used.top + used.height);
        for (const other of others) expect(apart(at, other)).toBe(true);
      },
    ),
  );
});
