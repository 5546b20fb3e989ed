/**
 * Faults put into a clean workbook one at a time, each by a plain edit of a cell: the one check meant for it must find
 * it and no other check may, and taking it back must clear it.
 */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { checks as allChecks } from "../../../src/workbook/checks/rules";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { BidCells } from "../../support/bid-cells";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";
import { otherNames, rename, reword } from "../bid/disguise";
import type { Fault } from "./bid-faults";
import { inBid, namesOf, reviewed, said, seed, today } from "./bid-faults";
import { writeOwnSheets } from "./own-sheets";

const fault = (sheet: string, address: string, content: string, check: string): Fault => ({
  what: `${sheet} ${address} ${content}`,
  cell: () => ({ sheet, address }),
  content,
  check,
});

const inOwnSheets: readonly Fault[] = [
  fault("Lawns", "D4", "", "blank area"),
  // A perimeter of 130 ft encloses 1,345 ft² at the most.
  fault("Lawns", "D3", "1600", "impossible area"),
  // 4,000 ft by 22 in, less the corners.
  fault("Lawns", "E5", "4000", "strip larger than zone"),
  fault("Lawns", "F2", "70", "seed rate outside published range"),
  fault("Lawns", "F4", "8", "seed rate outside published range"),
  fault("Lawns", "B6", "feeding only", "phosphorus without establishment"),
  fault("Lawns", "C5", "hard fescue and zoysia", "grass not on label"),
  fault("Lawns", "H4", "19", "quantity typed over"),
  fault("Lawns", "H4", "=SWARD.SEED_WEIGHT(D6,F4,Tag!$F$2)", "formula unlike neighbours"),
  fault("Lawns", "G3", '=SWARD.EDGE_AREA(E3,22,4,"metric")', "mixed units"),
  fault("Lawns", "J4", "=SWARD.LABLE_DOSE(D4,Label!$B$1)", "stale name"),
  fault("Corners", "E1", "=SWARD.POLYGON_AREA(A2:B7)", "range past its figures"),
  fault("Corners", "B4", "", "range past its figures"),
  fault("Corners", "B9", "=SWARD.OFFSET_AREA(B8:F8,10)", "range past its figures"),
  fault("Corners", "D8", "", "range past its figures"),
  fault("Label", "B1", "2.5", "dose outside label"),
  fault("Label", "B3", "3.8", "dose outside label"),
  fault("Label", "B10", "0.1", "season limit overspent"),
  fault("Label", "B5", "35", "spray volume under label"),
  fault("Label", "B6", "perennial ryegrass", "grass not on label"),
  fault("Tag", "B2", "0.99", "seed tag over 100 per cent"),
  fault("Tag", "G2", "45800", "old seed tag"),
  fault("Diary", "A3", "46220", "repeat before the interval"),
  fault("Buying", "D2", "2", "packs short of need"),
  fault("Buying", "E3", "=SWARD.PACKS(B3,C3,0.5)", "packs short of need"),
  fault("Buying", "A7", "Markup", "margin where markup was meant"),
  fault("Buying", "B12", "0.4", "topdressing too deep over seed"),
  fault("Buying", "B13", "", "no screen loss"),
  fault("Buying", "B13", "0.35", "screen loss unlike past jobs"),
];

let bench: Workbench;

async function clean(system: "us" | "metric"): Promise<void> {
  bench.reset();
  await writeBid(
    { system, currency: "$", property: "Larkfield House, 14 Quarry Lane", sample: true },
    unwatched,
  );
  reviewed(new BidCells(bench));
  await writeOwnSheets(bench);
}

beforeAll(async () => {
  bench = await openWorkbench();
});

test("every check has a fault that it is to find", () => {
  const seeded = new Set([...inBid, ...inOwnSheets].map(({ check }) => check));
  expect(allChecks.map(({ id }) => id).filter((id) => !seeded.has(id))).toEqual([]);
});

describe("a clean workbook", () => {
  test.each(["us", "metric"] as const)("gives no warning: %s", async (system) => {
    await clean(system);
    const { findings } = await WorkbookChecks.start(unwatched, today);
    expect(findings.map(said)).toEqual([]);
  });

  test("an empty bid gives no warning", async () => {
    bench.reset();
    await writeBid({ system: "us", currency: "$", property: "", sample: false }, unwatched);
    const { findings } = await WorkbookChecks.start(unwatched, today);
    expect(findings.map(said)).toEqual([]);
  });
});

describe("seeded faults", () => {
  let checks: WorkbookChecks;
  let found = 0;
  let falseAlarms = 0;
  const faults = [...inBid, ...inOwnSheets];

  beforeAll(async () => {
    await clean("us");
    checks = await WorkbookChecks.start(unwatched, today);
  });

  test.each(faults)("$what: $check", async (one) => {
    const { check } = one;
    let full: readonly string[] = [];
    const { seen, after } = await seed(bench, checks, one, new BidCells(bench), async () => {
      full = (await WorkbookChecks.start(unwatched, today)).findings.map(said);
    });
    const names = namesOf(seen);
    if (names.includes(check)) found++;
    falseAlarms += names.filter((name) => name !== check).length;
    expect(names, seen.map(said).join("\n")).toEqual([check]);
    expect(seen.map(said)).toEqual(full);
    expect(after.map(said)).toEqual([]);
  });

  test("found of seeded, and false alarms", () => {
    console.log(`checks: found ${found} of ${faults.length} seeded faults, ${falseAlarms} false alarms`);
    expect([found, falseAlarms]).toEqual([faults.length, 0]);
    expect(faults.length).toBeGreaterThanOrEqual(25);
  });
});

// By names, which no switch of the host changes.
describe.skipIf(isHarsh)("seeded faults where every label and every sheet is called otherwise", () => {
  let checks: WorkbookChecks;
  beforeAll(async () => {
    await clean("us");
    reword(bench, "us");
    await rename(otherNames);
    checks = await WorkbookChecks.start(unwatched, today);
  });

  test("a clean workbook gives no warning", () => {
    expect(checks.findings.map(said)).toEqual([]);
  });

  test.each(inBid)("$what: $check", async (one) => {
    const { at, seen } = await seed(bench, checks, one);
    expect(Object.values<string>(otherNames)).toContain(at.sheet);
    expect(namesOf(seen), seen.map(said).join("\n")).toEqual([one.check]);
  });
});
