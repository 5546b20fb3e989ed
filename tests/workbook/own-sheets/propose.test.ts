import { describe, expect, test } from "vitest";
import type { WorksheetFunction } from "../../../src/engine/formula";
import { unitText } from "../../../src/engine/units";
import { evaluate } from "../../../src/workbook/formulas/evaluate";
import type { OwnTable } from "../../../src/workbook/tables/find-table";
import { atOnce } from "../../../src/workbook/host/progress";
import { findingTable } from "../../../src/workbook/tables/find-table";
import type { PreviewRow, Proposals } from "../../../src/workbook/own-sheets/propose";
import { columnsToWrite, formulaIn, freeColumns, previewOf } from "../../../src/workbook/own-sheets/propose";
import { understand } from "../../../src/workbook/own-sheets/understand";
import { meaningNamed } from "../../../src/workbook/tables/concepts";
import { argumentsOf, conceptFor, rowFunctions } from "../../../src/workbook/tables/feeds";
import { blockOf, placeOf } from "../../../src/workbook/host/reference";
import { cellsOf } from "../../../src/workbook/host/sheets";
import { foundAt, idsOf, proposalFor, proposedFor, sheetOf, tableOf } from "./tables";

const formulasOf = (table: OwnTable, proposals: Proposals) =>
  Object.fromEntries(
    proposals.proposals.map((one) => [one.definition.id, formulaIn(one, table, table.rows[0] ?? 0)]),
  );
const valueOf = (row: PreviewRow | undefined) =>
  row === undefined ? undefined : "value" in row.result ? row.result.value : row.result.refusal;
const reasonFor = ({ notProposed }: Proposals, id: string) =>
  notProposed.find(({ definition }) => definition.id === id)?.why;

/** What stands in a table under a heading; the figures do not matter here, but words belong where a function takes words. */
type Column = readonly [heading: string, value: string | number];

/** A table with a word and a unit for each argument that a function needs. */
const columnsOf = (definition: WorksheetFunction): readonly Column[] => [
  ["Zone", "Front"],
  ...argumentsOf(definition)
    .filter(({ blank }) => blank !== "default")
    .map((parameter): Column => {
      const [word = ""] = meaningNamed(conceptFor(definition, parameter) ?? "")?.words ?? [];
      const unit = unitText(parameter.kind, "us");
      return [unit === "" ? word : `${word} (${unit})`, parameter.takes === "text" ? "none" : 0.5];
    }),
];

