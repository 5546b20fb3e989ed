/**
 * What an office does to a handed-over workbook, and what then comes back: for every cell that is still there, the
 * original with its references where the edit put them, worked out here by moving each of them by hand.
 */
import { tokenize } from "@borgar/fx";
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { mayHoldCalls } from "../../../src/workbook/formulas/calls";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Edit } from "../../support/libreoffice";
import { edited } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const letters = (column: number): string =>
  column < 26
    ? String.fromCharCode(65 + column)
    : letters(Math.floor(column / 26) - 1) + String.fromCharCode(65 + (column % 26));
const numberOf = (column: string): number =>
  [...column].reduce((number, letter) => number * 26 + letter.charCodeAt(0) - 64, 0) - 1;

/** Every call of ours in the workbook, by place. */
const calls = (sheets: readonly string[]): Map<string, string> =>
  new Map(
    sheets.flatMap((sheet) =>
      Array.from({ length: 90 }, (_, row) => row + 1).flatMap((row) =>
        Array.from({ length: 40 }, (_, column) => `${letters(column)}${row}`).flatMap((cell) => {
          const formula = bench.formula(sheet, cell);
          return formula !== null && mayHoldCalls(formula) ? [[`${sheet}!${cell}`, formula] as const] : [];
        }),
      ),
    ),
  );

/** Where a row and a column of a sheet are after an edit; undefined where it is gone. */
interface Move {
  readonly row: (row: number, sheet: string) => number | undefined;
  readonly column: (column: number, sheet: string) => number | undefined;
  readonly sheet: (sheet: string) => string;
}

const stays: Move = { row: (row) => row, column: (column) => column, sheet: (sheet) => sheet };

/** A corner of a range may be the one that goes: the range then ends at the next that is left. */
function movedReference(text: string, home: string, move: Move): string {
  const [, sheetText = "", corners = ""] = /^((?:'(?:[^']|'')*'|[^'!]+)!)?(.*)$/.exec(text) ?? [];
  const named = sheetText.replace(/!$/, "").replace(/^'|'$/g, "");
  const sheet = named === "" ? home : named;
  const parts = corners.split(":").map((corner) => /^(\$?)([A-Z]*)(\$?)(\d*)$/.exec(corner));
  const nearest = (to: (at: number) => number | undefined, at: number, step: number): number | undefined => {
    for (let near = at; near >= 0 && Math.abs(near - at) < 100; near += step) {
      const now = to(near);
      if (now !== undefined) return now;
    }
    return undefined;
  };
  const moved = parts.map((part, i) => {
    if (part === null) return undefined;
    const [, lockColumn = "", column = "", lockRow = "", row = ""] = part;
    const step = parts.length === 1 ? 200 : i === 0 ? 1 : -1;
    const newColumn =
      column === "" ? undefined : nearest((at) => move.column(at, sheet), numberOf(column), step);
    const newRow = row === "" ? undefined : nearest((at) => move.row(at, sheet), Number(row) - 1, step);
    if ((column !== "" && newColumn === undefined) || (row !== "" && newRow === undefined)) return undefined;
    return (
      (column === "" ? "" : lockColumn + letters(newColumn ?? 0)) +
      (row === "" ? "" : `${lockRow}${(newRow ?? 0) + 1}`)
    );
  });
  if (moved.some((one) => one === undefined)) return "#REF!";
  const name = move.sheet(sheet);
  const quoted = /^\w+$/.test(name) ? name : `'${name}'`;
  return (named === "" ? "" : `${quoted}!`) + moved.join(":");
}

const movedFormula = (formula: string, home: string, move: Move): string =>
  tokenize(formula)
    .map(({ type, value }) =>
      type === "range" || type === "range_beam" ? movedReference(value, home, move) : value,
    )
    .join("");

function moved(before: ReadonlyMap<string, string>, move: Move): Map<string, string> {
  return new Map(
    [...before].flatMap(([place, formula]) => {
      const [sheet = "", cell = ""] = place.split("!");
      const [, column = "", row = ""] = /^([A-Z]+)(\d+)$/.exec(cell) ?? [];
      const [newRow, newColumn] = [move.row(Number(row) - 1, sheet), move.column(numberOf(column), sheet)];
      if (newRow === undefined || newColumn === undefined) return [];
      return [
        [`${move.sheet(sheet)}!${letters(newColumn)}${newRow + 1}`, movedFormula(formula, sheet, move)],
      ] as const;
    }),
  );
}

