/**
 * Nothing that a person or a file can bring holds the pane up. Here a share of such texts with every path over them:
 * each answers, or refuses with a sentence. `FREEZING_RUNS=200000` tries so many, the files as large as they may be, says
 * which took longest, and holds each to a second and to 200 MB.
 */
import { describe, expect, test } from "vitest";
import { attempt } from "../../../src/workbook/formulas/attempt";
import { callsIn, mayHoldCalls } from "../../../src/workbook/formulas/calls";
import { rewriteNatively } from "../../../src/workbook/formulas/rewrite-calls";
import { Shapes } from "../../../src/workbook/checks/shapes";
import { evaluate } from "../../../src/workbook/formulas/evaluate";
import { beyondLimits, noCellHolds, tooMuch } from "../../../src/workbook/formulas/formula-limits";
import { carried, mentionsCarrier, readCarrier } from "../../../src/workbook/handover/carrier";
import { Knowledge } from "../../../src/workbook/formulas/knowledge";
import { looseNative, rooms } from "../../../src/workbook/handover/loose-native";
import { planNative } from "../../../src/workbook/handover/plan";
import { readingOutlines } from "../../../src/workbook/outlines/read-outlines";
import { candidatesFor, conceptOf, contradicted, readHeading } from "../../../src/workbook/tables/headings";
import { layingOut } from "../../../src/workbook/tables/layout";
import { isUnit, unitSpelled } from "../../../src/workbook/tables/units";
import type { Pieces } from "../../../src/workbook/host/progress";
import { atOnce } from "../../../src/workbook/host/progress";
import type { SheetCells } from "../../../src/workbook/host/sheets";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { drawn, strangeFormula, strangeHeading, strangeMapFiles } from "../../support/strange-texts";
import { readOutlines } from "../outlines/support";

const asked = Number(process.env.FREEZING_RUNS ?? 0);
const isLong = asked > 0;

/** So many texts take their time; of a few it is known how long they may take. */
const longest = isLong ? { timeout: 3_600_000 } : {};

/** Milliseconds for the whole of a work, and for what it does before it gives way. */
const mostTaken = { whole: 1000, piece: 200 };

interface Taken {
  readonly what: string;
  readonly part: keyof typeof mostTaken;
  readonly milliseconds: number;
  readonly megabytes: number;
}

/** What is worth a word of all that was done. */
const taken: Taken[] = [];

/** Does the work and remembers what it took, of the processor and of memory that was not given back in between. */
function measured<T>(what: string, work: () => T, part: keyof typeof mostTaken = "whole"): T {
  const [cpu, memory] = [process.cpuUsage(), process.memoryUsage.rss()];
  const done = work();
  const { user, system } = process.cpuUsage(cpu);
  const milliseconds = (user + system) / 1000;
  const megabytes = Math.max(0, process.memoryUsage.rss() - memory) / 1e6;
  if (milliseconds > 20 || megabytes > 50) taken.push({ what, part, milliseconds, megabytes });
  return done;
}

function measuredPieces(what: string, work: Pieces<unknown>): void {
  for (let done = false; !done;)
    done = measured(`a piece of ${what}`, () => work.next().done === true, "piece");
}

/** What the work throws that is no sentence for a person; nothing where it answers. */
function faultOf(work: () => unknown): string | undefined {
  try {
    attempt(work);
    return undefined;
  } catch (error) {
    if (error instanceof WorkbookTrouble) return undefined;
    return error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  }
}

/** Faults, each with the start of the text that brings it about. */
class Faults {
  readonly found: string[] = [];
  of(what: string, text: string, works: Readonly<Record<string, () => unknown>>): void {
    for (const [name, work] of Object.entries(works)) {
      measured(`${what}, ${name}: ${text.length} characters, ${JSON.stringify(text.slice(0, 60))}`, () => {
        const fault = faultOf(work);
        if (fault !== undefined) this.found.push(`${name} of ${text.slice(0, 200)}: ${fault.slice(0, 200)}`);
      });
    }
  }
}

const rows = 400;
const sheet = (formula: string): SheetCells => ({
  name: "Sheet1",
  top: 0,
  left: 0,
  width: 3,
  rows: Array.from({ length: rows }, (_row, i) => [
    { formula: String(i + 1), value: i + 1 },
    { formula: i % 2 === 0 ? "7" : "=A1", value: 7 },
    i === 0 ? { formula, value: 1 } : { formula: "", value: null },
  ]),
});

