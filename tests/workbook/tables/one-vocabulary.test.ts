/**
 * One vocabulary: a table that "Your sheets" writes formulas beside is one that the checks read, its rows and what each
 * column is about.
 */
import { describe, expect, test } from "vitest";
import type { UnitSystem } from "../../../src/engine/units";
import { Survey } from "../../../src/workbook/checks/survey";
import type { Scalar } from "../../../src/workbook/host/cell-values";
import { understand } from "../../../src/workbook/own-sheets/understand";
import type { Concept, Meaning } from "../../../src/workbook/tables/concepts";
import { dimensionsOf, isText, meaningNamed, meanings } from "../../../src/workbook/tables/concepts";
import { isTaken } from "../../../src/workbook/tables/feeds";
import type { Table } from "../../../src/workbook/tables/layout";
import { unitSpelled, unitsOf } from "../../../src/workbook/tables/units";
import { foundAt, sheetOf } from "../own-sheets/tables";

type Rows = readonly (readonly Scalar[])[];

async function checksRead(rows: Rows): Promise<readonly Table[]> {
  const survey = await Survey.of([sheetOf(rows)], () => Promise.resolve());
  return survey.sheets[0]?.layout.tables ?? [];
}

/** As functions take it: seed is a need, and packs are bags. */
const asTaken = (concept: Concept | undefined): Concept | undefined =>
  concept === undefined ? undefined : (meaningNamed(concept)?.isA ?? concept);

/** A unit that people write for a meaning, spelled as the engine spells it. */
function unitFor(meaning: Meaning, system: UnitSystem): string {
  const fits = dimensionsOf(meaning).flatMap(unitsOf);
  const own = fits.find((unit) => unit.system === system && unitSpelled(unit.name) !== undefined);
  const [share] = dimensionsOf(meaning);
  return own?.name ?? (share === "share" ? "%" : share === "money" ? "$" : "");
}

/** Another column, with a unit that is the same in one system throughout. */
const beside = ({ id }: Meaning): string => (id === "swath" ? "Perimeter" : "Swath");

const filled = (meaning: Meaning, row: number): readonly Scalar[] => [
  `Plot ${row}`,
  3,
  isText(meaning) ? `kind ${row}` : 4 + row,
  null,
];

interface Kind {
  readonly name: string;
  /** The unit system of the unit that is stated, if one is. */
  readonly states?: UnitSystem;
  readonly make: (word: string, meaning: Meaning) => Rows;
  /** Rows of figures, counted from 0. */
  readonly rows: readonly number[];
}

const bracketed = (word: string, unit: string): string => (unit === "" ? word : `${word} (${unit})`);

const kinds: readonly Kind[] = [
  {
    name: "in US units, in brackets, with a row of totals",
    states: "us",
    make: (word, meaning) => [
      ["Zone", beside(meaning), bracketed(word, unitFor(meaning, "us")), "Notes"],
      filled(meaning, 1),
      filled(meaning, 2),
      ["Total", null, isText(meaning) ? null : "=SUM(C2:C3)", null],
    ],
    rows: [1, 2],
  },
  {
    name: "in metric units, after a comma, under a title, with a sum that has no name",
    states: "metric",
    make: (word, meaning) => {
      const unit = unitFor(meaning, "metric");
      return [
        ["Larkfield House, lawns"],
        [],
        ["Zone", beside(meaning), unit === "" ? word : `${word}, ${unit}`, "Notes"],
        filled(meaning, 1),
        filled(meaning, 2),
        filled(meaning, 3),
        [null, "=SUM(B4:B6)", null, null],
      ];
    },
    rows: [3, 4, 5],
  },
  {
    name: "without units",
    make: (word, meaning) => [
      ["Zone", beside(meaning), word, "Notes"],
      filled(meaning, 1),
      filled(meaning, 2),
    ],
    rows: [1, 2],
  },
  {
    name: "with a row of units under the headings, and an empty row among the others",
    states: "us",
    make: (word, meaning) => [
      ["Zone", beside(meaning), word.toUpperCase(), "Notes"],
      [null, "ft", unitFor(meaning, "us"), null],
      filled(meaning, 1),
      [],
      filled(meaning, 2),
      [],
      ["All zones", "=SUM(B3:B5)", null, null],
    ],
    rows: [2, 4],
  },
];

const words = meanings.flatMap((meaning) =>
  isTaken(meaning) || meaning.isA !== undefined ? meaning.words.map((word) => [word, meaning] as const) : [],
);

describe.each(kinds)("a table $name", ({ states, make, rows: wanted }) => {
  test.each(words)("%s", async (word, meaning) => {
    const rows = make(word, meaning);
    const own = foundAt(sheetOf(rows), `A${(wanted[0] ?? 0) + 1}`);
    const taken = understand(own).columns.map((one) => one.meaning?.id);
    const [table, ...others] = await checksRead(rows);

    expect(others).toEqual([]);
    expect(own.rows).toEqual(wanted);
    expect([table?.head, table?.first, table?.last]).toEqual([
      own.headingRow,
      wanted[0],
      wanted[wanted.length - 1],
    ]);
    expect(taken[2]).toBeDefined();
    // Zones are no argument of a function, and so nothing in "Your sheets".
    const read = table?.columns.map(({ concept }) => asTaken(concept));
    expect(read).toEqual(["zone", ...taken.slice(1)]);
    const unit = states === undefined ? "" : unitFor(meaning, states);
    expect(table?.columns[2]?.unit?.name).toBe(unitSpelled(unit)?.name);
  });
});
