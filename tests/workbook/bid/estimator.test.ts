/** An estimator at work, from an empty workbook: every total is done again here, without the engine. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { SiteField } from "../../../src/workbook/bid/sheets/zones";
import { zones as zoneTable } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { columnNumber, columnOf } from "../../support/written-columns";
import { besideLabel, cellOf, numberAt } from "./reading";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
  await writeBid({ system: "us", currency: "$", property: "12 Weir Close", sample: false }, unwatched);
});

interface Zone {
  readonly name: string;
  readonly area: number;
  readonly rate: number;
}

const first = 8;
const packs = [
  { size: 25, price: 70 },
  { size: 50, price: 120 },
] as const;
let bigPrice: number = packs[1].price;

/** The cheapest way to cover a need from two sizes, by trying them all. */
function cheapest(need: number): { readonly small: number; readonly big: number; readonly cost: number } {
  let best = { small: 0, big: 0, cost: Infinity, left: Infinity };
  for (let big = 0; big <= 10; big++) {
    for (let small = 0; small <= 20; small++) {
      const left = small * packs[0].size + big * packs[1].size - need;
      const cost = small * packs[0].price + big * bigPrice;
      if (left < -1e-9) continue;
      if (cost < best.cost || (cost === best.cost && left < best.left)) best = { small, big, cost, left };
    }
  }
  return best;
}

const purity = 0.95 * 0.9;
const starterShare = 0.2;

const sumOf = (zones: readonly Zone[]): number => zones.reduce((sum, zone) => sum + zone.area, 0);

function check(zones: readonly Zone[], measured = sumOf(zones)): void {
  const area = sumOf(zones);
  const seed = zones.reduce((sum, zone) => sum + (zone.area * zone.rate) / 1000 / purity, 0);
  expect(
    bench.value("Site", cellOf(bench, "Site", "All zones", columnNumber(zoneTable, "area"))),
  ).toBeCloseTo(measured, 9);
  expect(besideLabel(bench, "Quantities", "All zones", 3)).toBeCloseTo(area, 9);
  expect(besideLabel(bench, "Order", "Seed lot A", 4)).toBeCloseTo(seed, 9);
  const mix = cheapest(Math.max(0, seed - 10));
  expect(besideLabel(bench, "Order", "Seed lot A", 13)).toBe(mix.small);
  expect(besideLabel(bench, "Order", "Seed lot A", 14)).toBe(mix.big);
  expect(besideLabel(bench, "Order", "Seed lot A", 18)).toBeCloseTo(mix.cost, 9);
  const starter = (area * 1) / 1000 / starterShare;
  const bags = Math.ceil(starter / 40 - 1e-9);
  expect(besideLabel(bench, "Order", "Starter B", 13)).toBe(bags);
  const dose = (area / 43_560) * 5;
  expect(besideLabel(bench, "Order", "Spray C", 4)).toBeCloseTo(dose, 9);
  expect(besideLabel(bench, "Crew", "Tank loads", 3)).toBe(Math.ceil(((area / 43_560) * 40) / 3 - 1e-9));
  const topdressing = Math.ceil((area * 0.25) / 12 / (2 * 1.1 * 0.9) - 1e-9);
  expect(besideLabel(bench, "Order", "Peat D", 13)).toBe(topdressing);
  // The price: materials alone, at a margin of 40 %, each step to the cent, no tax.
  const price = [mix.cost, bags * 50, Math.ceil(dose / 4) * 30, topdressing * 8].reduce(
    (sum, cost) => sum + Math.round((cost / 0.6) * 100) / 100,
    0,
  );
  expect(besideLabel(bench, "Bid", "Price with tax", 3)).toBeCloseTo(price, 2);
  zones.forEach((zone, i) => {
    const row = Number(cellOf(bench, "Quantities", zone.name, 2).slice(1));
    expect(numberAt(bench, "Quantities", `C${row}`), zone.name).toBeCloseTo(zone.area, 9);
    expect(numberAt(bench, "Quantities", `A${row}`), zone.name).toBe(i + 1);
  });
}

