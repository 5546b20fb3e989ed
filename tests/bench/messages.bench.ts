/**
 * 10,000 and 50,000 calls on one sheet: the largest request and answer of each piece of work, the longest stretch of the
 * add-in's own without giving way, and how long a stop in the middle of the work takes to be heard. Printed as figures,
 * in time of the processor where the system tells it.
 */
import { bench, describe } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { writeBid } from "../../src/workbook/bid/write-bid";
import { putOnSheet } from "../../src/workbook/checks/list-sheet";
import { WorkbookChecks } from "../../src/workbook/checks/run-checks";
import { rewriteFile } from "../../src/workbook/handover/file/rewrite-file";
import { readerFile } from "../../src/workbook/handover/reader/reader-file";
import { bringBack } from "../../src/workbook/handover/bring-back";
import { editsSinceHandOver } from "../../src/workbook/handover/sheet-states";
import { handOver } from "../../src/workbook/handover/hand-over";
import { listCalls } from "../../src/workbook/own-sheets/list-calls";
import type { Progress } from "../../src/workbook/host/progress";
import { Stopped } from "../../src/workbook/host/progress";
import { putInSelectedCell } from "../../src/workbook/own-sheets/put";
import { repairCalls } from "../../src/workbook/own-sheets/repair";
import { openWorkbench, unwatched } from "../support/built-workbench";
import { withEdited } from "../support/file-parts";
import { plainWorkbook } from "../support/libreoffice";
import { zonesOfCalls, zonesWithoutCalls } from "../support/many-calls";
import { processorTime } from "../support/processor-time";
import { addAll } from "../workbook/own-sheets/add-all";

let workbench: Workbench | undefined;
/** A benchmark runs its work several times, of which one is enough for figures. */
const told = new Set<number>();

interface Work {
  readonly name: string;
  readonly content?: (calls: number) => Record<string, string>;
  readonly before?: (open: Workbench) => Promise<unknown>;
  readonly work: (progress: Progress, open: Workbench) => Promise<unknown>;
}

const zones = ["Zones"];
const handedOver = () => handOver(zones, unwatched);
const stored = (calls: number) =>
  Object.fromEntries(
    Object.entries(zonesOfCalls(calls)).map(([at, text]) => [at, text.replace("=SWARD.", "=_xldudf_SWARD_")]),
  );
const asTable = async (open: Workbench) => {
  await Excel.run(async (context) => {
    const sheet = context.workbook.worksheets.getItem("Zones");
    sheet.tables.add(sheet.getUsedRange(), true);
    await context.sync();
  });
  open.setCell("Zones", "D3", "");
  open.select("Zones", "D3");
};
let checks: WorkbookChecks;
let file: Uint8Array = new Uint8Array();

const works: readonly Work[] = [
  { name: "checks", work: (progress) => WorkbookChecks.start(progress) },
  {
    name: "check after an edit that every call reads",
    content: (calls) => ({
      D1: "7",
      ...Object.fromEntries(
        Array.from({ length: calls }, (_, i) => [
          [`A${i + 1}`, `${1000 + i}`],
          [`B${i + 1}`, `=SWARD.SEED_WEIGHT(A${i + 1},$D$1)`],
        ]).flat() as [string, string][],
      ),
    }),
    before: async (open) => {
      checks = await WorkbookChecks.start(unwatched);
      open.setCell("Zones", "D1", "70");
    },
    work: (progress) => checks.recheck([{ sheet: "Zones", top: 0, bottom: 0, left: 3, right: 3 }], progress),
  },
  {
    name: "list of findings",
    work: async (progress) => {
      const { findings } = await WorkbookChecks.start(progress);
      await putOnSheet(findings, [], 46_251);
    },
  },
  { name: "list of calls", work: (progress) => listCalls(progress) },
  {
    name: "columns beside a table",
    content: zonesWithoutCalls,
    work: (progress, open) => addAll(open, "Zones", "A1", progress),
  },
  { name: "repair", content: stored, work: (progress) => repairCalls(progress) },
  {
    name: "a formula put into a long table",
    before: asTable,
    work: (progress) => putInSelectedCell("=SWARD.SEED_WEIGHT(B3,C3)", progress),
  },
  { name: "hand-over", work: (progress) => handOver(zones, progress) },
  { name: "what was changed since", before: handedOver, work: (progress) => editsSinceHandOver(progress) },
  { name: "return", before: handedOver, work: (progress) => bringBack(zones, progress) },
  { name: "file handed over", work: (progress) => rewriteFile(file, { mode: "native formulas" }, progress) },
  {
    name: "file for one reader",
    work: (progress) =>
      readerFile(file, { pages: [{ sheet: "Zones" }], holds: "formulas", drawings: [] }, progress),
  },
];

