/**
 * Whatever the host refuses ends in one sentence that says what happened and what to do, and the workbook is as it was:
 * each action of the pane, refused at its first request and at every later one.
 */
import { readFileSync } from "node:fs";
import { afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import type { Finding } from "../../../src/workbook/checks/check";
import { putOnSheet as listOnSheet } from "../../../src/workbook/checks/list-sheet";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { setAside } from "../../../src/workbook/checks/set-aside";
import { putOnSheet as pictureOnSheet } from "../../../src/workbook/drawings/on-sheet";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { runningEdition } from "../../../src/workbook/formulas/edition";
import { explainSelectedCell } from "../../../src/workbook/formulas/explain";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { sheetStates } from "../../../src/workbook/handover/sheet-states";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { listCalls } from "../../../src/workbook/own-sheets/list-calls";
import { understand } from "../../../src/workbook/own-sheets/understand";
import { propose } from "../../../src/workbook/own-sheets/propose";
import type { OwnTable } from "../../../src/workbook/tables/find-table";
import { readOwnTable, writeProposals } from "../../../src/workbook/own-sheets/write-proposals";
import { putInSelectedCell, readAddress } from "../../../src/workbook/own-sheets/put";
import { repairCalls } from "../../../src/workbook/own-sheets/repair";
import { readSelection, showCell } from "../../../src/workbook/host/selection";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { BidCells } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Everything } from "../../support/everything";
import { everythingIn } from "../../support/everything";
import { jobs } from "../../support/jobs";

let bench: Workbench;
let findings: readonly Finding[];
let table: OwnTable;
let written: object;
let before: Everything;

/** A picture of one dot. */
const png =
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";
const outlines = readFileSync(new URL("../outlines/files/larkfield-house.geojson", import.meta.url), "utf8");

const refusals = {
  "a cell is edited": /^A cell is being edited: finish with Enter or Escape, then try again\.$/,
  "a picture is selected": /^A picture or another object is selected: select a cell, then try again\.$/,
  "the sheets are protected": /^The sheets? (?!or the).+ (is|are) protected: .*Review.*\.$/,
  "the workbook is protected": /^The workbook's structure is protected.*: .*Review.*\.$/,
} as const;
type Refusal = keyof typeof refusals;

interface Action {
  readonly name: string;
  readonly act: () => Promise<unknown>;
  readonly refusedBy: readonly Refusal[];
}

const [editing, picture, sheets, workbook] = Object.keys(refusals) as Refusal[];
const by = (...some: (Refusal | undefined)[]): readonly Refusal[] =>
  some.flatMap((one) => (one === undefined ? [] : [one]));

const agreed = () => {
  const choices = new Map();
  const { proposals } = propose(understand(table, choices), "us");
  return {
    table,
    choices,
    system: "us" as const,
    functions: proposals.slice(0, 1).map(({ definition }) => definition.id),
  };
};

const target = { drawing: "timeline", ending: "", sheet: "crew" } as const;
const image = { png, width: 200, height: 100, title: "Work", description: "Hours of the crew." };
const firstFinding = (): Finding => findings[0] as Finding;

const actions: readonly Action[] = [
  { name: "reading the selection", act: () => readSelection(), refusedBy: by(editing, picture) },
  { name: "explaining the cell", act: () => explainSelectedCell(), refusedBy: by(editing, picture) },
  {
    name: "putting a function in the cell",
    act: () => putInSelectedCell("=SWARD.PACKS(10,3)", unwatched, { overwrite: true }),
    refusedBy: by(editing, picture, sheets),
  },
  { name: "reading an address", act: () => readAddress("Site!I10"), refusedBy: by(editing) },
  {
    name: "going to a cell",
    act: () => showCell({ sheet: "Site", address: "A1" }),
    refusedBy: by(editing),
  },
  { name: "asking for the edition", act: () => runningEdition(), refusedBy: by(editing) },
  {
    name: "writing a bid",
    act: () => writeBid({ system: "us", currency: "$", property: "", sample: true }, unwatched),
    refusedBy: by(editing, workbook),
  },
  {
    name: "bringing in outlines",
    act: () => bringOutlines("larkfield-house.geojson", outlines),
    refusedBy: by(editing, sheets),
  },
  { name: "carrying the review over", act: () => carryReview(), refusedBy: by(editing, sheets) },
  { name: "reading the table", act: () => readOwnTable(unwatched), refusedBy: by(editing, picture) },
  { name: "writing columns", act: () => writeProposals(agreed(), unwatched), refusedBy: by(editing, sheets) },
  { name: "listing the calls", act: () => listCalls(unwatched), refusedBy: by(editing) },
  { name: "repairing calls", act: () => repairCalls(unwatched), refusedBy: by(editing, sheets) },
  { name: "checking", act: () => WorkbookChecks.start(unwatched), refusedBy: by(editing) },
  {
    name: "setting a finding aside",
    act: () => setAside(firstFinding(), "Measured twice.", 46_251),
    refusedBy: by(editing, workbook),
  },
  {
    name: "listing the findings on a sheet",
    act: () => listOnSheet(findings, [], 46_251),
    refusedBy: by(editing, workbook),
  },
  { name: "reading the bid", act: () => readBid(undefined), refusedBy: by(editing) },
  {
    name: "putting a drawing on its sheet",
    act: () => pictureOnSheet(target, image),
    refusedBy: by(editing, sheets),
  },
  { name: "telling the sheets' states", act: () => sheetStates(), refusedBy: by(editing) },
  {
    name: "handing over native formulas",
    act: () => handOver(["Quantities", "Lawns"], unwatched),
    refusedBy: by(editing, sheets),
  },
  {
    name: "handing over short native formulas",
    act: () => handOver(["Quantities", "Lawns"], unwatched, "short native formulas"),
    refusedBy: by(editing, sheets),
  },
];

