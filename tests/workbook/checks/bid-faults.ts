/** Faults put into a clean bid one at a time, each by a plain edit of a cell: the one check meant for it must find it. */
import type { Workbench } from "../../../src/workbench/node";
import type { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { blockOf } from "../../../src/workbook/host/reference";
import { chosen } from "../../../src/workbook/bid/sheets/chosen";
import { terms } from "../../../src/workbook/bid/sheets/costs";
import { priceBook } from "../../../src/workbook/bid/sheets/price-book";
import { needs } from "../../../src/workbook/bid/sheets/quantities";
import { screened } from "../../../src/workbook/bid/sheets/review";
import { rules, zones } from "../../../src/workbook/bid/sheets/zones";
import type { FigureId, Figures } from "../../../src/workbook/bid/declare/figures";
import type { ColumnId, Table } from "../../../src/workbook/bid/declare/table";
import type { Finding } from "../../../src/workbook/checks/check";
import type { Cell, Row, Which } from "../../support/bid-cells";
import { BidCells } from "../../support/bid-cells";
import { unwatched } from "../../support/built-workbench";

type Content = string | ((bid: BidCells) => string);

export interface Fault {
  readonly what: string;
  readonly cell: Which;
  readonly content: Content;
  /** The check that is meant to find it. */
  readonly check: string;
}

function inTable<T extends Table>(
  table: T,
  id: ColumnId<T>,
  row: Row,
  content: Content,
  check: string,
): Fault {
  return {
    what: `${table.id} ${id} ${row} ${typeof content === "string" ? content : "a formula"}`,
    cell: (bid) => bid.at(table, id, row),
    content,
    check,
  };
}

function inFigure<F extends Figures>(figures: F, id: FigureId<F>, content: string, check: string): Fault {
  return { what: `${figures.id} ${id} ${content}`, cell: (bid) => bid.at(figures, id), content, check };
}

// Zones of the sample.
const [edge, back] = ["Drive edge", "Back lawn"];
const { seedLots, preEmergents, topdressings } = priceBook;

const needed = (bid: BidCells, id: ColumnId<typeof needs>): string => bid.at(needs, id, edge).address;
const held = (bid: BidCells, id: FigureId<typeof chosen>): string =>
  bid.at(chosen, id).address.replace(/^([A-Z]+)(\d+)$/, "$$$1$$$2");

export const inBid: readonly Fault[] = [
  inTable(zones, "typedArea", back, "", "blank area"),
  // An edge of 266 ft encloses 266² / 4π = 5,630 ft² at the most.
  inTable(zones, "typedArea", back, "6000", "impossible area"),
  // 180 ft by 200 in is more than the 522 ft² of the drive edge.
  inFigure(chosen, "dropWidth", "200", "strip larger than zone"),
  inTable(needs, "position", back, "2", "zone not used"),
  inTable(zones, "typedRate", edge, "12", "seed rate outside published range"),
  // Grams per square metre typed where pounds per 1000 ft² belong.
  inTable(zones, "typedRate", back, "20", "seed rate outside published range"),
  inTable(seedLots, "tested", 0, "45700", "old seed tag"),
  inTable(seedLots, "dormant", 0, "0.2", "seed tag over 100 per cent"),
  inFigure(rules, "phosphorus", "only after a soil test", "phosphorus without establishment"),
  inFigure(chosen, "labelRate", "2", "dose outside label"),
  inTable(preEmergents, "rateHigh", 0, "3.5", "dose outside label"),
  // 0.1936 on the starter, 0.125 sprayed, 0.05 before: 0.3686 against 0.35.
  inFigure(chosen, "applied", "0.05", "season limit overspent"),
  inTable(preEmergents, "seasonLimit", 0, "0.3", "season limit overspent"),
  inTable(preEmergents, "grasses", 0, "Kentucky bluegrass, tall fescue", "grass not on label"),
  inFigure(chosen, "sprayVolume", "30", "spray volume under label"),
  inTable(topdressings, "screenLoss", 0, "", "no screen loss"),
  inTable(screened, "screenedOut", "topdress", "90", "screen loss unlike past jobs"),
  inFigure(chosen, "depth", "0.5", "topdressing too deep over seed"),
  {
    what: "the label of the margin, Markup on cost",
    cell: (bid) => bid.label(terms, "margin"),
    content: "Markup on cost",
    check: "margin where markup was meant",
  },
  inTable(needs, "seed", edge, "20", "quantity typed over"),
  inFigure(chosen, "phosphate", "0.18", "quantity typed over"),
  inTable(zones, "area", edge, "522", "quantity typed over"),
  inTable(
    needs,
    "seed",
    edge,
    (bid) => `=${needed(bid, "seedStrip")}+${needed(bid, "seedFirst")}`,
    "formula unlike neighbours",
  ),
  inTable(
    needs,
    "spray",
    edge,
    (bid) => {
      const rate = held(bid, "labelRate");
      return `=IF(${rate}=0,0,SWARD.LABEL_DOSE(${needed(bid, "area")},${rate},"metric"))`;
    },
    "mixed units",
  ),
  inTable(
    needs,
    "starter",
    edge,
    (bid) =>
      `=SWARD.FERTILIZER_WEIGHT(${needed(bid, "area")},${held(bid, "phosphateRate")},${held(bid, "phosphate")})`,
    "stale name",
  ),
];

/** 17 August 2026, as a sheet counts days. */
export const today = 46_251;

/** What the screen kept in the clean bid: 46 of 207 opened, close to the fifth that Materials says. */
export const reviewed = (bid: BidCells): void => {
  bid.fill(screened, "topdress", { opened: "207", screenedOut: "46" });
};

export const said = ({ check, sheet, address, sentence }: Finding): string =>
  `${check.id}: ${sheet} ${address}: ${sentence}`;
export const namesOf = (findings: readonly Finding[]): readonly string[] => [
  ...new Set(findings.map(({ check }) => check.id)),
];

interface Seeded {
  /** What is found while the fault stands, by the checks that follow it. */
  readonly seen: readonly Finding[];
  /** What is found once it is taken back. */
  readonly after: readonly Finding[];
}

/** Puts a fault in, and takes it back. */
export async function seed(
  bench: Workbench,
  checks: WorkbookChecks,
  { cell, content }: Fault,
  bid: BidCells = new BidCells(bench),
  meanwhile: () => Promise<void> = () => Promise.resolve(),
): Promise<Seeded & { readonly at: Cell }> {
  const at = cell(bid);
  const { sheet, address } = at;
  const block = blockOf(address);
  if (block === undefined) throw new Error(`${address} is no cell`);
  const before = bench.formula(sheet, address) ?? String(bench.value(sheet, address) ?? "");
  const edit = async (to: string): Promise<readonly Finding[]> => {
    bench.setCell(sheet, address, to);
    if (!(await checks.recheck([{ sheet, ...block }], unwatched)))
      throw new Error(`${sheet} ${address} was not followed.`);
    return checks.findings;
  };
  const seen = await edit(typeof content === "string" ? content : content(bid));
  await meanwhile();
  return { at, seen, after: await edit(before) };
}