describe("what a table's columns allow", () => {
  test("seed from an area, a rate and the share of live seed", () => {
    const table = tableOf(["Zone", "Area (sq ft)", "Rate lb/1000", "PLS %"], ["Front", 4000, 7, 85]);
    const proposals = proposedFor(table);
    expect(formulasOf(table, proposals)).toEqual({ SEED_WEIGHT: "=SWARD.SEED_WEIGHT(B2,C2,D2/100)" });
    const [row] = previewOf(proposalFor(proposals, "SEED_WEIGHT"), table);
    expect(valueOf(row)).toBeCloseTo(((4000 / 1000) * 7) / 0.85, 9);
  });

  test("with the share of the nutrient beside it, the same rate is the nutrient's", () => {
    const table = tableOf(["Area (sq ft)", "lb/M", "N share"], [5000, 1, 0.24]);
    expect(formulasOf(table, proposedFor(table))).toEqual({
      FERTILISER_WEIGHT: "=SWARD.FERTILISER_WEIGHT(A2,B2,C2)",
    });
    const rate = understand(table).columns[1];
    expect(rate?.meaning?.id).toBe("nutrientRate");
    expect(rate?.why).toContain("it could also be the seeding rate");
  });

  test("a label dose only from the user's own rate", () => {
    expect(idsOf(proposedFor(tableOf(["Area (acres)", "Depth (in)"], [1, 0.25])))).not.toContain(
      "LABEL_DOSE",
    );
    const table = tableOf(["Area (acres)", "Label rate (fl oz/ac)"], [2, 8]);
    const proposals = proposedFor(table);
    expect(formulasOf(table, proposals)).toEqual({ LABEL_DOSE: "=SWARD.LABEL_DOSE(A2*43560,B2)" });
    expect(valueOf(previewOf(proposalFor(proposals, "LABEL_DOSE"), table)[0])).toBeCloseTo(16, 9);
    expect(proposals.proposals[0]?.definition.caution).toBe("pesticide");
    expect(proposals.proposals[0]?.notes[0]).toContain("Area (acres) is in acres");
  });

  test.each(["Herbicide rate (lb/ac)", "Lime rate lb/M", "Lime (lb/M)", "Pre-emergent rate (oz/ac)"])(
    "a rate of something else is not taken for one of seed: %s",
    (heading) => {
      const table = tableOf(["Area (sq ft)", heading], [5000, 2]);
      expect(idsOf(proposedFor(table))).toEqual([]);
      expect(understand(table).columns[1]?.meaning).toBeUndefined();
    },
  );

  test("topdressing in bags, its volume offered as well but not first", () => {
    const table = tableOf(["Area (sq ft)", "Depth (in)", "bag cu ft", "loss %"], [2500, 0.25, 3, 20]);
    const proposals = proposedFor(table);
    expect(formulasOf(table, proposals)).toEqual({
      TOPDRESS_VOLUME: "=SWARD.TOPDRESS_VOLUME(A2,B2)",
      TOPDRESS_BAGS: "=SWARD.TOPDRESS_BAGS(A2,B2,C2,D2/100)",
    });
    expect(proposals.proposals.map(({ covered }) => covered)).toEqual([true, false]);
    // 2,500 ft2 at a quarter inch is 52.08 ft3; a bag of 3 ft3 gives 2.4 ft3 through the screen.
    expect(valueOf(previewOf(proposalFor(proposals, "TOPDRESS_BAGS"), table)[0])).toBe(22);
  });

  test("metric columns give metric formulas", () => {
    const table = tableOf(["Fläche m2", "Seed rate (g/m²)", "mm"], [400, 35, 5]);
    const proposals = proposedFor(table);
    expect(formulasOf(table, proposals)).toMatchObject({
      SEED_WEIGHT: '=SWARD.SEED_WEIGHT(A2,B2,,"metric")',
      TOPDRESS_VOLUME: '=SWARD.TOPDRESS_VOLUME(A2,C2,"metric")',
    });
    expect(valueOf(previewOf(proposalFor(proposals, "SEED_WEIGHT"), table)[0])).toBeCloseTo(14, 9);
    expect(proposalFor(proposals, "SEED_WEIGHT").heading).toBe("Bulk seed to buy (kg)");
  });

  test("every function that can work row by row is proposed for a table of its own arguments", () => {
    const headings: Readonly<Record<string, readonly string[]>> = {
      EDGE_AREA: ["Perimeter (ft)", "Edge width (in)"],
      PURE_LIVE_SEED: ["Purity", "Germination"],
      SEED_RATE: ["Grass", "Purpose"],
      SEED_WEIGHT: ["Area (sq ft)", "Seed rate (lb/M)"],
      SEED_DENSITY: ["Seed rate (lb/M)", "Seeds/lb"],
      GRADE: ["Grade", "Nutrient"],
      FERTILISER_WEIGHT: ["Area (sq ft)", "N rate (lb/M)", "N %"],
      NUTRIENT_RATE: ["Area (sq ft)", "Fertilizer applied (lb)", "N %"],
      BAG_COVERAGE: ["Bag (lb)", "N rate (lb/M)", "N %"],
      LABEL_DOSE: ["Area (sq ft)", "Label rate (fl oz/ac)"],
      ACTIVE_RATE: ["Label rate (fl oz/ac)", "Concentration (lb/gal)"],
      GRANULE_ACTIVE_RATE: ["Product rate (lb/M)", "Active %"],
      SPRAY_VOLUME: ["Collected (fl oz)", "Area (sq ft)"],
      NOZZLE_VOLUME: ["Flow (gal/min)", "Speed (mph)", "Nozzle spacing (in)"],
      TOPDRESS_VOLUME: ["Area (sq ft)", "Topdressing depth (in)"],
      TOPDRESS_BAGS: ["Area (sq ft)", "Topdressing depth (in)", "Bag (cu ft)"],
      TOPDRESS_DEPTH: ["Area (sq ft)", "Bags", "Bag (cu ft)"],
      PACKS: ["Seed needed (lb)", "Pack (lb)"],
      HOPPER_LOADS: ["Amount (lb)", "Hopper (lb)"],
      WALK_LENGTH: ["Area (sq ft)", "Swath (ft)"],
      DELIVERED_RATE: ["Caught (lb)", "Test width (ft)", "Distance (ft)"],
      WORK_HOURS: ["Area (sq ft)", "Pace (sq ft/hr)"],
      RUN_TIME: ["Water depth (in)", "Application rate (in/hr)"],
      WATER_VOLUME: ["Area (sq ft)", "Water depth (in)"],
      REFERENCE_ET: ["Tmin (°F)", "Tmax (°F)", "Latitude", "Day of year"],
      MARGIN_PRICE: ["Cost ($)", "Margin"],
    };
    expect(rowFunctions.map(({ id }) => id)).toEqual(expect.arrayContaining(Object.keys(headings)));
    for (const definition of rowFunctions) {
      const { id } = definition;
      const columns =
        headings[id]?.map((heading): Column => [
          heading,
          /Grass|Purpose|Grade|Nutrient/.test(heading) ? "none" : 0.5,
        ]) ?? columnsOf(definition);
      const found = tableOf(
        columns.map(([heading]) => heading),
        columns.map(([, value]) => value),
      );
      expect(idsOf(proposedFor(found)), id).toContain(id);
    }
  });
});