const bid: Work = {
  name: "sample bid written",
  work: (progress) => writeBid({ system: "us", currency: "$", property: "", sample: true }, progress),
};

/** What a host would have saved of such a sheet. */
const fileOf = (calls: number): Uint8Array => {
  const cells = Object.entries(stored(calls)).map(([address, content]) => ({
    sheet: "Zones",
    address,
    content: content.startsWith("=") || !/^\d+$/.test(content) ? content : Number(content),
  }));
  return withEdited(plainWorkbook(cells), {
    "xl/sheet1.xml": (xml) => xml.replaceAll("</f></c>", "</f><v>7</v></c>"),
  });
};

async function prepared(open: Workbench, { content = zonesOfCalls, before }: Work, calls: number) {
  open.reset([{ name: "Zones" }]);
  if (calls > 0) open.setCells("Zones", content(calls));
  await before?.(open);
  Object.assign(open.traffic, { request: 0, response: 0 });
}

/** How long after a stop, pressed when so much time has passed, the work asks for it, in milliseconds. */
async function heardAfter(open: Workbench, { work }: Work, time: number): Promise<number | undefined> {
  let [pressed, heard]: [number | undefined, number | undefined] = [undefined, undefined];
  setTimeout(() => (pressed = processorTime()), time);
  const progress: Progress = {
    report: () => undefined,
    get stopped() {
      if (pressed !== undefined) heard ??= processorTime() - pressed;
      return pressed !== undefined;
    },
  };
  const outcome = await work(progress, open).catch((error: unknown) => error);
  return outcome instanceof Stopped ? heard : undefined;
}

async function figuresOf(open: Workbench, one: Work, calls: number): Promise<void> {
  await prepared(open, one, calls);
  open.stretches.clock = processorTime;
  open.stretches.start();
  const begun = performance.now();
  await one.work(unwatched, open);
  const time = performance.now() - begun;
  const { longest } = open.stretches;
  open.stretches.stop();
  const { request, response } = open.traffic;
  await prepared(open, one, calls);
  const heard = await heardAfter(open, one, time / 2);
  const mb = (bytes: number) => `${(bytes / 1e6).toFixed(2)} MB`;
  console.log(
    `${calls === 0 ? "" : `${calls} calls, `}${one.name}: largest request ${mb(request)}, largest answer ${mb(response)}, ` +
      `longest stretch ${longest.toFixed(0)} ms of ${time.toFixed(0)} ms, ` +
      (heard === undefined ? "done before a stop" : `a stop heard after ${heard.toFixed(0)} ms`),
  );
}

async function measured(calls: number): Promise<void> {
  if (told.has(calls)) return;
  told.add(calls);
  workbench ??= await openWorkbench();
  if (calls > 0) file = fileOf(calls);
  for (const one of calls > 0 ? works : [bid]) await figuresOf(workbench, one, calls);
}

describe("large workbooks", () => {
  for (const calls of [0, 10_000, 50_000]) {
    bench(calls === 0 ? "a bid" : `${calls} calls`, () => measured(calls), {
      iterations: 1,
      warmupIterations: 0,
      time: 0,
      warmupTime: 0,
    });
  }
});