const protect = (on: boolean, what: "sheets" | "workbook"): Promise<void> =>
  Excel.run(async (context) => {
    const { worksheets, protection } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    const all = what === "workbook" ? [protection] : worksheets.items.map((sheet) => sheet.protection);
    for (const one of all) {
      if (on) one.protect();
      else one.unprotect();
    }
    await context.sync();
  });

async function impose(refusal: Refusal, on: boolean): Promise<void> {
  if (refusal === editing) bench.situation.cellEditing = on;
  if (refusal === picture) bench.situation.pictureSelected = on;
  if (refusal === sheets) await protect(on, "sheets");
  if (refusal === workbook) await protect(on, "workbook");
}

/** The sentence that an action ends in; nothing where it is not refused. */
async function sentenceOf(act: () => Promise<unknown>): Promise<string | undefined> {
  try {
    await act();
    return undefined;
  } catch (error) {
    expect(error).toBeInstanceOf(WorkbookTrouble);
    return (error as Error).message;
  }
}

beforeAll(async () => {
  bench = await openWorkbench({ harshness: { payloads: true, limits: true } });
  for (const job of [jobs[0], jobs[3]]) await job?.write(bench);
  const bid = new BidCells(bench);
  bid.fill(screened, "topdress", { opened: "200", screenedOut: "50" });
  bid.fill(taken, "topdress", { taken: "3" });
  bench.setCells("Lawns", { D3: "1600", N1: "=_xldudf_SWARD_PACKS(10,3)" });
  bench.setCells("Sheet1", {
    A1: "Zone",
    B1: "Area, ft²",
    C1: "Depth, in",
    A2: "West",
    B2: "900",
    C2: "0.25",
  });
  findings = (await WorkbookChecks.start(unwatched)).findings;
  bench.select("Sheet1", "A1");
  table = await readOwnTable(unwatched);
  written = bench.copy();
  restore();
  bench.select("Sheet1", "A1");
  before = await everythingIn(bench);
});

/** The workbook as it was, after an action that was let through. */
const restore = () => bench.open(structuredClone(written));

beforeEach(() => bench.select("Sheet1", "A1"));
afterEach(() => {
  bench.clearFail();
  bench.situation.largestPayload = undefined;
});

describe.each(actions)("$name", ({ act, refusedBy }) => {
  test.each(refusedBy.map((refusal) => ({ refusal })))("while $refusal", async ({ refusal }) => {
    await impose(refusal, true);
    const sentence = await sentenceOf(act).finally(() => impose(refusal, false));
    expect(sentence).toMatch(refusals[refusal]);
    expect(await everythingIn(bench)).toEqual(before);
  });

  test("when a cell is edited part of the way, or the host fails there", async () => {
    for (const [turn, begin, wanted] of [
      [0, (n: number) => (bench.situation.editingFrom = n), refusals["a cell is edited"]],
      [1, (n: number) => bench.failAt(n), /^Excel could not do that: .*try again.*\.$/],
    ] as const) {
      for (let n = 2; n < 40; n++) {
        // What asks for much, a bid for ten sheets alike, is refused at each of its later requests in one of the ways.
        if (n > 8 && n % 2 !== turn) continue;
        begin(n);
        // The person goes on in the cell for a while, then presses Enter.
        const enter = setTimeout(() => (bench.situation.editingFrom = undefined), 60);
        const sentence = await sentenceOf(act);
        clearTimeout(enter);
        bench.situation.editingFrom = undefined;
        bench.clearFail();
        // Gone through to the end, it is not refused: nothing more is to be asked.
        if (sentence === undefined) {
          restore();
          break;
        }
        expect(sentence, `at request ${n}`).toMatch(wanted);
      }
      // Left half done at any request, it would still be so.
      expect(await everythingIn(bench)).toEqual(before);
    }
  });

  // More than a bid's names are told with, which whatever is taken back asks for.
  test.each([120, 6000, 50_000])("when no more than %i bytes are passed on", async (largest) => {
    bench.situation.largestPayload = largest;
    const sentence = await sentenceOf(act);
    bench.situation.largestPayload = undefined;
    if (sentence === undefined) return restore();
    expect(sentence).toMatch(/^That is more than Excel passes on at once: .*\.$/);
    expect(await everythingIn(bench)).toEqual(before);
  });
});
