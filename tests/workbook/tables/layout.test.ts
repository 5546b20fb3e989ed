/** What is read as a table, what as a figure beside its label, on sheets of several invented estimators. */
import { describe, expect, test } from "vitest";
import type { Scalar } from "../../../src/workbook/host/cell-values";
import { atOnce } from "../../../src/workbook/host/progress";
import type { Layout } from "../../../src/workbook/tables/layout";
import { layingOut } from "../../../src/workbook/tables/layout";
import { foundAt, sheetOf } from "../own-sheets/tables";

function layoutOf(...rows: readonly (readonly Scalar[])[]): Layout {
  const filled = sheetOf(rows).rows.flatMap((cells, row) =>
    cells.flatMap((cell, column) => (cell.formula === "" ? [] : [[{ row, column }, cell] as const])),
  );
  return atOnce(layingOut({ filled: () => filled }));
}

const tablesOf = ({ tables }: Layout) => tables.map(({ head, first, last }) => [head, first, last]);
const conceptsOf = ({ tables }: Layout) =>
  tables.map(({ columns }) => columns.map(({ concept }) => concept ?? ""));
const figuresOf = ({ figures }: Layout) => figures.map(({ concept, at }) => [concept, at.row, at.column]);

describe("figures beside labels", () => {
  test("materials and their figures under one another are no headings", () => {
    const layout = layoutOf(["Material", "Compost"], ["Depth", 0.25], ["Screen loss", 0.2], ["Crew", "Bag"]);
    expect(tablesOf(layout)).toEqual([]);
    expect(figuresOf(layout)).toEqual([
      ["product", 0, 1],
      ["layer", 1, 1],
      ["screenLoss", 2, 1],
    ]);
  });

  test("what holds words and what holds figures may go by the same label", () => {
    expect(figuresOf(layoutOf(["Active", "prodiamine"], ["", ""], ["Lawn", 5200]))).toEqual([
      ["active", 0, 1],
      ["area", 2, 1],
    ]);
  });

  test("a unit stands in the label or beside the figure", () => {
    const { figures } = layoutOf(["Area (acres)", 2], ["Lawn size", 900, "m2"], ["Screen loss", 0.2]);
    expect(figures.map(({ unit }) => unit?.name)).toEqual(["acres", "m²", undefined]);
  });
});

describe("headings", () => {
  test("names of things head a table where figures stand below", () => {
    const layout = layoutOf(["Lawns of the week"], ["Turf", "Compost"], [1200, 0.25], [800, 0.5]);
    expect(tablesOf(layout)).toEqual([[1, 2, 3]]);
    expect(conceptsOf(layout)).toEqual([["area", "layer"]]);
  });

  test("a row of such names among the figures of a table does not part it", () => {
    const layout = layoutOf(
      ["Zone", "Material", "Need", "Pack size"],
      ["North", "Seed mix", 60, 25],
      ["North", "Compost", "bag", "crew"],
      ["South", "Seed mix", 40, 25],
    );
    expect(tablesOf(layout)).toEqual([[0, 1, 3]]);
  });

  test("what a column holds tells words from figures", () => {
    expect(conceptsOf(layoutOf(["Lawn", "Area"], ["Front", 900]))).toEqual([["zone", "area"]]);
    expect(conceptsOf(layoutOf(["Lawn", "Perimeter"], [900, 130]))).toEqual([["area", "edge"]]);
  });

  test("a column that only its unit tells gives way to one that is named, and two of them to each other", () => {
    const named = layoutOf(["Zone", "Area (sq ft)", "Beds (sq ft)"], ["North", 900, 80]);
    expect(conceptsOf(named)).toEqual([["zone", "area", ""]]);
    const two = layoutOf(["Zone", "Front (sq ft)", "Back (sq ft)", "Perimeter"], ["North", 900, 80, 130]);
    expect(conceptsOf(two)).toEqual([["zone", "", "", "edge"]]);
    const one = layoutOf(["Zone", "Front (sq ft)"], ["North", 900]);
    expect(one.tables[0]?.columns[1]).toMatchObject({ concept: "area", isLoose: true });
  });

  test("seed for one direction is an amount, and not the seed of the zone", () => {
    const layout = layoutOf(["Zone", "Area", "Each direction, lb seed"], ["North", 900, 3.5]);
    expect(conceptsOf(layout)).toEqual([["zone", "area", "need"]]);
  });
});

describe("totals", () => {
  const zones = [
    ["Zone", "Area", "Rate"],
    ["North", 1200, 6],
    ["South", 800, 6],
  ] as const;

  test.each(["Total", "Grand total", "Sum", "All zones", "In all", "Gesamt", "Totals:"])("%s", (name) => {
    const rows = [...zones, [name, "=SUM(B2:B3)"], ["Seed", 14]];
    expect(tablesOf(layoutOf(...rows))).toEqual([[0, 1, 2]]);
    expect(foundAt(sheetOf(rows), "A1")).toMatchObject({ rows: [1, 2], totalsRow: 3 });
  });

  test.each(["All-purpose lawn", "All season bed", "Summit", "Totality"])(
    "%s is no row of totals",
    (name) => {
      const rows = [...zones, [name, 300, 6]];
      expect(tablesOf(layoutOf(...rows))).toEqual([[0, 1, 3]]);
      expect(foundAt(sheetOf(rows), "A1").rows).toEqual([1, 2, 3]);
    },
  );

  test("a sum across its own row is a figure of the row", () => {
    const rows = [
      ["Zone", "Front", "Back", "Area"],
      ["North", 700, 500, "=SUM(B2:C2)"],
      ["South", 300, 500, "=SUM($B3:$C3)"],
      ["", "=SUM(B2:B3)", "=SUM(C2:C3)", "=SUM(D2:D3)"],
    ];
    expect(foundAt(sheetOf(rows), "A1")).toMatchObject({ rows: [1, 2], totalsRow: 3 });
    expect(tablesOf(layoutOf(...rows))).toEqual([[0, 1, 2]]);
  });

  test("a subtotal does not end what the checks read", () => {
    const rows = [...zones, ["Subtotal", "=SUM(B2:B3)"], ["East", 500, 6], ["Total", "=SUM(B2:B5)"]];
    expect(tablesOf(layoutOf(...rows))).toEqual([[0, 1, 4]]);
  });
});
