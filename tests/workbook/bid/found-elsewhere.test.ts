/**
 * A bid that was moved among other sheets, cut up, sorted, copied and put into other words is still that bid: the
 * drawings show the same figures, the review carries over, every seeded fault is found, and what is handed over comes back.
 */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { steps } from "../../../src/workbook/bid/sheets/costs";
import { priceBook } from "../../../src/workbook/bid/sheets/price-book";
import { needs } from "../../../src/workbook/bid/sheets/quantities";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import type { BidFigures } from "../../../src/workbook/drawings/read-bid";
import { readBid } from "../../../src/workbook/drawings/read-bid";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import type { Cell } from "../../support/bid-cells";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { differences, everythingIn } from "../../support/everything";
import { withEdited, withParts } from "../../support/file-parts";
import type { Edit } from "../../support/libreoffice";
import { edited, position } from "../../support/libreoffice";
import { openBid, openMade } from "../../support/made-once";
import { columnNumber } from "../../support/written-columns";
import { inBid, namesOf, reviewed, said, seed, today } from "../checks/bid-faults";
import { held } from "../drawings/figures";
import { figuresOf } from "./bid-figures";
import { otherNames, rename, reword } from "./disguise";

const sample = { system: "us", currency: "$", property: "", sample: true } as const;

let bench: Workbench;
let cells: BidCells;
let before: BidFigures;

beforeAll(async () => {
  bench = await openWorkbench();
  cells = new BidCells(bench);
  await openBid(bench, sample);
  before = (await readBid(undefined)).bid;
});

const namespace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const theirSheet = `<worksheet xmlns="${namespace}"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Zone</t></is></c><c r="B1"><v>7</v></c></row></sheetData></worksheet>`;

/** The sheets of a file behind one of somebody else, who has names like ours for the workbook and for that sheet. */
function amongOthers(bytes: Uint8Array): Uint8Array {
  const relation =
    '<Relationship Id="rIdTheirs" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/theirs.xml"/>';
  const type =
    '<Override PartName="/xl/worksheets/theirs.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>';
  const names = ["Zones_Area", "Chosen_Depth"].flatMap((name) => [
    `<definedName name="${name}">Lawns!$B$1</definedName>`,
    `<definedName name="${name}" localSheetId="0">Lawns!$A$1</definedName>`,
  ]);
  return withEdited(withParts(bytes, { "xl/worksheets/theirs.xml": theirSheet }), {
    "[Content_Types].xml": (xml) => xml.replace("</Types>", `${type}</Types>`),
    "xl/_rels/workbook.xml.rels": (xml) => xml.replace("</Relationships>", `${relation}</Relationships>`),
    "xl/workbook.xml": (xml) =>
      xml
        .replace(/localSheetId="(\d+)"/g, (_, at: string) => `localSheetId="${Number(at) + 1}"`)
        .replace(/activeTab="(\d+)"/, (_, at: string) => `activeTab="${Number(at) + 1}"`)
        .replace("<sheets>", '<sheets><sheet name="Lawns" sheetId="900" r:id="rIdTheirs"/>')
        .replace("<definedNames>", `<definedNames>${names.join("")}`),
  });
}

/** A column from its head to a line, cut out and put in before all others, where so many columns were put in for it. */
function toTheFront(first: Cell, last: Cell, putIn: number): Edit {
  const head = offset(first, { right: putIn, down: -1 });
  const foot = offset(last, { right: putIn });
  return ["move", head.sheet, `${head.address}:${foot.address}`, `A${position(head.address).row}`];
}

/** Columns of Site and of the needs cut out and put in before the first, and zones sorted by their areas. */
function cutUp(): readonly Edit[] {
  const sorted = [cells.at(zones, "name", 0), cells.at(zones, "missing", 2)].map(({ address }) => address);
  const closing = offset(cells.at(zones, "typedArea", "all"), { down: -1 });
  return [
    ["sort", "Site", sorted.join(":"), columnNumber(zones, "area") - columnNumber(zones, "name"), "up"],
    ["insert columns", "Site", 0, 1],
    toTheFront(cells.at(zones, "typedArea", 0), closing, 1),
    ["delete columns", "Site", columnNumber(zones, "typedArea"), 1],
    ["insert columns", "Quantities", 0, 2],
    toTheFront(cells.at(needs, "seed", 0), cells.at(needs, "seed", "all"), 2),
    ["insert", "Materials", 3, 2],
    ["insert", "Review", 0, 4],
  ];
}