describe("units", () => {
  test("a unit that the engine does not know is told, and nothing is proposed from it", () => {
    const proposals = proposedFor(tableOf(["Area (sq yd)", "Rate lb/1000"], [300, 7]));
    expect(idsOf(proposals)).toEqual([]);
    expect(reasonFor(proposals, "SEED_WEIGHT")).toBe(
      "Area (sq yd) is in square yards, which cannot be converted here: give it in ft²",
    );
  });

  test("mixed units are told, and converted in the formula", () => {
    const table = tableOf(["Area (m²)", "Depth (in)", "Bag (L)"], [250, 0.25, 70]);
    const { notes } = understand(table);
    expect(notes[0]).toContain("The table mixes units");
    const bags = proposalFor(proposedFor(table), "TOPDRESS_BAGS");
    expect(formulaIn(bags, table, 1)).toBe('=SWARD.TOPDRESS_BAGS(A2,B2*25.4,C2,,,"metric")');
    // 250 m2 at 6.35 mm is 1,587.5 L.
    expect(valueOf(previewOf(bags, table)[0])).toBe(Math.ceil((250 * 6.35) / 70));
    const inUs = proposalFor(proposedFor(table, new Map(), "us"), "TOPDRESS_BAGS");
    expect(valueOf(previewOf(inUs, table)[0])).toBe(Math.ceil((250 * 6.35) / 70));
  });

  test("per cent and shares mixed in one column are not guessed at", () => {
    const table = tableOf(["Purity %", "Germination %"], [97, 88], [0.98, 90]);
    const [purity] = understand(table).columns;
    expect(purity?.unsure).toBe(true);
    expect(purity?.why).toContain("97 as well as 0.98");
    expect(reasonFor(proposedFor(table), "PURE_LIVE_SEED")).toContain("not clear");
    const chosen = proposedFor(table, new Map([[0, { unit: "per cent, such as 85" }]]));
    expect(formulaIn(proposalFor(chosen, "PURE_LIVE_SEED"), table, 1)).toBe(
      "=SWARD.PURE_LIVE_SEED(A2/100,B2/100)",
    );
  });

  test("an empty column of per cent is asked about before it is used", () => {
    const table = tableOf(["Area (sq ft)", "Seed rate (lb/M)", "PLS %"], [4000, 7, null]);
    expect(reasonFor(proposedFor(table), "SEED_WEIGHT")).toContain("not clear what PLS % is measured in");
    const chosen = proposedFor(table, new Map([[2, { unit: "per cent, such as 85" }]]));
    expect(formulaIn(proposalFor(chosen, "SEED_WEIGHT"), table, 1)).toBe("=SWARD.SEED_WEIGHT(A2,B2,C2/100)");
    // Nothing in it yet: the whole lot counts as pure live seed.
    expect(valueOf(previewOf(proposalFor(chosen, "SEED_WEIGHT"), table)[0])).toBeCloseTo(28, 9);
    const without = proposedFor(table, new Map([[2, { meaning: "" }]]));
    expect(formulaIn(proposalFor(without, "SEED_WEIGHT"), table, 1)).toBe("=SWARD.SEED_WEIGHT(A2,B2)");
  });

  test("a heading with per cent over cells formatted in per cent needs no division", () => {
    const table = tableOf(["Cost ($)", "Margin %"], [60, 0.4]);
    const price = proposalFor(proposedFor(table), "MARGIN_PRICE");
    expect(formulaIn(price, table, 1)).toBe("=SWARD.MARGIN_PRICE(A2,B2)");
    expect(valueOf(previewOf(price, table)[0])).toBeCloseTo(100, 9);
  });

  test("packs go with the unit of the need", () => {
    const table = tableOf(["Seed needed (lb)", "Pack (kg)"], [50, 10]);
    const packs = proposalFor(proposedFor(table), "PACKS");
    expect(formulaIn(packs, table, 1)).toBe("=SWARD.PACKS(A2,B2/0.45359237)");
    expect(valueOf(previewOf(packs, table)[0])).toBe(Math.ceil((50 * 0.45359237) / 10));
    const proposals = proposedFor(tableOf(["Seed needed (lb)", "Pack (L)"], [50, 10]));
    expect(reasonFor(proposals, "PACKS")).toBe("Pack (L) is in L, which does not go with lb");
  });

  test("a pace in an hour goes with the area", () => {
    const table = tableOf(["Area (acres)", "Pace (sq ft/hr)"], [0.5, 2000]);
    const hours = proposalFor(proposedFor(table), "WORK_HOURS");
    expect(valueOf(previewOf(hours, table)[0])).toBeCloseTo(21_780 / 2000, 9);
  });

  test("what states no unit is taken in the function's, and that is said", () => {
    const table = tableOf(["Area", "Seed rate"], [1000, 5]);
    expect(proposedFor(table).proposals[0]?.notes).toEqual([
      "Area states no unit: it is taken in ft².",
      "Seed rate states no unit: it is taken in lb per 1000 ft².",
    ]);
  });
});

