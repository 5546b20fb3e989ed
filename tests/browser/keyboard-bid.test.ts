/** A whole bid made from an empty workbook by keyboard alone: typed, pasted, filled down; and taken through a file. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { OpenWorkbench } from "./open-workbench";
import { job, lots, mapFile, reckoned, seedPacks } from "./ashgrove";
import { Keyboard, nameOf } from "./keyboard";
import { workbenches } from "./workbenches";

const open = workbenches();

type Grid = readonly (readonly unknown[])[];

/** What a sheet's cells hold, read in one go; reading is not typing. */
const gridOf = (
  bench: OpenWorkbench,
  sheet: string,
  what: "value" | "formula" | "text" = "value",
): Promise<Grid> =>
  bench.page.evaluate(
    ([name, which]) => {
      const workbench = window.workbench as NonNullable<typeof window.workbench>;
      const { getters } = workbench.model;
      const id = getters.getSheetIds().find((one) => getters.getSheetName(one) === name) ?? "";
      const used = getters.getEvaluatedCellsPositions(id);
      const bottom = Math.max(0, ...used.map(({ row }) => row));
      const right = Math.max(0, ...used.map(({ col }) => col));
      const letters = (col: number): string =>
        col < 26
          ? String.fromCharCode(65 + col)
          : letters(Math.floor(col / 26) - 1) + String.fromCharCode(65 + (col % 26));
      return Array.from({ length: bottom + 1 }, (_, row) =>
        Array.from({ length: right + 1 }, (__, col) => workbench[which](name, `${letters(col)}${row + 1}`)),
      );
    },
    [sheet, what] as const,
  );

/** The row, from 0, in which one of the first two cells holds a label. */
function rowOf(grid: Grid, label: string, after = -1): number {
  const row = grid.findIndex((cells, i) => i > after && cells.slice(0, 2).some((cell) => cell === label));
  if (row < 0) throw new Error(`No line "${label}".`);
  return row;
}

const sheets = [
  "Site",
  "Outlines",
  "Materials",
  "Quantities",
  "Order",
  "Bid",
  "Crew",
  "Record",
  "Watering",
  "Review",
];

/** Every formula, value and text of the bid. */
const everything = async (bench: OpenWorkbench) => {
  const grids: Record<string, Grid> = {};
  for (const sheet of sheets)
    for (const what of ["formula", "value", "text"] as const)
      grids[`${sheet} ${what}`] = await gridOf(bench, sheet, what);
  return grids;
};

/** Compares the sheets with the arithmetic; answers how many figures were compared. */
async function compare(bench: OpenWorkbench, orchard: number, lot: 0 | 1): Promise<number> {
  const is = reckoned(orchard, lot);
  const grids = new Map<string, Grid>();
  for (const sheet of sheets) grids.set(sheet, await gridOf(bench, sheet));
  const grid = (sheet: string): Grid => grids.get(sheet) ?? [];
  let compared = 0;
  const check = (sheet: string, row: number, letter: string, wanted: number | string) => {
    const found = grid(sheet)[row]?.[letter.charCodeAt(0) - 65];
    const where = `${sheet}!${letter}${row + 1}`;
    compared++;
    if (typeof wanted === "string") expect(found, where).toBe(wanted);
    else {
      expect(typeof found, `${where}: ${String(found)}`).toBe("number");
      expect(Math.abs(Number(found) - wanted), `${where}: ${String(found)}, not ${wanted}`).toBeLessThan(
        1e-7 * Math.max(1, Math.abs(wanted)),
      );
    }
  };
  const line = (sheet: string, label: string, letter: string, wanted: number | string, after?: number) =>
    check(sheet, rowOf(grid(sheet), label, after), letter, wanted);

  const table = rowOf(grid("Quantities"), "No.");
  is.zones.forEach((zone, i) => {
    const site = rowOf(grid("Site"), zone.name);
    check("Site", site, "P", zone.area);
    check("Site", site, "Q", zone.edge);
    check("Site", site, "S", zone.rate);
    check("Site", site, "T", "");
    const row = table + 1 + i;
    check("Quantities", row, "B", zone.name);
    check("Quantities", row, "E", zone.strip);
    check("Quantities", row, "H", zone.seedStrip);
    check("Quantities", row, "I", zone.seedFirst);
    check("Quantities", row, "K", zone.seed);
  });
  line("Site", "All zones", "P", is.area);
  line("Site", "All zones", "Q", is.edge);
  line("Quantities", "Pure live seed", "C", is.live);
  line("Quantities", "Product rate", "C", is.starterRate);
  line("Quantities", "Active that the spray delivers", "C", is.sprayed);
  line("Quantities", "Room left this season", "C", is.room);
  line("Quantities", "Season limit", "C", "kept");
  line("Quantities", "All zones", "N", is.loose, table);

  const first = rowOf(grid("Order"), lots[lot].name);
  is.materials.forEach(({ need, toBuy, counts, bought, left, cost }, i) => {
    check("Order", first + i, "D", need);
    check("Order", first + i, "F", toBuy);
    counts.forEach((count, n) => check("Order", first + i, nameOf(12 + n, 0).charAt(0), count));
    check("Order", first + i, "P", bought);
    check("Order", first + i, "Q", left);
    check("Order", first + i, "R", cost);
  });
  line("Order", "Materials", "R", is.cost, first);
  const steps = rowOf(grid("Order"), "Step");
  is.steps.forEach(({ name, hours, labour, loaded, price }, i) => {
    check("Order", steps + 1 + i, "G", hours);
    check("Order", steps + 1 + i, "H", labour);
    check("Order", steps + 1 + i, "L", loaded);
    check("Order", steps + 1 + i, "M", price);
    line("Bid", name, "C", price);
  });
  line("Order", "With tax", "M", is.taxed);
  line("Order", "Margin on the price", "M", is.margin);
  line("Bid", "Before tax", "C", is.price);
  line("Bid", "Price with tax", "C", is.taxed);
  line("Bid", "Deposit, due with your signature", "C", is.deposit);
  line("Bid", "Balance, due when the work is done", "C", is.balance);
  line("Crew", "Tank loads", "C", is.loads);
  line("Crew", "Last load", "C", is.lastLoad);
  return compared;
}