const office = async (edits: readonly Edit[]): Promise<void> =>
  bench.importXlsx(await edited(await bench.exportXlsx(), edits));
const intoAnotherWorkbook = async (): Promise<void> =>
  bench.importXlsx(amongOthers(await bench.exportXlsx()));
const copySheets = (names: readonly string[]): Promise<void> =>
  Excel.run(async (context) => {
    for (const name of names) context.workbook.worksheets.getItem(name).copy("End");
    await context.sync();
  });

const ways: readonly (readonly [what: string, change: () => Promise<void>])[] = [
  ["moved into a workbook of somebody else", intoAnotherWorkbook],
  ["sorted and with columns cut out and put in elsewhere, in another program", () => office(cutUp())],
  ["with a copy of some of its sheets beside it", () => copySheets(["Site", "Quantities", "Review"])],
  [
    "cut up, in other words, by other names, in a workbook of somebody else",
    async () => {
      reword(bench, "us");
      await office(cutUp());
      await rename(otherNames);
      await intoAnotherWorkbook();
    },
  ],
];

/** In the order of their names, whatever order the zones were sorted into. */
function inOrder(bid: BidFigures) {
  const { site, ...others } = figuresOf(bid);
  const zones = [...site.zones].sort((one, other) => one.name.localeCompare(other.name));
  return { ...others, site: { ...site, zones } };
}

describe.each(ways)("a bid %s", (what, change) => {
  beforeEach(() =>
    openMade(bench, what, async () => {
      await openBid(bench, sample);
      await change();
    }),
  );

  test("has the same drawings", async () => {
    const site = cells.sheet("site");
    expect(inOrder((await readBid(site)).bid)).toEqual(inOrder(before));
    expect(held((await readBid(site)).bid.site).zones).toHaveLength(3);
  });

  test("carries its review over", async () => {
    cells.fill(screened, "topdress", { opened: "200", screenedOut: "50" });
    cells.fill(taken, "topdress", { taken: "3" });
    await Excel.run(async (context) => {
      context.workbook.worksheets.getItem(cells.sheet("review")).activate();
      await context.sync();
    });
    const carried = await carryReview();
    const [loss, pace] = [
      cells.at(priceBook.topdressings, "screenLoss", 0),
      cells.at(steps, "pace", "topdress"),
    ];
    // 50 of 200 opened stayed on the screen; 7,882 ft2 took the crew of two 3 hours.
    expect(carried.map(({ sheet, address, now }) => [sheet, address, Number(now.toFixed(4))])).toEqual([
      [loss.sheet, loss.address, 0.25],
      [pace.sheet, pace.address, Number((7882 / 6).toFixed(4))],
    ]);
  });

  test("has every seeded fault found", async () => {
    reviewed(cells);
    const checks = await WorkbookChecks.start(unwatched, today);
    expect(checks.findings.map(said)).toEqual([]);
    const missed: string[] = [];
    for (const fault of inBid) {
      const { seen, after } = await seed(bench, checks, fault, cells);
      if (namesOf(seen).join() !== fault.check || after.length > 0)
        missed.push([fault.what, ...seen.map(said), "after:", ...after.map(said)].join("\n"));
    }
    expect(missed).toEqual([]);
  });

  test("is handed over and comes back", async () => {
    const sheets = bench.sheetNames();
    const held = await everythingIn(bench);
    const { stopped, converted } = await handOver(sheets, unwatched);
    expect(stopped).toEqual([]);
    expect(converted).toBeGreaterThan(100);
    await bringBack(sheets, unwatched);
    expect(differences(held, await everythingIn(bench))).toEqual([]);
  });
});
