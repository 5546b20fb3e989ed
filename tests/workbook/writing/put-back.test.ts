/**
 * Somebody types over cells in the very moment that they are written, and rows and columns are put in and taken out
 * before, while and after that is put back: at every request of the writing in turn, in sheets whose cells tell by the
 * labels of their rows and columns where they belong.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { cellName } from "../../../src/workbench/host/area";
import type { Content } from "../../../src/workbook/host/content";
import type { CellChange } from "../../../src/workbook/writing/where-stands";
import { writeWhereStands } from "../../../src/workbook/writing/where-stands";
import { isHarsh, openWorkbench } from "../../support/built-workbench";
import { putInOrTakeOut } from "../../support/rows-and-columns";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const rows = [1, 2, 3, 4, 5];
const columns = [1, 2];

interface Kind {
  readonly was: (row: number, column: number) => string;
  readonly to: (row: number, column: number) => string;
  /** Each cell holds what its neighbor would hold in its place. */
  readonly isAlike?: true;
}

const kinds: Readonly<Record<string, Kind>> = {
  "numbers of their own": {
    was: (row, column) => String(row * 10 + column),
    to: (row, column) => String(row * 100 + column),
  },
  "the same number everywhere": { was: () => "7", to: () => "8", isAlike: true },
  texts: {
    was: (row, column) => `bed ${row} ${column}`,
    to: (row, column) => `${row}-${column}-2026`,
  },
  "formulas that read their row": {
    was: (row) => `=$A${row + 1}&" was"`,
    to: (row) => `=$A${row + 1}&" is"`,
    isAlike: true,
  },
  "formulas in place of numbers": {
    was: (row, column) => String(row * 10 + column),
    to: (row) => `=LEN($A${row + 1})+100`,
    isAlike: true,
  },
};

const contentOf = (text: string): Content =>
  text.startsWith("=") ? { formula: text } : /^\d+$/.test(text) ? Number(text) : text;

const shifts = [
  { name: "a row above them all", dimension: "ROW", at: 1, isIn: true },
  { name: "a row among them", dimension: "ROW", at: 3, isIn: true },
  { name: "a row above the last", dimension: "ROW", at: 5, isIn: true },
  { name: "the row above goes", dimension: "ROW", at: 2, isIn: false },
  { name: "a column before them", dimension: "COL", at: 1, isIn: true },
] as const;
type Shift = (typeof shifts)[number];

/** Every cell that holds anything, by its labels where it has both. */
function cellsNow(): ReadonlyMap<string, string> {
  const shown = (column: number, row: number): string =>
    String(bench.value("Lawns", cellName(column, row)) ?? "");
  const found = new Map<string, string>();
  for (let row = 1; row < 10; row++)
    for (let column = 1; column < 6; column++) {
      const [side, head] = [shown(0, row), shown(column, 0)];
      const isLabelled = side !== "" && head !== "";
      const value = shown(column, row);
      if (value !== "" || isLabelled)
        found.set(isLabelled ? `${side} ${head}` : `stray ${row} ${column}`, value);
    }
  return found;
}

const labelled = (row: number, column: number): string => `row ${row} column ${column}`;
type Typing = "a text" | "a formula";

/** What somebody types: a text, or a formula that reads the labels of its row and column as one is written that is filled down. */
const typings: Readonly<
  Record<Typing, (row: number, column: number) => readonly [content: string, shown: string]>
> = {
  "a text": () => ["theirs 10-18-22", "theirs 10-18-22"],
  "a formula": (row: number, column: number) => [
    `=$A${row + 1}&" "&${cellName(column, 0).replace("1", "$1")}&" theirs"`,
    `${labelled(row, column)} theirs`,
  ],
};

/** Where the cell with those labels is by now. */
function placeOf(row: number, column: number): { readonly row: number; readonly column: number } | undefined {
  const at = (length: number, label: string, name: (i: number) => string): number =>
    Array.from({ length }, (_, i) => i).find((i) => bench.value("Lawns", name(i)) === label) ?? -1;
  const found = at(12, `row ${row}`, (i) => cellName(0, i));
  return found < 0 ? undefined : { row: found, column: at(8, `column ${column}`, (i) => cellName(i, 0)) };
}

interface Tried {
  readonly kind: Kind;
  readonly typing: Typing;
  readonly typedAt: number;
  readonly typedOver: readonly [row: number, column: number];
  readonly shift: Shift;
  readonly shiftedAt: number;
}

