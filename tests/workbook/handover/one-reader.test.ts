import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { prices } from "../../../src/workbook/bid/sheets/client-page";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { fileForReader } from "../../../src/workbook/handover/reader/one-reader";
import { readerFile } from "../../../src/workbook/handover/reader/reader-file";
import { pagesFor, readerSheets, sheetsFor } from "../../../src/workbook/handover/readers";
import type { ReaderId } from "../../../src/workbook/handover/ways";
import { readerIds, ways } from "../../../src/workbook/handover/ways";
import type { Workbench } from "../../../src/workbench/node";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { CellValue } from "../../support/libreoffice";
import { edited, position, recalculate, valueIn } from "../../support/libreoffice";
import { columnOf } from "../../support/written-columns";
import { everythingIn } from "./hiding-places";

let bench: Workbench;
let bid: BidCells;

beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});

/** The sample with costs that no measure or share of a page happens to equal. */
function withTellingCosts(job: JobInput): JobInput {
  const priced = <T extends { readonly packs: JobInput["seedLots"][number]["packs"] }>(
    list: readonly T[],
    by: number,
  ): T[] =>
    list.map((one, i) => ({
      ...one,
      packs: one.packs.map(({ size }, n) => ({ size, price: 61.83 + 17.29 * (i + n) + by })),
    }));
  return {
    ...job,
    seedLots: priced(job.seedLots, 0.01),
    starters: priced(job.starters, 100.02),
    preEmergents: priced(job.preEmergents, 200.04),
    topdressings: priced(job.topdressings, 300.08),
    conditioners: priced(job.conditioners, 400.16),
    work: { ...job.work, hourly: 38.17, overhead: 0.1319, margin: 0.4127 },
  };
}

const figure = (value: unknown): value is number =>
  typeof value === "number" && value !== 0 && !Number.isInteger(value);

/** Every figure of the sheets that hold costs which no page of the reader shows, as it is and as money is written. */
function secretsOf(shown: readonly string[], costSheets: readonly string[]): ReadonlyMap<string, string> {
  const onPages = new Set<string>();
  const secret = new Map<string, string>();
  const every = (sheet: string, see: (value: number, address: string) => void): void => {
    for (let row = 1; row <= 60; row++)
      for (let column = 0; column < 31; column++) {
        const letters =
          column < 26 ? String.fromCharCode(65 + column) : `A${String.fromCharCode(39 + column)}`;
        const address = `${letters}${row}`;
        const value = bench.value(sheet, address);
        if (figure(value)) see(value, address);
      }
  };
  for (const sheet of shown) every(sheet, (value) => onPages.add(value.toFixed(2)));
  for (const sheet of costSheets)
    every(sheet, (value, address) => {
      const label = String(bench.value(sheet, address.replace(/^[A-Z]+/, "A")));
      if (!onPages.has(value.toFixed(2)) && !/^(Sales tax|Deposit)/.test(label))
        secret.set(value.toFixed(4), `${sheet}!${address}`);
    });
  return secret;
}