describe("why a column is left out", () => {
  test.each([
    ["Area (lb)", "Left out: the area is not measured in lb."],
    ["Herbicide rate (lb/ac)", "Left out: the rate on your label is not measured in lb per acre."],
    ["Lime rate lb/M", "Left out: the heading does not tell what it is. Choose, if it is needed."],
    ["Notes", "Left out: the heading does not tell what it is. Choose, if it is needed."],
  ])("%s", (heading, why) => {
    expect(understand(tableOf(["Perimeter (ft)", heading], [1, 2])).columns[1]?.why).toBe(why);
  });

  test("words where figures belong", () => {
    const [column] = understand(tableOf(["Lawn", "Perimeter (ft)"], ["front", 2])).columns;
    expect(column?.why).toBe("Left out: it reads as the area, but holds no figures.");
  });
});

describe("what a person chooses", () => {
  const table = tableOf(["House (sq ft)", "Area (rods)", "Rate lb/1000"], [900, 12, 7]);

  test("a unit that was not read has to be chosen", () => {
    expect(reasonFor(proposedFor(table), "SEED_WEIGHT")).toContain("Area (rods)");
    const chosen = proposedFor(table, new Map([[1, { unit: "ft²" }]]));
    expect(formulaIn(proposalFor(chosen, "SEED_WEIGHT"), table, 1)).toBe("=SWARD.SEED_WEIGHT(B2,C2)");
  });

  test("another column can be taken, and one left out", () => {
    const choices = new Map([
      [0, { meaning: "area" }],
      [1, { meaning: "" }],
    ]);
    expect(formulaIn(proposalFor(proposedFor(table, choices), "SEED_WEIGHT"), table, 1)).toBe(
      "=SWARD.SEED_WEIGHT(A2,C2)",
    );
    expect(understand(table, choices).columns[1]?.why).toBe("Left out, as you chose.");
  });

  test("of two areas the first is taken, and the other says so", () => {
    const two = understand(tableOf(["Area (sq ft)", "Turf area (m2)", "lb/M"], [1, 2, 3]));
    // "turf area" names it more plainly than "area".
    expect(two.columns.map(({ meaning }) => meaning?.id)).toEqual([undefined, "area", "seedRate"]);
    expect(two.columns[0]?.why).toBe("Left out: Turf area (m2) is taken for the area already.");
  });
});

