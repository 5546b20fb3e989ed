import { readFileSync } from "node:fs";
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { outlines as outlineTable } from "../../../src/workbook/bid/sheets/outlines";
import { zones as zoneTable } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { Stopped } from "../../../src/workbook/host/progress";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { counting, slowClock } from "../../support/slices";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});
beforeEach(() => bench.reset());
afterEach(() => {
  vi.restoreAllMocks();
});

const file = (ending: string): string =>
  readFileSync(new URL(`files/larkfield-house.${ending}`, import.meta.url), "utf8");

const emptyBid = (system: "us" | "metric") =>
  writeBid({ system, currency: "$", property: "Larkfield House, 14 Quarry Lane", sample: false }, unwatched);

describe("outlines brought into the bid", () => {
  test("a lawn of 600 m2 with a bed of 12 m2 and one of 625 m2 reach the zones of Site", async () => {
    await emptyBid("metric");
    const { zones, outlines, sheet } = await bringOutlines("larkfield-house.geojson", file("geojson"));
    expect([outlines, sheet]).toEqual([3, "Outlines"]);
    zones.forEach((zone, i) => bid.fill(zoneTable, i, { name: zone, measured: "outline" }));
    const areas = zones.map((_, i) => bid.number(zoneTable, "area", i));
    // The property was laid out in metres by geographiclib when the files were made.
    expect(areas[0]).toBeCloseTo(588, 0);
    expect(areas[1]).toBeCloseTo(625, 0);
  });

  test("a file that is not sound writes nothing", async () => {
    await emptyBid("us");
    await expect(bringOutlines("broken.geojson", file("geojson").slice(0, 200))).rejects.toThrow(/\S/);
    expect(bid.value(outlineTable, "zone", 0)).toBe("");
  });

  test("more outlines than there is room for are refused, and those that are there stay", async () => {
    await emptyBid("us");
    for (let i = 0; i < 2; i++) await bringOutlines("larkfield-house.kml", file("kml"));
    await expect(bringOutlines("larkfield-house.kml", file("kml"))).rejects.toThrow(/room for 2/);
  });

  test("a long outline makes room for its points", async () => {
    await emptyBid("metric");
    const ring = Array.from({ length: 120 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 120;
      return [
        -71 + (0.0002 * Math.cos(angle)) / Math.cos((42 * Math.PI) / 180),
        42 + 0.0002 * Math.sin(angle),
      ];
    });
    const circle = {
      type: "Feature",
      properties: { name: "Round lawn" },
      geometry: { type: "Polygon", coordinates: [[...ring, ring[0]]] },
    };
    await bringOutlines("round.geojson", JSON.stringify(circle));
    // A circle of 0.0002 degrees: about 22.2 m, so about 1,550 m2.
    const area = bid.number(outlineTable, "area", 0);
    expect(area).toBeGreaterThan(1500);
    expect(area).toBeLessThan(1600);
    const { sheet, address } = offset(bid.point(0, 119), { right: -1 });
    expect(bench.value(sheet, address)).toBe(120);
  });

  test("without the bid sheets it says what to do first", async () => {
    await expect(bringOutlines("larkfield-house.gpx", file("gpx"))).rejects.toThrow(
      /write the bid sheets first/,
    );
  });

  test("a long file tells how far it is, and stopped leaves the sheet as it was", async () => {
    await emptyBid("us");
    const corners = Array.from({ length: 20_000 }, (_, i) => [-93 + i * 1e-6, 42 + (i % 2) * 1e-3]);
    const long = JSON.stringify({ type: "Polygon", coordinates: [corners] });
    slowClock();
    const { outcome, told } = await counting((progress) => bringOutlines("long.geojson", long, progress), 5);
    expect(outcome).toBeInstanceOf(Stopped);
    expect(told).toBe(5);
    expect(bid.value(outlineTable, "zone", 0)).toBe("");
  });
});