async function lay({ was, to }: Kind): Promise<readonly CellChange[]> {
  const cells = [
    ...rows.map((row): [string, string] => [cellName(0, row), `row ${row}`]),
    ...columns.map((column): [string, string] => [cellName(column, 0), `column ${column}`]),
    ...rows.flatMap((row) =>
      columns.map((column): [string, string] => [cellName(column, row), was(row, column)]),
    ),
  ];
  bench.reset([{ name: "Lawns", cells: Object.fromEntries(cells) }]);
  await bench.calculated();
  const sheet = bench.model.getters.getSheetIdByName("Lawns") ?? "";
  return rows.flatMap((row) =>
    columns.map((column) => ({
      ...{ sheet, row, column },
      ...{ before: contentOf(was(row, column)), after: contentOf(to(row, column)) },
    })),
  );
}

async function tried({
  kind,
  typing,
  typedAt,
  typedOver,
  shift,
  shiftedAt,
}: Tried): Promise<readonly string[]> {
  const changes = await lay(kind);
  const before = cellsNow();
  const theirs = typings[typing](...typedOver)[1];
  let typed = "";
  bench.disturb({
    between: (batch) => {
      if (batch === shiftedAt) putInOrTakeOut(bench, "Lawns", { ...shift, count: 1 });
      const place = batch === typedAt ? placeOf(...typedOver) : undefined;
      if (place === undefined) return;
      const [content] = typings[typing](place.row, place.column);
      bench.setCell("Lawns", cellName(place.column, place.row), content);
      typed = labelled(...typedOver);
    },
  });
  const { left } = await Excel.run((context) => writeWhereStands(context, changes));
  bench.disturb();
  await bench.calculated();
  const [faults, lost]: [string[], string[]] = [[], []];
  const now = cellsNow();
  // What was moved before it was written is told of by the place that it had.
  const isTold = left.some(({ row, column }) => labelled(row, column) === typed);
  if (typed !== "" && typedAt <= 2 && shiftedAt > 2 && !isTold)
    faults.push(`${typed} is not told of as left`);
  const isGone = !shift.isIn && typedOver[0] === shift.at && typedAt < shiftedAt;
  if (typed !== "" && !isGone && now.get(typed) !== theirs)
    lost.push(`${typed} holds ${String(now.get(typed))}`);
  for (const [place, value] of now) {
    if (place === typed) continue;
    const [, row = 0, column = 0] = (/^row (\d) column (\d)$/.exec(place) ?? []).map(Number);
    const written = row === 0 ? "" : shownOf(kind.to(row, column), row);
    if (value !== before.get(place) && value !== written) faults.push(`${place} holds ${value}`);
  }
  // Of cells that are all alike nobody knows which one went with a row that was taken out from among them.
  const isUnknown = kind.isAlike === true && !shift.isIn && shiftedAt === 3;
  return isUnknown ? faults : [...faults, ...lost];
}

/** What a content of these kinds shows, by hand. */
function shownOf(content: string, row: number): string {
  if (!content.startsWith("=")) return content;
  return content.startsWith("=LEN") ? String(`row ${row}`.length + 100) : `row ${row} is`;
}

const middle = [3, 2] as const;
/** The harsh host works everything out anew after every request: there the middle tells enough. */
const typedOvers = isHarsh ? [middle] : ([[1, 1], middle, [5, 1]] as const);

const tries = Object.keys(kinds).flatMap((kind, i) =>
  (Object.keys(typings) as Typing[]).flatMap((typing) =>
    isHarsh && i > 0 && typing === "a formula" ? [] : [[kind, typing] as const],
  ),
);

test.each(tries)("%s, typed over with %s", async (name, typing) => {
  const faults: string[] = [];
  const kind = kinds[name] as Kind;
  for (const shift of shifts)
    for (const typedOver of typedOvers)
      for (const typedAt of [1, 2, 3])
        for (let shiftedAt = 1; shiftedAt <= 7; shiftedAt++)
          for (const fault of await tried({ kind, typing, typedAt, typedOver, shift, shiftedAt }))
            faults.push(
              `typed at ${typedAt} over ${String(typedOver)}, ${shift.name} at ${shiftedAt}: ${fault}`,
            );
  expect(faults).toEqual([]);
});