describe("finding the table", () => {
  const sheet = sheetOf([
    ["Renovation, spring"],
    [],
    ["Zone", "Area", "Rate", null, "ask about the gate"],
    [null, "sq ft", "lb/1000 sq ft"],
    ["North", 1200, 6],
    [],
    ["South", 800, 6],
    ["West", null, null],
    ["Total", "=SUM(B5:B8)", null],
    [],
    ["Bed", "Depth (in)", "Area (sq ft)"],
    ["Roses", 2, 90],
  ]);

  test.each(["A1", "A3", "B3", "C5", "B7"])(
    "from %s: title, units row, blank row and totals are told apart",
    (at) => {
      const table = foundAt(sheet, at);
      expect(table).toMatchObject({ headingRow: 2, left: 0, right: 2, rows: [4, 6], totalsRow: 8 });
      expect(understand(table).columns.map(({ unit }) => unit?.name)).toEqual([
        undefined,
        "ft²",
        "lb per 1000 ft²",
      ]);
      expect(understand(table).notes).toEqual(["Row 9 is taken for the totals: it gets no formula."]);
    },
  );

  test("the second table is another one", () => {
    expect(foundAt(sheet, "C12")).toMatchObject({ headingRow: 10, rows: [11] });
  });

  test("a whole column leads to the table in it, however far down its headings stand", () => {
    const rows = [
      ...Array.from({ length: 20 }, () => []),
      ["# of bags", "Area (sq ft)", "Bag (cu ft)"],
      [22, 2500, 3],
    ];
    const table = foundAt(sheetOf(rows), "B:B");
    expect(table).toMatchObject({ headingRow: 20, left: 0, right: 2, rows: [21] });
    expect(idsOf(proposedFor(table))).toEqual(["TOPDRESS_DEPTH"]);
  });

  test("of several selected cells only the table within them is read", () => {
    expect(foundAt(sheet, "A3:C5").rows).toEqual([4]);
  });

  test.each(["E3", "H40"])("at %s there is none, and it says what to select", (at) => {
    const found = atOnce(findingTable(sheet, blockOf(at) ?? { top: 0, left: 0, bottom: 0, right: 0 }));
    expect("trouble" in found && found.trouble).toContain("select a heading of the table");
  });

  test("new columns stand side by side where nothing stands from the headings to the last row", () => {
    const table = foundAt(sheet, "B3");
    expect(freeColumns(table, 1)).toBe(3);
    expect(freeColumns(table, 2)).toBe(5);
    const proposals = proposedFor(table);
    expect(atOnce(columnsToWrite(proposals.proposals, table)).flat()).toEqual([
      "Bulk seed to buy (lb)",
      "",
      { formula: "=SWARD.SEED_WEIGHT(B5,C5)" },
      "",
      { formula: "=SWARD.SEED_WEIGHT(B7,C7)" },
    ]);
  });
});

describe("the preview", () => {
  test("shows a refusal in its row, and the same figures as the written formula", () => {
    const table = tableOf(
      ["Area (acres)", "Seed rate (lb/M)", "PLS %"],
      [0.5, 7, 85],
      [1, "n/a", 85],
      [null, 7, null],
      [0.25, 6, 0],
    );
    const rows = previewOf(proposalFor(proposedFor(table), "SEED_WEIGHT"), table);
    expect(valueOf(rows[1])).toContain('rate is the text "n/a"');
    for (const { formula, result } of [rows[0], rows[2], rows[3]].flatMap((row) => row ?? [])) {
      const value = evaluate(formula.slice(1), (reference) => {
        const block = blockOf(placeOf(reference, "Sheet1")?.address ?? "");
        return (block === undefined ? undefined : cellsOf(table.cells, block)[0]?.[0]?.value) ?? null;
      });
      expect("value" in result && result.value).toBe(value);
    }
  });

  test("a column that is there already is not proposed again", () => {
    const cells = sheetOf([
      ["Area (sq ft)", "Seed rate (lb/M)", "Bulk seed to buy (lb)", "Pack (lb)"],
      [4000, 7, "=SWARD.SEED_WEIGHT(A2,B2)", 50],
    ]);
    const proposals = proposedFor(foundAt(cells, "A1"));
    expect(reasonFor(proposals, "SEED_WEIGHT")).toBe("it is in the column Bulk seed to buy (lb) already");
    // What was written is understood in its turn.
    expect(formulasOf(foundAt(cells, "A1"), proposals)).toEqual({ PACKS: "=SWARD.PACKS(C2,D2)" });
  });
});
