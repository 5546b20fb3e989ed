/** Jobs of different kinds in a workbook, for tests that must not hold on the sample alone. */
import type { Workbench } from "../../src/workbench/node";
import { zones } from "../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../src/workbook/bid/write-bid";
import { writeOwnSheets } from "../workbook/checks/own-sheets";
import { BidCells } from "./bid-cells";
import { unwatched } from "./built-workbench";
import { columnOf } from "./written-columns";

export interface Job {
  readonly name: string;
  readonly write: (bench: Workbench) => Promise<void>;
  /** A cell that others are worked out from, and another figure for it. */
  readonly edit: readonly [sheet: string, cell: string, content: string];
  /** A cell that calls one of our functions and follows the edit. */
  readonly call: readonly [sheet: string, cell: string];
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
  bench.setCells("Materials", { A8: "Lot 1", E8: "0.95", F8: "0.9", K8: "25", N8: "70" });
  await bench.calculated();
}

export const jobs: readonly Job[] = [
  {
    name: "the sample in US units",
    write: () => bid("us", true, ""),
    edit: ["Site", `${columnOf(zones, "typedArea")}10`, "6000"],
    call: ["Quantities", "I40"],
    isBid: true,
  },
  {
    name: "the sample in metric units",
    write: () => bid("metric", true, ""),
    edit: ["Site", `${columnOf(zones, "typedArea")}10`, "560"],
    call: ["Quantities", "I40"],
    isBid: true,
  },
  {
    name: "an empty bid, typed later",
    write: typed,
    edit: ["Site", `${columnOf(zones, "typedArea")}9`, "60000"],
    call: ["Quantities", "I39"],
    isBid: true,
  },
  {
    name: "the estimator's own sheets",
    write: writeOwnSheets,
    edit: ["Lawns", "D3", "1600"],
    call: ["Lawns", "H3"],
    isBid: false,
  },
];