const numbers = /(?<![\w.#])\d[\d,]*\.\d+/g;

/** Which of the secrets any number in any part of a file is; figures of the look (widths, margins) have two decimals. */
function told(bytes: Uint8Array, secrets: ReadonlyMap<string, string>): readonly string[] {
  const found: string[] = [];
  for (const [part, text] of everythingIn(bytes))
    for (const [number] of text.matchAll(numbers)) {
      const value = Number(number.replaceAll(",", ""));
      const of = secrets.get(value.toFixed(4)) ?? secrets.get((value / 100).toFixed(4));
      if (of !== undefined) found.push(`${of} = ${number} in ${part}`);
    }
  return found;
}

/** What each reader gets of a bid, said here a second time: nobody is to get more by one changed line. */
const sheetsOf: Readonly<Record<Exclude<ReaderId, "own">, readonly string[]>> = {
  client: ["Bid", "Watering"],
  crew: ["Crew", "Record", "Watering"],
  supplier: ["Order"],
};

/** What a supplier is told of the packs, on whatever row. */
const ofPacks = (["size1", "size2", "size3", "packs1", "packs2", "packs3", "bought"] as const).map((id) =>
  columnOf(purchases, id),
);

async function fileFor(reader: ReaderId, from: Uint8Array, more: readonly string[] = []) {
  const known = await readerSheets();
  const names = [...sheetsFor(reader, known), ...more];
  const options = {
    pages: pagesFor(reader, names, known),
    holds: "values",
    drawings: ways[reader].drawings,
  } as const;
  return { names, file: await fileForReader(from, options, unwatched) };
}

const shownText = (value: CellValue | undefined): string =>
  value === null || value === undefined ? "" : String(value);

describe.each([
  ["the US sample", "us", "$"],
  ["the metric sample", "metric", "€"],
] as const)("of %s", (_, system, currency) => {
  let exported: Uint8Array;

  beforeAll(async () => {
    bench.reset();
    await writeBid(
      {
        system,
        currency,
        property: "Larkfield House",
        sample: true,
        job: withTellingCosts(sampleProperty[system]),
      },
      unwatched,
    );
    exported = await bench.exportXlsx();
  });

  test.each(readerIds.filter((reader) => reader !== "own"))(
    "the file for the %s tells no cost, wage or margin",
    async (reader) => {
      const { names, file } = await fileFor(reader, exported);
      expect(names).toEqual(sheetsOf[reader]);
      const secrets = secretsOf(reader === "supplier" ? [] : names, ["Order", "Materials"]);
      expect(secrets.size).toBeGreaterThan(60);
      const mayTell = reader === "supplier" ? new RegExp(`^Order!(${ofPacks.join("|")})\\d+ `) : /^$/;
      expect(told(file.bytes, secrets).filter((one) => !mayTell.test(one))).toEqual([]);
      for (const [part, text] of everythingIn(file.bytes))
        if (part !== "xl/worksheets/sheet1.xml" && !part.startsWith("xl/worksheets/sheet"))
          for (const other of ["Site", "Materials", "Quantities", "Review", "Outlines"])
            expect(text.includes(other), `${other} in ${part}`).toBe(false);
    },
  );

  test.each(["client", "crew"] as const)(
    "the file for the %s shows the same figures in LibreOffice",
    async (reader) => {
      const { names, file } = await fileFor(reader, exported);
      const cells = await recalculate(file.bytes);
      expect([...cells.keys()]).toEqual(names);
      let compared = 0;
      for (const name of names)
        for (const [row, line] of (cells.get(name) ?? []).entries())
          for (const [column, value] of line.entries()) {
            if (column > 8) continue;
            const address = `${String.fromCharCode(65 + column)}${row + 1}`;
            const before = bench.value(name, address);
            if (typeof value === "number") expect(value, `${name}!${address}`).toBe(before);
            else if (value !== null) expect(shownText(value), `${name}!${address}`).toBe(before);
            if (value !== null) compared++;
          }
      expect(compared).toBeGreaterThan(80);
    },
  );

  test("the order for the supplier holds the packs and the columns around them, and no row below", async () => {
    const { file } = await fileFor("supplier", exported);
    const cells = await recalculate(file.bytes);
    const order = cells.get("Order") ?? [];
    expect(order.length).toBeLessThanOrEqual(position(bid.at(purchases, "material", "all").address).row);
    const heads = order[position(bid.at(purchases, "material", "seed").address).row - 2];
    expect(heads?.filter((cell) => cell !== null)).toEqual([
      "Material",
      "For",
      "Unit",
      "Size of pack 1",
      "Size of pack 2",
      "Size of pack 3",
      "Packs 1",
      "Packs 2",
      "Packs 3",
      "Bought",
      "Supplier",
    ]);
    expect(valueIn(cells, bid.at(purchases, "packs1", "seed"))).toBe(bid.value(purchases, "packs1", "seed"));
    expect(valueIn(cells, bid.at(purchases, "price1", "seed"))).toBeNull();
  });
});

test("formulas that read nothing but the file stay, ours as ordinary ones, and give the same figures", async () => {
  bench.reset();
  await writeBid(
    {
      system: "us",
      currency: "$",
      property: "Larkfield House",
      sample: true,
      job: withTellingCosts(sampleProperty.us),
    },
    unwatched,
  );
  const names = ["Site", "Outlines", "Quantities", "Crew"];
  const { bytes, formulas } = await readerFile(
    await bench.exportXlsx(),
    { pages: names.map((sheet) => ({ sheet })), holds: "formulas", drawings: [] },
    unwatched,
  );
  expect(formulas).toBeGreaterThan(100);
  for (const [part, text] of everythingIn(bytes)) {
    expect(/SWARD/i.test(text), part).toBe(false);
    expect(/(Order|Materials)!/.test(text), part).toBe(false);
  }
  expect(told(bytes, secretsOf(names, ["Order", "Materials"]))).toEqual([]);
  const cells = await recalculate(bytes);
  for (const name of names)
    for (const [row, line] of (cells.get(name) ?? []).entries())
      for (const [column, value] of line.slice(0, 9).entries()) {
        const address = `${String.fromCharCode(65 + column)}${row + 1}`;
        const before = bench.value(name, address);
        if (typeof value === "number" && typeof before === "number")
          expect(value, `${name}!${address}`).toBeCloseTo(before, 6);
      }
});

describe("a workbook that people have worked in", () => {
  beforeEach(() => bench.reset());

  test("with renamed sheets, another bid, sheets of their own, comments, names and hidden parts", async () => {
    const job = withTellingCosts(sampleProperty.us);
    const write = (property: string) =>
      writeBid({ system: "us", currency: "$", property, sample: true, job: { ...job, property } }, unwatched);
    await write("Quarry Cottage");
    await write("Larkfield House");
    const beside = offset(new BidCells(bench, "Site 2").at(prices, "price", "prepare"), { right: 2 });
    const below = offset(beside, { down: 1 });
    await Excel.run(async (context) => {
      const { worksheets, names } = context.workbook;
      worksheets.getItem("Bid 2").name = "Offer to the client";
      worksheets.getItem("Watering 2").name = "After seeding";
      worksheets.getItem("Order 2").name = "What we pay";
      const own = worksheets.add("Wages");
      own.getRange("A1:B2").values = [
        ["foreman", 41.73],
        ["helper", 38.17],
      ];
      own.visibility = "Hidden";
      names.add("hourly_wage", own.getRange("B1"));
      const offer = worksheets.getItem("Offer to the client");
      offer.getRange(beside.address).values = [["what it costs us"]];
      offer.getRange(below.address).values = [[2743.19]];
      offer.activate();
      await context.sync();
    });
    const known = await readerSheets();
    expect(sheetsFor("client", known)).toEqual(["Offer to the client", "After seeding"]);
    const { file } = await fileFor("client", await bench.exportXlsx());
    expect(file.sheets).toEqual(["Offer to the client", "After seeding"]);
    const secrets = new Map([
      ...secretsOf(["Offer to the client", "After seeding"], ["What we pay", "Order", "Materials"]),
      ["41.7300", "Wages!B1"],
      ["2743.1900", "the note beside the bid"],
    ]);
    expect(told(file.bytes, secrets)).toEqual([]);
    for (const [part, text] of everythingIn(file.bytes))
      for (const word of ["Quarry Cottage", "What we pay", "Wages", "hourly_wage", "costs us"])
        expect(text.includes(word), `${word} in ${part}`).toBe(false);
  });

  test("saved by LibreOffice, with its own styles and properties", async () => {
    const property = "Larkfield House";
    await writeBid(
      { system: "us", currency: "$", property, sample: true, job: withTellingCosts(sampleProperty.us) },
      unwatched,
    );
    const [total, own] = [bid.at(prices, "price", "withTax"), bid.value(prices, "price", "withTax")];
    const free = bid.at(purchases, "watch", "all");
    // The functions are not known there: their cells are given their values first.
    const values = await fileForReader(
      await bench.exportXlsx(),
      {
        pages: ["Site", "Order", "Bid", "Watering"].map((sheet) => ({ sheet })),
        holds: "values",
        drawings: [],
      },
      unwatched,
    );
    const saved = await edited(values.bytes, [["set", free.sheet, free.address, "61.84"]]);
    const { bytes } = await fileForReader(
      saved,
      { pages: [{ sheet: "Bid" }], holds: "values", drawings: [] },
      unwatched,
    );
    expect(told(bytes, secretsOf(["Bid"], ["Order", "Materials"]))).toEqual([]);
    expect(valueIn(await recalculate(bytes), total)).toBe(own);
  });
});