/** A table with a text among its headings and in a row of it. */
const filledIn = (text: string) =>
  [
    ["Zone", "Area", text],
    ["North", "900", "7"],
    ["South", text, "7"],
  ].flatMap((cells, row) =>
    cells.map(
      (formula, column) =>
        [
          { row, column },
          { formula, value: formula },
        ] as const,
    ),
  );

const lookup = (): number => 7;

const formulaWorks = (formula: string): Record<string, () => unknown> => {
  const one = sheet(formula);
  const knowledge = new Knowledge([one]);
  const surroundings = knowledge.from("Sheet1");
  return {
    "finding its calls": () => (mayHoldCalls(formula) ? callsIn(formula) : []),
    "its native form": () => tooMuch(formula) ?? rewriteNatively(formula, surroundings),
    "its arguments": () => {
      for (const { given } of callsIn(formula).slice(0, 5))
        for (const text of given.slice(0, 5)) attempt(() => evaluate(text, lookup));
    },
    "planning its hand-over": () => [planNative(one, knowledge), planNative(one, knowledge, false)],
    "its loose form": () => looseNative(formula, rooms.cell, true),
    "its limits": () => beyondLimits(formula),
    // What no cell holds is never handed over.
    "its carrier": () => (
      mentionsCarrier(formula),
      readCarrier(noCellHolds(formula) ? formula : carried(formula, "=1", () => true))
    ),
    "what it might carry": () => readCarrier(`=CHOOSE(1,${formula.slice(1)})`),
    "its row laid out": () => atOnce(layingOut({ filled: () => filledIn(formula) })),
    "its shape": () => new Shapes().of(formula, { row: 0, column: 2 }),
  };
};

const headingWorks = (text: string): Record<string, () => unknown> => ({
  "as a heading": () => candidatesFor(readHeading(text)),
  "with a unit below": () => contradicted(readHeading("Area", text)),
  "as a unit": () => unitSpelled(text),
  "over a column": () => atOnce(layingOut({ filled: () => filledIn(text) })),
  "as a label": () => [conceptOf(text), isUnit(text)],
});

describe("texts as nobody writes them are answered, or refused with a sentence", longest, () => {
  test("formulas", () => {
    const faults = new Faults();
    const draw = drawn(8192);
    for (let i = 0; i < (isLong ? asked : 60); i++) {
      const formula = strangeFormula(draw, i % 10 === 0 ? 32_767 : 8192);
      faults.of("a formula", formula, formulaWorks(formula));
    }
    expect(faults.found.slice(0, 10)).toEqual([]);
  });

  test("headings", () => {
    const faults = new Faults();
    const draw = drawn(255);
    for (let i = 0; i < (isLong ? asked : 600); i++) {
      const text = strangeHeading(draw, i % 3 === 0 ? 32_767 : 300);
      faults.of("a heading", text, headingWorks(text));
    }
    expect(faults.found.slice(0, 10)).toEqual([]);
  });

  test.each(Object.entries(strangeMapFiles))("map files: %s", (name, make) => {
    const faults = new Faults();
    const draw = drawn(20);
    const sizes = isLong ? [1_000, 100_000, 4_000_000, 10_000_000] : [1_000, 200_000];
    for (const most of sizes) {
      const text = make(draw, most);
      faults.of(`a map file, ${name}`, text, { "its outlines": () => readOutlines("Site", text) });
      if (isLong) faultOf(() => measuredPieces(name, readingOutlines("Site", text)));
    }
    expect(faults.found).toEqual([]);
  });

  test.runIf(isLong)(
    "none of them took a second, or 200 MB, and none a fifth of a second in one piece",
    () => {
      const told = ({ what, milliseconds, megabytes }: Taken) =>
        `${milliseconds.toFixed(0)} ms, ${megabytes.toFixed(0)} MB: ${what}`;
      const slowest = [...taken].sort((a, b) => b.milliseconds - a.milliseconds);
      const largest = [...taken].sort((a, b) => b.megabytes - a.megabytes);
      console.log([...slowest.slice(0, 10), ...largest.slice(0, 10)].map(told).join("\n"));
      const over = taken.filter(
        ({ part, milliseconds, megabytes }) => milliseconds > mostTaken[part] || megabytes > 200,
      );
      expect(over.map(told)).toEqual([]);
    },
  );
});