const typeZone = (row: number, { name, area, rate }: Zone) =>
  bench.setCells("Site", {
    [`${columnOf(zoneTable, "name")}${row}`]: name,
    [`${columnOf(zoneTable, "purpose")}${row}`]: "new",
    [`${columnOf(zoneTable, "measured")}${row}`]: "typed",
    [`${columnOf(zoneTable, "typedArea")}${row}`]: String(area),
    [`${columnOf(zoneTable, "typedRate")}${row}`]: String(rate),
  });

const columns = Object.keys(zoneTable.columns).map((id) => columnOf(zoneTable, id as SiteField));

/** A row as it is copied onto another: what it holds, with its own row's number changed. */
const copied = (from: number, to: number): Record<string, string> =>
  Object.fromEntries(
    columns.map((column) => {
      const formula = bench.formula("Site", `${column}${from}`);
      const text =
        formula === null
          ? String(bench.value("Site", `${column}${from}`) ?? "")
          : formula.replace(/(?<![$A-Z])([A-Z])(\d+)/g, (whole, letter: string, row: string) =>
              Number(row) === from ? `${letter}${to}` : whole,
            );
      return [`${column}${to}`, text];
    }),
  );

const zones: Zone[] = [
  { name: "South", area: 3000, rate: 6 },
  { name: "East", area: 1250, rate: 6 },
  { name: "North", area: 2400, rate: 4 },
];

const onRow = (row: number, work: (range: Excel.Range) => void): Promise<void> =>
  Excel.run(async (context) => {
    work(context.workbook.worksheets.getItem("Site").getRange(`${row}:${row}`));
    await context.sync();
  });
const insertRow = (row: number) => onRow(row, (range) => void range.insert("Down"));
const deleteRow = (row: number) => onRow(row, (range) => range.delete("Up"));

/** What a sheet shows, cell by cell. */
const snapshot = (sheet: string): readonly string[] =>
  Array.from({ length: 60 }, (_, i) =>
    [..."ABCDEFGHIJKLMNOPQR"].map((column) => bench.text(sheet, `${column}${i + 1}`)).join("|"),
  );

function materialRow(section: string): number {
  return Number(cellOf(bench, "Materials", section, 1).slice(1)) + 2;
}

const choose = (label: string, content: string) =>
  bench.setCell("Quantities", cellOf(bench, "Quantities", label, 3), content);

test("three zones, materials and a label typed in", () => {
  zones.forEach((zone, i) => typeZone(first + i, zone));
  const [seed, starter, spray, peat] = [
    "Seed lots",
    "Starter fertilizers",
    "Pre-emergents",
    "Topdressings",
  ].map(materialRow) as [number, number, number, number];
  bench.setCells("Materials", {
    [`A${seed}`]: "Seed lot A",
    [`E${seed}`]: "0.95",
    [`F${seed}`]: "0.9",
    [`J${seed}`]: "10",
    [`K${seed}`]: "25",
    [`L${seed}`]: "50",
    [`N${seed}`]: "70",
    [`O${seed}`]: "120",
    [`A${starter}`]: "Starter B",
    [`B${starter}`]: "12-20-10",
    [`K${starter}`]: "40",
    [`N${starter}`]: "50",
    [`A${spray}`]: "Spray C",
    [`B${spray}`]: "active C",
    [`C${spray}`]: "4",
    [`D${spray}`]: "8",
    [`E${spray}`]: "4",
    [`F${spray}`]: "0.5",
    [`G${spray}`]: "30",
    [`K${spray}`]: "4",
    [`N${spray}`]: "30",
    [`A${peat}`]: "Peat D",
    [`B${peat}`]: "1.1",
    [`C${peat}`]: "0.1",
    [`K${peat}`]: "2",
    [`N${peat}`]: "8",
  });
  choose("Seed lot", "Seed lot A");
  choose("Starter fertilizer", "Starter B");
  choose("Phosphate rate wanted", "1");
  choose("Pre-emergent", "Spray C");
  choose("Label rate used", "5");
  choose("Spray volume of the sprayer", "40");
  choose("Tank", "3");
  choose("Topdressing", "Peat D");
  choose("Depth", "0.25");
  bench.setCell("Order", cellOf(bench, "Order", "Margin, as a share of the price", 4), "0.4");
  check(zones);
});

