import { beforeAll, describe, expect, test } from "vitest";
import type { UnitSystem } from "../../../src/engine/units";
import type { Workbench } from "../../../src/workbench/node";
import { chosen } from "../../../src/workbook/bid/sheets/chosen";
import { prices } from "../../../src/workbook/bid/sheets/client-page";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { calendar } from "../../../src/workbook/bid/sheets/water-plan";
import { shift } from "../../../src/workbook/bid/sheets/work-day";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import type { DrawingId } from "../../../src/workbook/drawings/all-drawings";
import { drawingIds, drawingKinds, drawnFrom } from "../../../src/workbook/drawings/all-drawings";
import { bagModel } from "../../../src/workbook/drawings/bag-model";
import { isDrawing } from "../../../src/workbook/drawings/drawing";
import { moneyParts } from "../../../src/workbook/drawings/money";
import { layOutPlan } from "../../../src/workbook/drawings/plan-layout";
import { atOnce, slices } from "../../../src/workbook/host/progress";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { paperInk, smallText, themeInk } from "../../../src/workbook/drawings/svg";
import { timeModel } from "../../../src/workbook/drawings/time-model";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { held } from "./figures";
import { readSvg, shoelace, textsOf } from "./reading-svg";

const pause = slices(unwatched, "Drawing");
let bench: Workbench;
let cells: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  cells = new BidCells(bench);
});
const write = (system: UnitSystem, sample = true) =>
  writeBid({ system, currency: system === "us" ? "$" : "€", property: "", sample }, unwatched);

describe.each(["us", "metric"] as const)("the sample bid, %s", (system) => {
  beforeAll(async () => {
    bench.reset();
    await write(system);
  });

  test("the plan holds every zone of Site once, at the area that Site gives", async () => {
    const { bid } = await readBid(undefined);
    const layout = atOnce(layOutPlan(held(bid.site), bid.system, 720, 400));
    const names = [0, 1, 2].map((zone) => cells.value(zones, "name", zone));
    expect(layout?.zones.map(({ zone }) => zone.name)).toEqual(names);
    layout?.zones.forEach(({ outer, holes }, i) => {
      const sum = (rings: typeof outer) => rings.reduce((area, ring) => area + shoelace(ring), 0);
      const drawn = (sum(outer) - sum(holes)) / layout.scale ** 2;
      expect(drawn / cells.number(zones, "area", i)).toBeCloseTo(1, 3);
    });
  });

  test("the money adds up to the price with tax, in the bid's currency", async () => {
    const { bid } = await readBid(undefined);
    const price = cells.number(prices, "price", "withTax");
    const sum = moneyParts(held(bid.money)).reduce((total, { amount }) => total + amount, 0);
    expect(sum).toBeCloseTo(price, 2);
    const drawing = drawingKinds.money.draw(bid, { width: 700, ink: paperInk, id: "m" });
    expect(isDrawing(drawing) && drawing.description).toContain(system === "us" ? "$" : "€");
  });

  test("the bag count is the order's, and stays so when screen loss and depth are changed on the sheets", async () => {
    const ordered = () => cells.number(purchases, "packs1", "topdress");
    const counted = async () => {
      const { bid } = await readBid(undefined);
      return bagModel(held(bid.bags), bid.system, undefined);
    };
    const first = await counted();
    expect(first?.bags).toBe(ordered());
    // A little more depth than the next step needs makes the sheet itself order one bag more.
    cells.set(chosen, "depth", String((first?.depth.nextBag ?? 0) * 1.0001));
    expect(ordered()).toBe((first?.bags ?? 0) + 1);
    expect((await counted())?.bags).toBe(ordered());
    bench.undo();
  });

  test("the day takes the crew hours of the order, and later days are those of Watering", async () => {
    const { day, later } = timeModel(held((await readBid(undefined)).bid.time));
    expect(day[day.length - 1]?.end).toBeCloseTo(cells.number(shift, "hours"), 6);
    const seeding = cells.number(calendar, "date", "seeding");
    for (const [row, name] of [
      ["firstMowing", "First mowing"],
      ["feeding", "Next feeding"],
    ] as const) {
      expect(cells.value(calendar, "what", row)).toBe(name);
      const date = cells.number(calendar, "date", row);
      expect(later.find((entry) => entry.name === name)?.start).toBe(date - seeding);
    }
    // Label interval of the sample's spray.
    expect(later.find(({ name }) => name.startsWith("Spray again"))?.start).toBe(28);
  });

  test("every drawing is well-formed, told to a screen reader, within its page and readable at 320 px", async () => {
    const { bid } = await readBid(undefined);
    for (const id of drawingIds) {
      for (const [width, ink] of [
        [288, themeInk],
        [700, paperInk],
      ] as const) {
        const drawing = await drawnFrom(id, bid, { width, ink, id }, { perLoad: 40 }, pause);
        if (!isDrawing(drawing)) throw new Error(drawing.missing);
        const svg = readSvg(drawing.svg);
        const [root] = svg;
        expect(root?.attributes.role).toBe("img");
        const named = (root?.attributes["aria-labelledby"] ?? "").split(" ");
        expect(named.map((one) => svg.find(({ attributes }) => attributes.id === one)?.name)).toEqual([
          "title",
          "desc",
        ]);
        for (const { name, attributes } of svg) {
          if (name !== "text") continue;
          expect(Number(attributes["font-size"])).toBeGreaterThanOrEqual(smallText);
          expect(Number(attributes.x)).toBeGreaterThanOrEqual(0);
          expect(Number(attributes.x)).toBeLessThanOrEqual(width);
          expect(Number(attributes.y)).toBeLessThanOrEqual(drawing.height);
        }
        expect(textsOf(svg).some((text) => /NaN|undefined|Infinity/.test(text))).toBe(false);
        expect(drawing.svg).not.toMatch(/NaN|Infinity/);
        if (ink === paperInk) expect(drawing.svg).not.toMatch(/currentColor|var\(/);
      }
    }
  });
});

test("an empty bid is a sentence for each drawing", async () => {
  bench.reset();
  await write("us", false);
  const { bid } = await readBid(undefined);
  for (const id of drawingIds) {
    const canvas = { width: 288, ink: themeInk, id };
    const drawing = await drawnFrom(id, bid, canvas, { perLoad: undefined }, pause);
    expect(drawing).toEqual({ missing: expect.stringMatching(/\.$/) as string });
  }
});

test("no bid, a bid of several, and one whose sheets were deleted in part", async () => {
  bench.reset();
  await expect(readBid(undefined)).rejects.toThrow(/There is no bid to draw yet: write the bid sheets/);
  await write("us");
  await write("metric");
  const both = await readBid(undefined);
  // Writing a bid opens its Site.
  expect([both.names, both.bid.name, both.bid.system]).toEqual([["Site", "Site 2"], "Site 2", "metric"]);
  expect((await readBid("Site")).bid.system).toBe("us");
  await Excel.run(async (context) => {
    context.workbook.worksheets.getItem("Order").delete();
    await context.sync();
  });
  const { bid } = await readBid("Site");
  const missing: DrawingId[] = [];
  for (const id of drawingIds) {
    const canvas = { width: 288, ink: themeInk, id };
    if (!isDrawing(await drawnFrom(id, bid, canvas, { perLoad: undefined }, pause))) missing.push(id);
  }
  expect(missing).toContain("money");
  expect(missing).not.toContain("plan");
});
