/** Jobs of different kinds in a workbook, for tests that must not hold on the sample alone. */
import type { Workbench } from "../../src/workbench/node";
import { priceBook } from "../../src/workbook/bid/sheets/price-book";
import { needs } from "../../src/workbook/bid/sheets/quantities";
import { zones } from "../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../src/workbook/bid/write-bid";
import { writeOwnSheets } from "../workbook/checks/own-sheets";
import type { Which } from "./bid-cells";
import { BidCells } from "./bid-cells";
import { unwatched } from "./built-workbench";

export interface Job {
  readonly name: string;
  readonly write: (bench: Workbench) => Promise<void>;
  /** A cell that others are worked out from, and another figure for it. */
  readonly edit: Which;
  readonly content: string;
  /** A cell that calls one of our functions and follows the edit. */
  readonly call: Which;
  readonly isBid: boolean;
}

const bid = async (system: "us" | "metric", sample: boolean, property: string): Promise<void> => {
  await writeBid({ system, currency: "$", property, sample }, unwatched);
};

/** Two zones and a seed lot, typed into an empty bid. */
async function typed(bench: Workbench): Promise<void> {
  await bid("us", false, "7 Ferry Steps");
  const cells = new BidCells(bench);
  const zone = { purpose: "new", measured: "typed", typedRate: "6" };
  cells.fill(zones, 0, { ...zone, name: "Upper lawn", typedArea: "1800", typedEdge: "180" });
  cells.fill(zones, 1, { ...zone, name: "Lower lawn", typedArea: "950", typedEdge: "130" });
  const lot = { name: "Lot 1", purity: "0.95", germination: "0.9", size1: "25", price1: "70" };
  cells.fill(priceBook.seedLots, 0, lot);
  await bench.calculated();
}

/** The area of a zone, and seed that is worked out from it. */
const ofZone = (zone: number): Pick<Job, "edit" | "call"> => ({
  edit: (bid) => bid.at(zones, "typedArea", zone),
  call: (bid) => bid.at(needs, "seedFirst", zone),
});

export const jobs: readonly Job[] = [
  {
    name: "the sample in US units",
    write: () => bid("us", true, ""),
    ...ofZone(2),
    content: "6000",
    isBid: true,
  },
  {
    name: "the sample in metric units",
    write: () => bid("metric", true, ""),
    ...ofZone(2),
    content: "560",
    isBid: true,
  },
  {
    name: "an empty bid, typed later",
    write: typed,
    ...ofZone(1),
    content: "60000",
    isBid: true,
  },
  {
    name: "the estimator's own sheets",
    write: writeOwnSheets,
    edit: () => ({ sheet: "Lawns", address: "D3" }),
    content: "1600",
    call: () => ({ sheet: "Lawns", address: "H3" }),
    isBid: false,
  },
];