test("a zone is added in the middle", async () => {
  await insertRow(first + 1);
  const added: Zone = { name: "Side", area: 700, rate: 5 };
  bench.setCells("Site", copied(first, first + 1));
  typeZone(first + 1, added);
  zones.splice(1, 0, added);
  check(zones);
});

test("zones are added above the first and above the closing line", async () => {
  const top: Zone = { name: "Gate", area: 310, rate: 7 };
  await insertRow(first);
  bench.setCells("Site", copied(first + 1, first));
  typeZone(first, top);
  zones.unshift(top);
  check(zones);
  const closing = Number(cellOf(bench, "Site", "Insert zones above this line", 1).slice(1));
  await insertRow(closing);
  bench.setCells("Site", copied(first, closing));
  typeZone(closing, { name: "Far end", area: 90, rate: 7 });
  // There are free rows between, which cost nothing and shift nothing.
  const row = Number(cellOf(bench, "Site", "Far end", 1).slice(1));
  expect(row).toBe(closing);
  expect(numberAt(bench, "Site", cellOf(bench, "Site", "All zones", columnNumber(zoneTable, "area")))).toBe(
    sumOf(zones) + 90,
  );
  // Beyond the rows that Quantities covers it says so, and is not silently short.
  expect(String(bench.value("Quantities", warningCell()))).toMatch(/^Site holds 6 zones/);
  await deleteRow(closing);
  expect(bench.value("Quantities", warningCell())).toBe("");
  check(zones);
});

test("a zone is deleted", async () => {
  const at = zones.findIndex(({ name }) => name === "East");
  await deleteRow(first + at);
  zones.splice(at, 1);
  check(zones);
});

test("the first zone is deleted", async () => {
  await deleteRow(first);
  zones.shift();
  check(zones);
});

test("zones are sorted by area", () => {
  const sorted = [...zones].sort((a, b) => a.area - b.area);
  expect(sorted.map(({ name }) => name)).not.toEqual(zones.map(({ name }) => name));
  // As a spreadsheet sorts: whole rows change places, and a formula goes on meaning its own row.
  const moved = sorted.map((zone, to) => copied(first + zones.indexOf(zone), first + to));
  for (const row of moved) bench.setCells("Site", row);
  zones.splice(0, zones.length, ...sorted);
  check(zones);
});

test("a pack price changes, and the packs change with it", () => {
  const before = besideLabel(bench, "Order", "Seed lot A", 14);
  bench.setCell("Materials", `O${materialRow("Seed lots")}`, "160");
  bigPrice = 160;
  check(zones);
  expect(besideLabel(bench, "Order", "Seed lot A", 14)).not.toBe(before);
});

test("an area grows by a tenth: bags, order, crew loads and price follow", () => {
  const before = ["Order", "Crew", "Bid"].map((sheet) => snapshot(sheet));
  const at = zones.findIndex(({ name }) => name === "South");
  bench.setCell("Site", `${columnOf(zoneTable, "typedArea")}${first + at}`, "3300");
  zones[at] = { name: "South", area: 3300, rate: 6 };
  check(zones);
  ["Order", "Crew", "Bid"].forEach((sheet, i) => expect(snapshot(sheet), sheet).not.toEqual(before[i]));
});

test("buying for the area at most takes each zone's uncertainty", () => {
  bench.setCell("Site", `${columnOf(zoneTable, "plusMinus")}${first}`, "0.1");
  choose("Reckon and buy for", "area at most");
  const atMost = zones.map((zone, i) => (i === 0 ? { ...zone, area: zone.area * 1.1 } : zone));
  check(atMost, sumOf(zones));
  choose("Reckon and buy for", "area as measured");
  check(zones);
});

const warningCell = (): string => `A${Number(cellOf(bench, "Quantities", "By zone", 1).slice(1)) - 1}`;
