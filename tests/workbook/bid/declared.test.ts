/** What a bid's sheets are declared to hold is whole: each part is told, laid out, and known by a name that a host takes. */
import { expect, test } from "vitest";
import { unitSystems } from "../../../src/engine/units";
import { bidFigures, bidSheets, bidTables, sheetOfBid } from "../../../src/workbook/bid/bid-sheets";
import type { Declared } from "../../../src/workbook/bid/declare/declared";
import { namedIn } from "../../../src/workbook/bid/declare/declared";
import { partName } from "../../../src/workbook/bid/declare/table";
import { planBid } from "../../../src/workbook/bid/plan-bid";
import { pointsName } from "../../../src/workbook/bid/sheets/outlines";
import { propertyName } from "../../../src/workbook/bid/sheets/zones";

const parts = [
  ...bidTables.flatMap(({ id, sheet, columns }) =>
    Object.entries(columns).map(([column, declared]) => ({ sheet, name: partName(id, column), declared })),
  ),
  ...bidFigures.flatMap(({ id, sheet, figures }) =>
    Object.entries(figures).map(([figure, declared]) => ({ sheet, name: partName(id, figure), declared })),
  ),
];

test.each(parts)("$name is told in a sentence", ({ declared }: { declared: Declared }) => {
  expect(declared.says).toMatch(/^[A-Z].*\.$/);
  for (const system of unitSystems) expect(namedIn(declared, system).name).not.toMatch(/undefined/);
});

test("no two parts have one name, and each name is one that a host takes", () => {
  const names = parts.map(({ name }) => name.toLowerCase());
  expect(new Set(names).size).toBe(names.length);
  // A host takes letters, figures, points and underscores, and nothing that reads like a cell.
  for (const { name } of parts) {
    expect(name).toMatch(/^[A-Za-z_][\w.]{0,254}$/);
    expect(name).not.toMatch(/^[a-z]{1,3}\d+$|^r\d*c\d*$/i);
  }
});

test("a sheet lists the parts that say they are on it", () => {
  for (const which of bidSheets) {
    const { tables, figures } = sheetOfBid(which);
    for (const { id, sheet } of [...tables, ...figures]) expect(sheet, id).toBe(which);
  }
});

/** Cells of their own, in no table and no list of figures. */
const ownNames = [propertyName, pointsName];

test.each(unitSystems)("what a sheet is known by is declared: %s", (system) => {
  const declared = new Set([
    ...parts.map(({ name }) => name),
    ...bidTables.flatMap(({ id, rows }) => rows.map((row) => partName(id, row))),
    ...ownNames,
  ]);
  for (const plan of Object.values(planBid({ system, property: "", job: undefined })))
    expect([...plan.names.keys()].filter((name) => !declared.has(name))).toEqual([]);
});

test.each(unitSystems)("every part is laid out on its sheet: %s", (system) => {
  const plans = planBid({ system, property: "", job: undefined });
  for (const { sheet, name } of parts) expect([...plans[sheet].names.keys()], sheet).toContain(name);
  for (const { id, sheet, rows } of bidTables)
    for (const row of rows) expect([...plans[sheet].names.keys()]).toContain(partName(id, row));
});

test("each part stands where its heading or label does", () => {
  const plans = planBid({ system: "us", property: "", job: undefined });
  for (const { id, sheet, columns, across } of bidTables) {
    if (across !== undefined) continue;
    for (const [column, declared] of Object.entries<Declared>(columns)) {
      const block = plans[sheet].names.get(partName(id, column));
      const head = plans[sheet].cells.find((cell) => cell.row === block?.top && cell.column === block.left);
      const { name } = namedIn(declared, "us");
      const content = typeof head?.content === "string" ? head.content : "";
      expect(content.startsWith(name), `${id} ${column}: ${content}`).toBe(true);
    }
  }
});