/** Programs name a reference whose cells are gone each in its own way. */
const plain = (formulas: ReadonlyMap<string, string>): Record<string, string> =>
  Object.fromEntries(
    [...formulas].map(([place, formula]) => [place, formula.replace(/(?:'[^']*'|\w+)!#REF!/g, "#REF!")]),
  );

const from = (first: number, count: number, only?: string) => (at: number, sheet: string) =>
  only !== undefined && sheet !== only ? at : at < first ? at : at < first + count ? undefined : at - count;
const pushed = (first: number, count: number, only?: string) => (at: number, sheet: string) =>
  (only !== undefined && sheet !== only) || at < first ? at : at + count;

const sample = {
  system: "us",
  currency: "$",
  property: "Larkfield House, 14 Quarry Lane",
  sample: true,
} as const;

interface Case {
  readonly what: string;
  readonly edits: (sheets: readonly string[]) => readonly Edit[];
  readonly move: Move;
}

const each =
  (make: (sheet: string) => Edit) =>
  (sheets: readonly string[]): readonly Edit[] =>
    sheets.map(make);

const cases: readonly Case[] = [
  {
    what: "the title row of every sheet deleted",
    edits: each((sheet) => ["delete", sheet, 0, 1]),
    move: { ...stays, row: from(0, 1) },
  },
  {
    what: "column A of every sheet deleted",
    edits: each((sheet) => ["delete columns", sheet, 0, 1]),
    move: { ...stays, column: from(0, 1) },
  },
  {
    what: "rows put in among the zones, a column before everything, and every sheet renamed",
    edits: (sheets) => [
      ["insert", "Site", 8, 3],
      ...sheets.map((sheet): Edit => ["insert columns", sheet, 0, 1]),
      ...sheets.map((sheet): Edit => ["rename", sheet, `${sheet} of 2026`]),
    ],
    move: {
      row: pushed(8, 3, "Site"),
      column: pushed(0, 1),
      sheet: (sheet) => `${sheet} of 2026`,
    },
  },
];

describe("the sample bid in an office", () => {
  let [sheets, before, handed]: [readonly string[], ReadonlyMap<string, string>, Uint8Array] = [
    [],
    new Map(),
    new Uint8Array(),
  ];
  beforeAll(async () => {
    bench.reset();
    ({ sheets } = await writeBid(sample, unwatched));
    before = calls(sheets);
    expect((await handOver(sheets, unwatched)).putBack).toEqual([]);
    expect(calls(sheets).size).toBe(0);
    handed = await bench.exportXlsx();
  });

  test.each(cases)("$what: every call that is still there comes back", async ({ edits, move }) => {
    const expected = moved(before, move);
    expect(expected.size).toBeGreaterThan(200);
    await bench.importXlsx(await edited(handed, edits(sheets)));
    const now = sheets.map((sheet) => move.sheet(sheet));
    const report = await bringBack(now, unwatched);
    expect(report).toMatchObject({ changed: [], foreign: [] });
    expect(plain(calls(now))).toEqual(plain(expected));
    expect(bench.sheetNames().filter((name) => name.startsWith("Handed over"))).toEqual([]);
  });
});

describe("a list of zones in an office", () => {
  const zones = {
    A1: "Front",
    B1: "3160",
    C1: "7",
    D1: "=SWARD.SEED_WEIGHT(B1,C1)",
    A2: "Back",
    B2: "4200",
    C2: "4",
    D2: "=SWARD.SEED_WEIGHT(B2,C2)",
    A3: "Side",
    B3: "900",
    C3: "5",
    D3: "=SWARD.SEED_WEIGHT(B3,C3)",
    D5: "=SWARD.PACKS(SUM(D1:D3),25)",
    D6: "=SWARD.PACKS(SUM($B$1:$B$3)/1000,C$1)",
  };
  const formulas = (...cells: string[]) => cells.map((cell) => bench.formula("Sheet1", cell));
  const officed = async (...edits: Edit[]) => {
    bench.setCells("Sheet1", zones);
    await handOver(["Sheet1"], unwatched);
    await bench.importXlsx(await edited(await bench.exportXlsx(), edits));
    return bringBack(["Sheet1"], unwatched);
  };

  test("sorted by area: every row has its own call", async () => {
    expect(await officed(["sort", "Sheet1", "A1:D3", 1, "up"])).toMatchObject({ restored: 5, changed: [] });
    expect([1, 2, 3].map((row) => bench.value("Sheet1", `A${row}`))).toEqual(["Side", "Front", "Back"]);
    expect(formulas("D1", "D2", "D3", "D5")).toEqual([
      "=SWARD.SEED_WEIGHT(B1,C1)",
      "=SWARD.SEED_WEIGHT(B2,C2)",
      "=SWARD.SEED_WEIGHT(B3,C3)",
      "=SWARD.PACKS(SUM(D1:D3),25)",
    ]);
    expect(bench.value("Sheet1", "D3")).toBeCloseTo(4.2 * 4, 9);
  });

  test("the last row of a range deleted: the range ends before it", async () => {
    expect(await officed(["delete", "Sheet1", 2, 1])).toMatchObject({
      restored: 4,
      changed: [],
      foreign: [],
    });
    expect(formulas("D4", "D5")).toEqual([
      "=SWARD.PACKS(SUM(D1:D2),25)",
      "=SWARD.PACKS(SUM($B$1:$B$2)/1000,C$1)",
    ]);
  });

  test("a row copied down, where one more zone was wanted, has a call of its own", async () => {
    const report = await officed(
      ["insert", "Sheet1", 2, 1],
      ["copy", "Sheet1", "A2:D2", "A3"],
      ["set", "Sheet1", "B3", "2000"],
    );
    expect(report).toMatchObject({ restored: 6, changed: [], foreign: [] });
    expect(formulas("D3", "D4", "D6")).toEqual([
      "=SWARD.SEED_WEIGHT(B3,C3)",
      "=SWARD.SEED_WEIGHT(B4,C4)",
      "=SWARD.PACKS(SUM(D1:D4),25)",
    ]);
    expect(bench.value("Sheet1", "D3")).toBeCloseTo(2 * 4, 9);
  });

  test("inputs cut and pasted elsewhere: the calls read them there", async () => {
    const report = await officed(["move", "Sheet1", "B1:C3", "G11"]);
    expect(report).toMatchObject({ restored: 5, changed: [], foreign: [] });
    expect(formulas("D1", "D6")).toEqual([
      "=SWARD.SEED_WEIGHT(G11,H11)",
      "=SWARD.PACKS(SUM($G$11:$G$13)/1000,H$11)",
    ]);
  });

  test("the column of an input deleted: the call comes back and says that it is lost", async () => {
    const report = await officed(["delete columns", "Sheet1", 2, 1]);
    expect(report).toMatchObject({ restored: 5, changed: [], foreign: [] });
    expect(formulas("C1", "C5")).toEqual(["=SWARD.SEED_WEIGHT(B1,#REF!)", "=SWARD.PACKS(SUM(C1:C3),25)"]);
  });

  test("an input that became a formula, and blanks and quotes put in by hand, are no edit of the native form", async () => {
    bench.setCells("Sheet1", zones);
    await handOver(["Sheet1"], unwatched);
    bench.setCell("Sheet1", "C1", "=3+4");
    const spread = (bench.formula("Sheet1", "D1") ?? "")
      .replace("CHOOSE(1,", "choose( 1 , ")
      .replace("B1*C1", " b1 * C1 ");
    bench.setCell("Sheet1", "D1", spread);
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 5, changed: [], foreign: [] });
    expect(formulas("D1")).toEqual(["=SWARD.SEED_WEIGHT(B1,C1)"]);
  });
});

describe("a cell that someone forged", () => {
  test.each([
    ["a function that reaches out", '=CHOOSE(1,5,"=SWARD.EDITION(WEBSERVICE(""x""))")'],
    ["a sum beside the native form", '=CHOOSE(1,A1/2,"=SWARD.PACKS({1},2)",A1)'],
    [
      "another cell than the native form reads",
      '=CHOOSE(1,ROUNDUP(ROUND(A2/2,9),0),"=SWARD.PACKS({1},2)",A1)',
    ],
    ["a reference in the text", '=CHOOSE(1,5,"=SWARD.PACKS(A1,2)")'],
    ["a formula as an argument", '=CHOOSE(1,5,"=SWARD.PACKS({1},2)",HYPERLINK("x"))'],
    ["a spill without its first cell", '=CHOOSE(1,5,"filled from {1}",A1)'],
    ["calls without end", `=CHOOSE(1,5,"=${"SWARD.PACKS(".repeat(15)}{1}","${",2)".repeat(15)}",A1)`],
  ])("%s is listed and left, and stops nothing else", async (_, forged) => {
    bench.setCells("Sheet1", { A1: "7", A2: "9", B1: "=SWARD.PACKS(A1,2)" });
    await handOver(["Sheet1"], unwatched);
    bench.setCell("Sheet1", "B2", forged);
    const before = bench.formula("Sheet1", "B2");
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report.restored).toBe(1);
    expect([...report.changed, ...report.foreign].map(({ address }) => address)).toEqual(["B2"]);
    expect(bench.formula("Sheet1", "B1")).toBe("=SWARD.PACKS(A1,2)");
    expect(bench.formula("Sheet1", "B2")).toBe(before);
  });
});
