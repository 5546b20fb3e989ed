/** A large job: it is written whole, it can be stopped, and its times are told. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { needs } from "../../../src/workbook/bid/sheets/quantities";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { Stopped } from "../../../src/workbook/host/progress";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { cellOf } from "./reading";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});

const numbered = <T>(count: number, make: (n: number) => T): T[] =>
  Array.from({ length: count }, (_, i) => make(i + 1));

const { us } = sampleProperty;
const copies = <T extends { readonly name: string }>([one]: readonly T[], count: number): readonly T[] =>
  one === undefined ? [] : [one, ...numbered(count - 1, (n) => ({ ...one, name: `${one.name} ${n}` }))];

/** 200 zones of 100, 110, 120... ft2 at 5 lb, and 60 materials. */
const large: JobInput = {
  ...us,
  zones: numbered(200, (n) => ({
    name: `Zone ${n}`,
    purpose: "new",
    grass: "tall fescue",
    measured: "typed",
    typedArea: 90 + 10 * n,
    typedEdge: 40,
    typedRate: 5,
  })),
  outlines: [],
  seedLots: copies(us.seedLots, 20),
  starters: copies(us.starters, 10),
  preEmergents: copies(us.preEmergents, 10),
  topdressings: copies(us.topdressings, 15),
  conditioners: copies(us.conditioners, 5),
};
const options = { system: "us", currency: "$", property: "", sample: false, job: large } as const;

const timed = async (work: () => unknown): Promise<number> => {
  const began = performance.now();
  await work();
  return performance.now() - began;
};

test("200 zones and 60 materials are written and follow a change", async () => {
  bench.reset();
  await writeBid({ ...options, job: us }, unwatched);
  bench.reset();
  const writing = await timed(() => writeBid(options, unwatched));
  // 200 x 90 + 10 x (200 x 201 / 2).
  const area = 18_000 + 201_000;
  const [typed, total] = [bid.at(zones, "typedArea", 0), bid.at(needs, "area", "all")];
  expect(bench.value(total.sheet, total.address)).toBe(area);
  expect(bid.value(purchases, "material", "seed")).toBe(us.chosen.seedLot);
  expect(bid.number(purchases, "need", "seed")).toBeCloseTo((area * 5) / 1000 / 0.8536, 6);
  const following = await timed(() => {
    bench.setCell(typed.sheet, typed.address, "1100");
    expect(bench.value(total.sheet, total.address)).toBe(area + 1000);
  });
  console.log(
    `200 zones, 60 materials: written in ${writing.toFixed(0)} ms, a change in ${following.toFixed(0)} ms`,
  );
  // Above the zones it would be told that there are more of them than lines.
  const heading = { sheet: "Quantities", address: cellOf(bench, "Quantities", "By zone", 1) };
  const { sheet, address } = offset(heading, { down: -1 });
  expect(bench.value(sheet, address)).toBe("");
}, 120_000);

test("it can be stopped on the way, and nothing is left", async () => {
  bench.reset();
  const before = bench.sheetNames();
  const told: string[] = [];
  const progress = {
    report: (_done: number, _total: number, what: string) => void told.push(what),
    get stopped() {
      return told.length >= 5;
    },
  };
  await expect(writeBid(options, progress)).rejects.toThrow(Stopped);
  expect(told).toEqual([
    "Adding sheets",
    "Writing Site",
    "Writing Outlines",
    "Writing Materials",
    "Writing Quantities",
  ]);
  expect(bench.sheetNames()).toEqual(before);
}, 120_000);