/** Writes an empty bid from the pane, with keys alone. */
async function writeEmptyBid(keys: Keyboard): Promise<void> {
  const { bench } = keys;
  await keys.toPane("#tab-functions");
  await keys.press("ArrowRight", 2);
  await bench.pane.locator("#write-bid").waitFor();
  await keys.toPane("#property");
  await bench.page.keyboard.type("Ashgrove Cottage, 3 Mill Rise");
  await keys.toPane("#start");
  await keys.press("ArrowDown");
  await keys.toPane("#write-bid");
  await keys.press("Enter");
  await bench.pane.getByText("Written, in this order").waitFor();
}

/** Brings an outline in from a map file: the file is chosen as a keyboard chooses one. */
async function bringOutline(keys: Keyboard): Promise<void> {
  const { bench } = keys;
  await keys.toPane("#outline-file");
  const chooser = bench.page.waitForEvent("filechooser");
  await keys.press("Space");
  await (await chooser).setFiles({ name: "paddock.kml", mimeType: "text/xml", buffer: Buffer.from(mapFile) });
  await bench.pane.getByText("brought into the sheet Outlines").waitFor();
}

async function measure(keys: Keyboard): Promise<void> {
  const site = await gridOf(keys.bench, "Site");
  const row = rowOf(site, "Zone") + 2;
  const at = (letter: string, down: number) => `${letter}${row + down}`;
  // The names typed one under another; the purpose and the grass once, then filled down.
  await keys.typeRows(
    "Site",
    at("A", 0),
    ["Front lawn", "Round lawn", "Gable", "Lane strip", "Orchard", "Paddock"].map((name) => [name]),
  );
  await keys.typeRows("Site", at("B", 0), [["new", "tall fescue", "rectangle", "72.5", "40", "", "4"]]);
  await keys.fillDown("Site", `${at("B", 0)}:${at("C", 5)}`);
  // The others pasted from a list: how measured, length, width, strip, corners, typed, left out, edge.
  await keys.paste("Site", at("D", 1), [
    ["circle", "38", "", "", "", "", "", ""],
    ["triangle", "60", "35", "", "3", "", "", "165"],
    ["strip", "150", "", "30", "2", "", "", ""],
    ["typed", "", "", "", "5", "5200", "350", "290"],
    ["outline", "", "", "", "4", "", "", ""],
  ]);
  await keys.type("Site", at("M", 3), "8");
  await keys.type("Site", at("M", 4), "3.5");
  await keys.type("Site", at("B", 4), "overseed");
  await keys.type("Site", at("L", 0), "2");
}

/** The price book: seed typed, the rest typed or pasted. */
async function fillPriceBook(keys: Keyboard): Promise<void> {
  const book = await gridOf(keys.bench, "Materials");
  const below = (heading: string) => rowOf(book, heading) + 3;
  const percent = (share: number) => String(Number((share * 100).toFixed(6)));
  const packs = (given: readonly { size: number; price: number }[]) => [
    ...[0, 1, 2].map((n) => String(given[n]?.size ?? "")),
    ...[0, 1, 2].map((n) => String(given[n]?.price ?? "")),
  ];
  const seed = below("Seed lots");
  for (const [i, { name, lot, purity, germination, dormant }] of lots.entries()) {
    await keys.typeRows("Materials", `A${seed + i}`, [
      [
        name,
        "tall fescue",
        lot,
        "3/15/2026",
        percent(purity),
        percent(germination),
        dormant ? percent(dormant) : "",
      ],
    ]);
    await keys.typeRows("Materials", `J${seed + i}`, [[String(job.seedStock), ...packs(seedPacks)]]);
  }
  const { starter, spray, topdressing, conditioner } = job;
  const at = below("Starter fertilisers");
  await keys.paste("Materials", `A${at}`, [["Starter of the example", "12-24-8"]]);
  await keys.typeRows("Materials", `J${at}`, [[String(starter.stock), ...packs(starter.packs)]]);
  const pre = below("Pre-emergents");
  await keys.typeRows("Materials", `A${pre}`, [
    [
      "Spray of the example",
      "active of the example",
      "2",
      "4",
      String(spray.concentration),
      String(spray.limit),
      "20",
    ],
  ]);
  await keys.typeRows("Materials", `H${pre}`, [["tall fescue", "60", "", ...packs(spray.packs)]]);
  const top = below("Topdressings");
  await keys.typeRows("Materials", `A${top}`, [
    ["Compost blend", String(topdressing.swell), percent(topdressing.loss)],
  ]);
  await keys.paste("Materials", `J${top}`, [[String(topdressing.stock), ...packs(topdressing.packs)]]);
  const soil = below("Soil conditioners");
  await keys.typeRows("Materials", `A${soil}`, [["Soil conditioner", String(conditioner.rate), "28"]]);
  await keys.paste("Materials", `J${soil}`, [[String(conditioner.stock), ...packs(conditioner.packs)]]);
}

