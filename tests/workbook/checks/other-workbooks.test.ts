/** The checks over two workbooks of other people, with our functions beside their tables: nothing but what is there. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { metricWorkbook, usWorkbook } from "../../support/other-workbooks";
import { addAll } from "../own-sheets/add-all";

/** 17 August 2026, as a sheet counts days. */
const today = 46_251;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const workbooks = [
  {
    name: "a metric workbook",
    build: metricWorkbook,
    tables: [
      ["Rasen", "C5"],
      ["Rasen", "B15"],
      ["Kosten", "B4"],
    ],
    // The zone that is called not measured yet.
    true: ["blank area: Rasen C10"],
  },
  {
    name: "a US workbook",
    build: usWorkbook,
    tables: [
      ["Take-off", "B7"],
      ["Buying", "C7"],
      ["Buying", "D15"],
    ],
    true: [],
  },
] as const;

test.each(workbooks)("$name gives no false alarm", async ({ name, build, tables, true: real }) => {
  await bench.importXlsx(build());
  for (const [sheet, at] of tables) await addAll(bench, sheet, at);
  const { findings } = await WorkbookChecks.start(unwatched, today);
  const places = [
    ...new Set(findings.map(({ check, sheet, address }) => `${check.id}: ${sheet} ${address}`)),
  ];
  const falseAlarms = places.filter((place) => !(real as readonly string[]).includes(place));
  console.log(`${name}: ${findings.length} findings, ${falseAlarms.length} false alarms`);
  expect(places, findings.map(({ sentence }) => sentence).join("\n")).toEqual(real);
});
