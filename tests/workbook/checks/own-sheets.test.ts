/** Our functions in a plain sheet of the estimator's own, with none of our bid sheets in the workbook. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset([{ name: "Job" }, { name: "Notes" }]));

const today = 46_251;

async function found(cells: Readonly<Record<string, string>>, notes: Readonly<Record<string, string>> = {}) {
  if (Object.keys(notes).length > 0) bench.setCells("Notes", notes);
  bench.setCells("Job", cells);
  const { findings } = await WorkbookChecks.start(unwatched, today);
  return findings.map(({ check, sheet, address, sentence }) => ({
    check: check.id,
    at: `${sheet}!${address}`,
    sentence,
  }));
}

describe("figures beside labels", () => {
  test("a blank area that a call reads", async () => {
    expect(await found({ A1: "Area", A2: "Seed", B2: "=SWARD.SEED_WEIGHT(B1,7)" })).toMatchObject([
      { check: "blank area", at: "Job!B1" },
    ]);
  });

  test("granule and spray over one limit, where nobody has added them up", async () => {
    const cells = {
      ...{ A1: "Season limit", B1: "1.5", A2: "On the granule", B2: "=SWARD.GRANULE_ACTIVE_RATE(4,0.005)" },
      ...{ A3: "Sprayed in spring", B3: "=SWARD.ACTIVE_RATE(24,4)" },
    };
    // 4 lb per 1000 ft² x 43.56 x 0.005 = 0.8712; 24 fl oz / 128 x 4 = 0.75; together 1.6212.
    const [finding, ...others] = await found(cells);
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ check: "season limit overspent", at: "Job!B1" });
    expect(finding?.sentence).toMatch(/1\.621.*1\.5.*On the granule 0\.8712, Sprayed in spring 0\.75/);
    expect(await found({ ...cells, B1: "1.63" })).toEqual([]);
  });

  test("actives of different names have limits of their own", async () => {
    expect(
      await found({
        ...{ A1: "Zone", B1: "Active", C1: "Season limit", D1: "Granule", E1: "Spray" },
        ...{ A2: "North", B2: "one", C2: "1.5", D2: "=SWARD.GRANULE_ACTIVE_RATE(4,0.005)" },
        ...{ A3: "North", B3: "other", C3: "1.5", E3: "=SWARD.ACTIVE_RATE(24,4)" },
      }),
    ).toEqual([]);
  });

  test("the figures of a label on another sheet", async () => {
    const notes = { A1: "Highest rate", B1: "20", A2: "Grasses on the label", B2: "tall fescue" };
    expect(
      await found({ A1: "Area", B1: "9000", A2: "Dose", B2: "=SWARD.LABEL_DOSE(B1,24)" }, notes),
    ).toMatchObject([{ check: "dose outside label", at: "Job!B2" }]);
  });

  test("a repeat before the interval, by the day of the last application", async () => {
    const cells = {
      A1: "Last applied",
      B1: "46240",
      A2: "Seeding day",
      B2: "46260",
      A3: "Repeat interval",
      B3: "28",
    };
    expect(await found(cells)).toMatchObject([{ check: "repeat before the interval", at: "Job!B1" }]);
    expect(await found({ ...cells, B1: "46232" })).toEqual([]);
  });
});

describe("rows of a table", () => {
  const heads = {
    A1: "Zone",
    B1: "Grass",
    C1: "Purpose",
    D1: "Area (m²)",
    E1: "Seeding rate (g per m²)",
    F1: "Seed",
  };

  test("metric calls are judged in metric", async () => {
    const row = {
      A2: "Hof",
      B2: "tall fescue",
      C2: "new",
      D2: "300",
      F2: '=SWARD.SEED_WEIGHT(D2,E2,,"metric")',
    };
    expect(await found({ ...heads, ...row, E2: "35" })).toEqual([]);
    expect(await found({ ...heads, ...row, E2: "7" })).toMatchObject([
      { check: "seed rate outside published range", at: "Job!E2" },
    ]);
  });

  test("one call down the rows is checked row by row", async () => {
    const rows = {
      ...{ A2: "Hof", B2: "tall fescue", C2: "new", D2: "300", E2: "7" },
      ...{ A3: "Garten", B3: "tall fescue", C3: "new", D3: "", E3: "7" },
      ...{ A4: "Hang", B4: "tall fescue", C4: "new", D4: "200", E4: "70" },
    };
    const us = { D1: "Area", E1: "Seeding rate" };
    const all = await found({ ...heads, ...us, ...rows, F2: '=SWARD.EACH_ROW("SEED_WEIGHT",D2:D4,E2:E4)' });
    expect(all.map(({ check, at }) => [check, at])).toEqual([
      ["blank area", "Job!D3"],
      ["seed rate outside published range", "Job!E4"],
    ]);
  });

  test("a zone that no quantity is reckoned from, among others that are used", async () => {
    const all = await found({
      ...{ A1: "Zone", B1: "Area" },
      ...{ A2: "North", B2: "1000", C2: "=SWARD.SEED_WEIGHT(B2,7)" },
      ...{ A3: "South", B3: "2000", C3: "=SWARD.SEED_WEIGHT(B3,7)" },
      ...{ A4: "East", B4: "3000" },
    });
    expect(all).toMatchObject([{ check: "zone not used", at: "Job!A4" }]);
  });

  test("phosphorus on ground that is not seeded", async () => {
    const cells = {
      A1: "Zone",
      B1: "Area",
      C1: "Seed",
      D1: "Starter",
      A2: "North",
      B2: "1000",
      C2: "0",
      D2: "5.6",
    };
    expect(await found(cells)).toMatchObject([{ check: "phosphorus without establishment", at: "Job!D2" }]);
    expect(await found({ ...cells, C2: "7" })).toEqual([]);
  });

  test("a total, an empty row and a closing line are no zones", async () => {
    expect(
      await found({
        ...{ A1: "Zone", B1: "Area" },
        ...{ A2: "North", B2: "1000", C2: "=SWARD.SEED_WEIGHT(B2,7)" },
        ...{ C3: "=SWARD.SEED_WEIGHT(B3,7)" },
        ...{ A4: "All zones", B4: "=SUM(B2:B3)" },
      }),
    ).toEqual([]);
  });

  test("tables side by side are read each by its own heads", async () => {
    expect(
      await found({
        ...{
          A1: "Zone",
          B1: "Area",
          C1: "Perimeter",
          E1: "Material",
          F1: "Need",
          G1: "Pack size",
          H1: "Packs",
        },
        ...{ A2: "North", B2: "1000", C2: "100", E2: "Seed", F2: "60", G2: "25", H2: "2" },
        ...{ D2: "", I2: "=SWARD.PACKS(F2,G2)" },
      }),
    ).toMatchObject([
      { check: "impossible area", at: "Job!B2" },
      { check: "packs short of need", at: "Job!H2" },
    ]);
  });

  test("figures in other units are carried over before they are judged", async () => {
    const strip = { C1: "Strip", C2: "=SWARD.EDGE_AREA(400,36)" };
    // 0.1 acre is 4356 ft², 0.02 acre 871.2 ft²; the strip is 400 ft x 3 ft = 1200 ft².
    const lawn = { A1: "Zone", B1: "Lawn (acres)", A2: "North", ...strip };
    expect(await found({ ...lawn, B2: "0.1" })).toEqual([]);
    const [tooLarge, ...others] = await found({ ...lawn, B2: "0.02" });
    expect(others).toEqual([]);
    expect(tooLarge).toMatchObject({ check: "strip larger than zone", at: "Job!C2" });
    expect(tooLarge?.sentence).toContain("1,200, more than all of the zone's 871.2 ft²");
    // 7 lb per 1000 ft² is 304.92 lb per acre.
    const rates = { A1: "Grass", B1: "Purpose", C1: "Sowing rate (lb/ac)", A2: "tall fescue", B2: "new" };
    expect(await found({ ...rates, C2: "305" })).toEqual([]);
    expect(await found({ ...rates, C2: "7" })).toMatchObject([
      { check: "seed rate outside published range", at: "Job!C2" },
    ]);
    // 100 yards round enclose 7162 ft² at the most, and no more than 796 yd².
    const yards = { A1: "Area (sq ft)", B1: "Perimeter (yd)", A2: "5000", B2: "100" };
    expect(await found(yards)).toEqual([]);
    const packs = { A1: "Product", B1: "Need (lb)", C1: "Sack (kg)", D1: "Packs", A2: "Blend", C2: "10" };
    expect(await found({ ...packs, B2: "60", D2: "3" })).toEqual([]);
    expect(await found({ ...packs, B2: "70", D2: "3" })).toMatchObject([
      { check: "packs short of need", at: "Job!D2" },
    ]);
  });

  test("words that formulas are proposed for are words that checks know", async () => {
    expect(
      await found({
        ...{ A1: "Section", B1: "Square footage", C1: "Edge length" },
        ...{ A2: "North", B2: "9000", C2: "200" },
      }),
    ).toMatchObject([{ check: "impossible area", at: "Job!B2" }]);
  });

  test("an area that only its unit tells may be blank", async () => {
    expect(
      await found({
        ...{ A1: "Zone", B1: "Bare spots (sq ft)" },
        ...{ A2: "North", B2: "100", C2: "=SWARD.SEED_WEIGHT(B2,7)", A3: "South" },
      }),
    ).toEqual([]);
  });

  test("a sheet that holds none of our functions and nothing that they need is left alone", async () => {
    expect(await found({ A1: "Shopping", A2: "Rakes", B2: "4", A3: "Gloves", B3: "6" })).toEqual([]);
  });
});