/** Types into the cells beside labels. */
async function typeBeside(
  keys: Keyboard,
  sheet: string,
  letter: string,
  answers: readonly (readonly [label: string, text: string])[],
): Promise<void> {
  const grid = await gridOf(keys.bench, sheet);
  for (const [label, text] of answers) await keys.type(sheet, `${letter}${rowOf(grid, label) + 1}`, text);
}

async function choose(keys: Keyboard): Promise<void> {
  const { starter, spray, topdressing } = job;
  await typeBeside(keys, "Quantities", "C", [
    ["Seed lot", lots[0].name],
    ["Starter fertiliser", "Starter of the example"],
    ["Phosphate rate wanted", String(starter.rate)],
    ["Pre-emergent", "Spray of the example"],
    ["Label rate used", String(spray.rate)],
    ["Spray volume of the sprayer", String(spray.volume)],
    ["Tank", String(spray.tank)],
    ["Topdressing", "Compost blend"],
    ["Depth", String(topdressing.depth)],
    ["Soil conditioner", "Soil conditioner"],
    ["Drop spreader, width", String(job.dropWidth)],
  ]);
}

async function price(keys: Keyboard): Promise<void> {
  await typeBeside(keys, "Order", "D", [
    ["Crew", String(job.crew)],
    ["Labour, cost of a person-hour", String(job.hourly)],
    ["Overhead on cost", "12"],
    ["Margin, as a share of the price", "30"],
    ["Sales tax", "7.25"],
    ["Deposit, as a share of the price with tax", "25"],
    ["The bid holds for", "21"],
    ["Date of the bid", "4/2/2026"],
    ["Client", "M. Thorne"],
    ["Your company", "An invented company"],
  ]);
  const steps = rowOf(await gridOf(keys.bench, "Order"), "Step") + 2;
  await keys.paste(
    "Order",
    `E${steps}`,
    job.steps.map(({ pace, further }) => [String(pace || ""), String(further || "")]),
  );
  await keys.typeRows(
    "Order",
    `J${steps}`,
    job.steps.map(({ equipment }) => [String(equipment || "")]),
  );
}

test("the bid of an invented property, from an empty workbook, by keyboard alone", async () => {
  const bench = await open(320, { viewport: { width: 1440, height: 900 } });
  const keys = new Keyboard(bench);
  await writeEmptyBid(keys);
  await keys.toGrid();
  await measure(keys);
  await bringOutline(keys);
  await keys.toGrid();
  await fillPriceBook(keys);
  await choose(keys);
  await price(keys);
  let compared = await compare(bench, 5200, 0);

  // The orchard was measured again, and the other lot is taken.
  const orchard = rowOf(await gridOf(bench, "Site"), "Orchard") + 1;
  await keys.type("Site", `I${orchard}`, "6100");
  compared += await compare(bench, 6100, 0);
  await typeBeside(keys, "Quantities", "C", [["Seed lot", lots[1].name]]);
  compared += await compare(bench, 6100, 1);

  // Downloaded and opened with the buttons above the sheet, by keyboard.
  const before = await everything(bench);
  const saved = bench.page.waitForEvent("download");
  await keys.pressButton("download");
  const file = await (await saved).path();
  const chooser = bench.page.waitForEvent("filechooser");
  await keys.pressButton("open");
  await (await chooser).setFiles({ name: "ashgrove.xlsx", mimeType: "", buffer: readFileSync(file) });
  await bench.page.getByText("ashgrove.xlsx is open.").waitFor();
  const after = await everything(bench);
  for (const [name, grid] of Object.entries(before)) expect(after[name], name).toEqual(grid);
  compared += await compare(bench, 6100, 1);
  console.log(`by keyboard: ${keys.cells} cells typed, pasted or filled; ${compared} figures compared`);
  expect(compared).toBeGreaterThan(40);
}, 300_000);
